package comparison

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/stats"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/summary"
)

// compare works out the results asked for, or those with a check, or all.
func (c *Comparison) compare(protocols []*protocol.Protocol, asked []string) error {
	all, checked := resultsOf(protocols)
	for _, id := range asked {
		if base, _, _ := strings.Cut(id, "."); !slices.ContainsFunc(all, func(r *protocol.Result) bool { return r.ID == base }) {
			return &UnknownError{"result of a vessel", id, idsOf(all)}
		}
	}
	for _, r := range all {
		for _, id := range c.rowsOf(r) {
			unasked := len(asked) == 0 && (checked[r.ID] || len(checked) == 0)
			if unasked || slices.Contains(asked, r.ID) || slices.Contains(asked, id) {
				c.Results = append(c.Results, c.result(r, id))
			} else {
				c.NotCompared = append(c.NotCompared, id)
			}
		}
	}
	for _, id := range asked {
		if !slices.ContainsFunc(c.Results, func(r Result) bool { return r.ID == id || strings.HasPrefix(r.ID, id+".") }) {
			return &UnknownError{"result of a vessel", id, append(c.ids(), c.NotCompared...)}
		}
	}
	c.Message = chance(c.Tests)
	return nil
}

func (c *Comparison) ids() []string {
	var out []string
	for _, r := range c.Results {
		out = append(out, r.ID)
	}
	return out
}

// resultsOf returns the results that vessels have, of all versions, and the ids of those that have a check.
func resultsOf(protocols []*protocol.Protocol) (all []*protocol.Result, checked map[string]bool) {
	checked = map[string]bool{}
	for _, p := range protocols {
		for _, r := range p.Results {
			if !r.OfRun && !slices.ContainsFunc(all, func(known *protocol.Result) bool { return known.ID == r.ID }) {
				all = append(all, r)
			}
		}
		for _, k := range p.Checks {
			if !k.Result.OfRun {
				checked[k.Result.ID] = true
			}
		}
	}
	return all, checked
}

func idsOf(rs []*protocol.Result) []string {
	out := make([]string, len(rs))
	for i, r := range rs {
		out[i] = r.ID
	}
	return out
}

// rowsOf returns the ids of a result's rows: its own or, for a list, one for each element that some vessel has.
func (c *Comparison) rowsOf(r *protocol.Result) []string {
	var rows []string
	for n := 1; ; n++ {
		id := r.ID + "." + strconv.Itoa(n)
		if !slices.ContainsFunc(c.Vessels, func(v Vessel) bool { _, has := v.results[id]; return has }) {
			break
		}
		rows = append(rows, id)
	}
	if rows == nil {
		return []string{r.ID}
	}
	return rows
}

// result compares one row of a result over the vessels that count.
func (c *Comparison) result(r *protocol.Result, id string) Result {
	out := Result{ID: id, Title: r.ID, In: r.Unit, Unit: r.Unit.String(), IntervalUnit: r.Unit.Interval().String(), Groups: []GroupOfValue{}, Outliers: []Outlier{}}
	if r.Title != "" {
		out.Title = r.Title
	}
	if _, n, isRow := strings.Cut(id, "."); isRow {
		out.Title += " " + n
	}
	values := make([][]float64, len(c.Groups)) // of each group
	from := make([][]Value, len(c.Groups))
	for _, v := range c.Vessels {
		if !v.Counted {
			continue
		}
		val := c.value(v, r, id)
		out.Values = append(out.Values, val)
		if val.Status == summary.OK {
			values[v.group] = append(values[v.group], *val.Value)
			from[v.group] = append(from[v.group], val)
		}
	}
	for i := range values {
		values[i] = settled(values[i])
	}
	means := out.groups(c.Groups, values, from)
	out.outliers(c.Groups, values, from)
	out.test(c, values, from, means)
	out.scatter(means)
	return out
}

