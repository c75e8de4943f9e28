package print

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol/comparison"
	"example.org/meniscus/protocol/summary"
)

// mostColumns is how many varied givens have a column each; more stand in one cell.
const mostColumns = 3

// CompareText writes a comparison as a page of text, as Text writes a summary.
func CompareText(w io.Writer, c *comparison.Comparison, o Options) error {
	return typed(w, compared(c), o)
}

// CompareJSON writes a comparison as one object, indented, at full precision.
func CompareJSON(w io.Writer, c *comparison.Comparison) error {
	text, err := json.MarshalIndent(c, "", "  ")
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, escaped(string(text))+"\n")
	return err
}

// CompareCSV writes a row for each result of each vessel that counts, with the header
// run,vessel,result,value,unit,standard_uncertainty,expanded_uncertainty,status and a column for each given that was varied, given.ID;
// values at full precision, empty where there is none.
func CompareCSV(w io.Writer, c *comparison.Comparison) error {
	out := csv.NewWriter(w)
	head := []string{"run", "vessel", "result", "value", "unit", "standard_uncertainty", "expanded_uncertainty", "status"}
	for _, f := range c.Varied {
		head = append(head, "given."+f.ID)
	}
	_ = out.Write(disarmed(head...))
	for _, r := range c.Results {
		for _, v := range r.Values {
			row := []string{c.Runs[v.Run-1].ID, v.Vessel, r.ID, exactOr(v.Value), r.Unit, exactOr(v.StandardUncertainty), exactOr(v.ExpandedUncertainty), string(v.Status)}
			_ = out.Write(disarmed(append(row, exactGivens(c, v)...)...))
		}
	}
	out.Flush()
	return out.Error()
}

func exactOr(x *float64) string {
	if x == nil {
		return ""
	}
	return exact(*x)
}

// exactGivens are what was varied in a value's vessel, in the order of c.Varied, numbers in the unit of the given.
func exactGivens(c *comparison.Comparison, of comparison.Value) []string {
	out := make([]string, len(c.Varied))
	for _, v := range c.Vessels {
		if v.Run != of.Run || v.Label != of.Vessel {
			continue
		}
		for i, f := range c.Varied {
			for _, g := range v.Givens {
				if g.ID == f.ID {
					out[i] = g.Text + exactOr(g.Value)
				}
			}
		}
	}
	return out
}

// compared puts a comparison on a page: who is compared, what to know before the figures, then result by result.
func compared(c *comparison.Comparison) *page {
	p := &page{Title: visible("Comparison: " + c.Protocol.Title)}
	p.comparedRuns(c)
	p.comparedVessels(c)
	p.add("Before the figures", nil, clean(c.Remarks...)...)
	for _, r := range c.Results {
		p.comparedResult(c, r)
	}
	var last []string
	if c.Message != "" {
		last = append(last, c.Message)
	}
	if len(c.Results) > 0 {
		last = append(last, "Intervals are for 95 % and of the scatter between vessels alone: what all of them share, such as an instrument's offset or a given,"+
			" is not in them.")
	}
	if len(c.NotCompared) > 0 {
		last = append(last, "Not compared here; --result ID does: "+strings.Join(c.NotCompared, ", ")+".")
	}
	if len(last) > 0 {
		p.Parts = append(p.Parts, part{Level: 1, Title: "After the figures"}, part{Level: 2, Items: clean(last...)})
	}
	return p
}

func clean(texts ...string) []string {
	var out []string
	for _, t := range texts {
		if t != "" {
			out = append(out, strings.ReplaceAll(visible(t), " = ", string(nbsp)+"="+string(nbsp)))
		}
	}
	return out
}

func (p *page) comparedRuns(c *comparison.Comparison) {
	t := &table{Columns: []column{{Head: "No.", Right: true, Tight: true}, {Head: "Run"}, {Head: "Begun", Tight: true}, {Head: "Version"}, {Head: "Journal", Tight: true}}}
	for _, r := range c.Runs {
		at := ""
		if begun, err := time.Parse(time.RFC3339, r.Begun); err == nil {
			at = begun.In(place(&summary.Summary{Run: summary.Run{Zone: r.Zone}})).Format("2006-01-02 15:04")
		}
		t.row(strconv.Itoa(r.Number), r.ID, at, r.Version, summary.ShortHash(r.Hash)).remark(r.Message)
	}
	p.add("", t)
}

func (p *page) comparedVessels(c *comparison.Comparison) {
	t := &table{Columns: []column{{Head: "Run", Right: true, Tight: true}, {Head: "Vessel", Tight: true}}}
	for _, f := range c.Varied {
		if len(c.Varied) <= mostColumns {
			t.Columns = append(t.Columns, column{Head: visible(f.Title)})
		}
	}
	if len(c.Varied) > mostColumns {
		t.Columns = append(t.Columns, column{Head: "Varied"})
	}
	for _, v := range c.Vessels {
		cells := []string{strconv.Itoa(v.Run), v.Label}
		shown := make([]string, 0, len(c.Varied))
		for _, f := range c.Varied {
			shown = append(shown, givenOf(v, f))
		}
		if len(c.Varied) > mostColumns {
			for i, f := range c.Varied {
				shown[i] = f.Title + " " + shown[i]
			}
			shown = []string{strings.Join(shown, ", ")}
		}
		l := t.row(append(cells, shown...)...)
		if !v.Counted {
			l.remark("Does not count: " + v.Message + ".")
		}
	}
	p.add("Vessels", t)
}

// givenOf shows a given of a vessel.
func givenOf(v comparison.Vessel, f comparison.Factor) string {
	for _, g := range v.Givens {
		switch {
		case g.ID != f.ID:
		case g.Value != nil:
			return figure(*g.Value, g.In)
		default:
			return g.Text
		}
	}
	return ""
}