// value is what a vessel has for a row of r, in r's unit.
func (c *Comparison) value(v Vessel, r *protocol.Result, id string) Value {
	out := Value{Run: v.Run, Vessel: v.Label, Group: c.Groups[v.group].Name}
	one, has := v.results[id]
	if !has {
		one, has = v.results[r.ID]
	}
	switch {
	case !has:
		out.Status, out.Message = summary.Missing, "not among the results of this vessel"
		return out
	case one.Status != summary.OK:
		out.Status, out.Message = one.Status, one.Message
		return out
	}
	q, err := one.Quantity.To(r.Unit)
	if err != nil {
		out.Status, out.Message = summary.Impossible, err.Error()
		return out
	}
	u := q.U()
	expanded, _ := q.Expanded()
	if math.IsNaN(u) || math.IsInf(u, 0) || math.IsNaN(q.Value) || math.IsInf(q.Value, 0) {
		out.Status, out.Message = summary.Impossible, "its figures are out of range"
		return out
	}
	out.Status, out.Quantity = summary.OK, q
	out.Value, out.StandardUncertainty, out.ExpandedUncertainty = &q.Value, &u, &expanded
	out.own = own(q, v.several)
	return out
}

// own returns the standard uncertainty that q has from the vessel's own readings. Instruments' offsets, givens and
// tables are shared by all vessels, and so is, in a run of several, a reading that is not marked with its vessel: no
// scatter between vessels shows them.
func own(q quantity.Quantity, several bool) float64 {
	var sum float64
	for _, e := range q.By {
		name := e.Source.Name
		switch {
		case strings.HasPrefix(name, "reading:") && several && !strings.Contains(name, "@"):
		case strings.HasPrefix(name, "reading:"), strings.HasPrefix(name, quantity.Repeats), strings.HasPrefix(name, quantity.Fits):
			sum += e.Amount * e.Amount
		}
	}
	return math.Sqrt(sum)
}

// settled returns values that differ by no more than the last digits of sums and fits as one and the same: that is no
// scatter.
func settled(values []float64) []float64 {
	const dust = 1e-9 // of the value: no bench reads so finely
	if len(values) == 0 {
		return nil
	}
	low, high := slices.Min(values), slices.Max(values)
	if high-low > dust*max(math.Abs(low), math.Abs(high)) {
		return values
	}
	return slices.Repeat(values[:1], len(values))
}

// groups fills in what each group comes to, and returns the means of the groups in their order; N is 0 for one without
// values.
func (r *Result) groups(groups []Group, values [][]float64, from [][]Value) []stats.Mean {
	means := make([]stats.Mean, len(groups))
	for i, g := range groups {
		row := GroupOfValue{Group: g.Name, N: len(values[i])}
		m, err := stats.MeanOf(values[i])
		if row.N > 0 && err == nil {
			means[i] = m
			row.Mean, row.Digits = &m.Mean, *from[i][0].ExpandedUncertainty
			if m.N > 1 {
				row.SD = &m.SD
				row.Digits = cmp.Or(m.SD, row.Digits)
			}
			var half float64
			if half, err = m.Interval(); err == nil {
				row.Half = &half
				row.Digits = half
			}
		}
		if err != nil {
			row.Message = err.Error()
		}
		r.Groups = append(r.Groups, row)
	}
	return means
}

// outliers names the values that lie far from their groups; where a test is refused there is nothing to name.
func (r *Result) outliers(groups []Group, values [][]float64, from [][]Value) {
	for i, g := range groups {
		o, err := stats.Grubbs(values[i])
		if err != nil || !o.Marked {
			continue
		}
		v := from[i][o.Index]
		r.Outliers = append(r.Outliers, Outlier{v.Run, v.Vessel, g.Name, o.G, o.Critical, sayOutlier(v, g.Name, o)})
	}
}

// scatter sets the scatter between vessels beside what their readings are uncertain by.
func (r *Result) scatter(means []stats.Mean) {
	sd, dof := stats.Pooled(means...)
	if r.Blocked != nil && r.Blocked.SD != nil {
		sd, dof = *r.Blocked.SD, r.Blocked.DoF
	}
	if dof == 0 || math.IsInf(sd, 0) {
		return
	}
	var ownSum, sum, n float64
	for _, v := range r.Values {
		if v.Status == summary.OK {
			ownSum += v.own * v.own
			sum += *v.StandardUncertainty * *v.StandardUncertainty
			n++
		}
	}
	s := &Scatter{SD: sd, DoF: dof, Own: math.Sqrt(ownSum / n), Combined: math.Sqrt(sum / n), Larger: "instruments"}
	if sd > s.Own {
		s.Larger = "scatter"
	}
	s.Message = r.sayScatter(s)
	r.Scatter = s
}