func (p *page) comparedResult(c *comparison.Comparison, r comparison.Result) {
	title := r.Title + " (" + r.ID + ")"
	if unit := r.In.Shown(); unit != "" {
		title += " in " + unit
	}
	p.Parts = append(p.Parts, part{Level: 1, Title: visible(title)})
	p.comparedValues(c, r)
	p.comparedGroups(c, r)
	p.comparedTest(c, r)
	said := []string{r.Message, r.NotShown}
	if r.WhyNoTest != "" {
		said = append(said, "No test: "+r.WhyNoTest+".")
	}
	if r.Scatter != nil {
		said = append(said, r.Scatter.Message)
	}
	for _, o := range r.Outliers {
		said = append(said, o.Message)
	}
	p.add("What it shows", nil, clean(said...)...)
}

func (p *page) comparedValues(c *comparison.Comparison, r comparison.Result) {
	t := &table{Columns: []column{{Head: "Run", Right: true, Tight: true}, {Head: "Vessel", Tight: true}, {Head: groupHead(c)},
		{Head: "Value", Right: true, Tight: true}, {Head: "± (95 %)", Right: true, Tight: true}}}
	for _, v := range r.Values {
		value, expanded := string(v.Status), ""
		if v.Status == summary.OK {
			value, expanded = v.Quantity.Digits()
		}
		t.row(strconv.Itoa(v.Run), v.Vessel, v.Group, value, expanded).remark(v.Message)
	}
	if len(c.By) == 0 {
		t.drop(2)
	}
	p.add("", t)
}

// groupHead names what makes the groups.
func groupHead(c *comparison.Comparison) string {
	var titles []string
	for _, id := range c.By {
		for _, f := range c.Varied {
			if f.ID == id {
				titles = append(titles, f.Title)
			}
		}
	}
	if titles == nil {
		return "Group"
	}
	return visible(strings.Join(titles, ", "))
}

func (p *page) comparedGroups(c *comparison.Comparison, r comparison.Result) {
	apart := ""
	if r.IntervalUnit != r.Unit {
		apart = ", " + r.In.Interval().Shown()
	}
	t := &table{Columns: []column{{Head: groupHead(c)}, {Head: "n", Right: true, Tight: true}, {Head: "Mean", Right: true, Tight: true},
		{Head: "s" + apart, Right: true, Tight: true}, {Head: "± (95 %)" + apart, Right: true, Tight: true}}}
	var refusals []string
	for _, g := range r.Groups {
		mean := ""
		if g.Mean != nil {
			mean = rounded(*g.Mean, g.Digits)
		}
		t.row(g.Group, strconv.Itoa(g.N), mean, twoDigits(g.SD), twoDigits(g.Half))
		if said := sentence(g.Message); !slices.Contains(refusals, said) {
			refusals = append(refusals, said)
		}
	}
	p.add("By group", t, clean(refusals...)...)
}

// sentence makes one of a message: "a group of 2: …" becomes "A group of 2: … ."
func sentence(text string) string {
	if text == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:] + "."
}

// rounded shows a figure to the digits that its uncertainty leaves it.
func rounded(x, uncertainty float64) string {
	if uncertainty > 0 {
		return quantity.Rounded(x, uncertainty)
	}
	return plain(x)
}

func twoDigits(x *float64) string {
	if x == nil {
		return ""
	}
	return quantity.TwoDigits(*x)
}

func (p *page) comparedTest(c *comparison.Comparison, r comparison.Result) {
	right := func(heads ...string) []column {
		out := []column{{Head: heads[0]}}
		for _, h := range heads[1:] {
			out = append(out, column{Head: h, Right: true, Tight: true})
		}
		return out
	}
	switch {
	case r.Difference != nil:
		d := r.Difference
		t := &table{Columns: right("Welch's test", "Difference", "± (95 %)", "t", "Degrees of freedom", "p")}
		t.row(d.A+" less "+d.B, rounded(d.D, d.Digits), twoDigits(d.Half), threeDigits(d.T), threeDigits(d.DoF), chanceOf(d.P))
		if d.P == nil {
			t = &table{Columns: right("By the means alone", "Difference")}
			t.row(d.A+" less "+d.B, rounded(d.D, d.Digits))
		}
		p.add("Difference", t)
	case r.Variance != nil:
		v := r.Variance
		t := &table{Columns: right("Analysis of variance", "F", "Degrees of freedom", "p")}
		t.row("between the groups, over that within them", threeDigits(&v.F), fmt.Sprintf("%d and %d", v.Between, v.Within), chanceOf(&v.P))
		p.add("Differences", t)
	case r.Effects != nil:
		t := &table{Columns: right("Effect", "Difference", "± (95 %)", "p")}
		for _, e := range r.Effects.Effects {
			digits := 0.0
			if e.Half != nil {
				digits = *e.Half
			}
			t.row(e.Name, rounded(e.E, digits), twoDigits(e.Half), chanceOf(e.P))
		}
		var steps []string
		for _, f := range c.Varied {
			if slices.Contains(c.By, f.ID) {
				steps = append(steps, f.Title+" from "+f.Levels[0]+" to "+f.Levels[1])
			}
		}
		p.add("Effects", t, clean(strings.Join(steps, "; ")+". × is what they do together beyond their sum.")...)
	}
}

func threeDigits(x *float64) string {
	if x == nil {
		return ""
	}
	return quantity.Plain(*x, 3)
}

// chanceOf shows a p; a very small one is only told to be that.
func chanceOf(p *float64) string {
	switch {
	case p == nil:
		return ""
	case *p < 0.0001:
		return "below 0.0001"
	}
	return quantity.TwoDigits(*p)
}
