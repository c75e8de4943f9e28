package comparison

import (
	"math"
	"strings"

	"example.org/meniscus/calc/stats"
)

// significant is the p below which a difference counts as shown.
const significant = 0.05

// test asks whether the groups that have values differ.
func (r *Result) test(c *Comparison, values [][]float64, means []stats.Mean) {
	var with []int // groups that have values
	for i := range values {
		if means[i].N > 0 {
			with = append(with, i)
		}
	}
	switch {
	case len(c.Groups) < 2:
	case len(with) < 2:
		r.WhyNoTest = "fewer than two groups have values"
	case len(with) == 2:
		r.two(c, with, values)
	case c.plan() != nil && r.plan(c, values):
	default:
		r.several(c, with, values, means)
	}
}

// two compares two groups.
func (r *Result) two(c *Comparison, with []int, values [][]float64) {
	d, err := stats.Welch(values[with[0]], values[with[1]])
	if d.A.N == 0 {
		r.WhyNoTest = err.Error()
		return
	}
	r.Difference = &Difference{A: c.Groups[with[0]].Name, B: c.Groups[with[1]].Name, D: d.Difference,
		Digits: max(r.Groups[with[0]].Digits, r.Groups[with[1]].Digits)}
	if err != nil {
		r.WhyNoTest = err.Error()
		return
	}
	c.Tests++
	r.Difference.Digits = d.Half
	r.Difference.Half, r.Difference.T, r.Difference.DoF, r.Difference.P = &d.Half, &d.T, &d.DoF, &d.P
	r.Message = c.verdict(d.P)
	if d.P >= significant {
		sd, _ := stats.Pooled(d.A, d.B)
		r.NotShown = r.sayNeeded(stats.ByWelch, sd, math.Abs(d.Difference), min(d.A.N, d.B.N), "the one seen here")
	}
}

// several compares three groups and more.
func (r *Result) several(c *Comparison, with []int, values [][]float64, means []stats.Mean) {
	var groups [][]float64
	least, low, high := math.MaxInt, math.Inf(1), math.Inf(-1)
	for _, i := range with {
		groups = append(groups, values[i])
		least, low, high = min(least, means[i].N), min(low, means[i].Mean), max(high, means[i].Mean)
	}
	v, err := stats.ANOVA(groups...)
	if err != nil {
		r.WhyNoTest = strings.TrimPrefix(r.WhyNoTest+"; "+err.Error(), "; ")
		return
	}
	c.Tests++
	r.Variance = &Variance{v.F, v.Between.DoF, v.Within.DoF, v.Between.SS, v.Within.SS, v.P}
	r.Message = c.verdict(v.P)
	if v.P < significant {
		r.Message += " Which of them does, this test does not tell."
		return
	}
	r.NotShown = r.sayNeeded(stats.ByVariance(len(groups)), math.Sqrt(v.Within.MS), high-low, least, "the largest seen here between two groups")
}

// plan works out the effects of a full plan at two levels; false where they can not be had.
func (r *Result) plan(c *Comparison, values [][]float64) bool {
	var names []string
	for _, id := range c.By {
		names = append(names, c.varied(id).Title)
	}
	var cells [][]float64
	n := 0
	for _, g := range c.plan() {
		cells = append(cells, values[g])
		n += len(values[g])
	}
	x, err := stats.EffectsOf(names, cells)
	if err != nil {
		r.WhyNoTest = err.Error()
	}
	if len(x.Effects) == 0 {
		return false
	}
	r.Effects = &Effects{SD: x.SD, DoF: x.DoF}
	var shown []string
	for _, e := range x.Effects {
		one := Effect{Name: e.Name, E: e.E}
		if err == nil {
			c.Tests++
			one.Half, one.P = &e.Half, &e.P
			if e.P < significant {
				shown = append(shown, e.Name)
			}
		}
		r.Effects.Effects = append(r.Effects.Effects, one)
	}
	if err != nil {
		return true
	}
	r.Message = "No effect is shown."
	if len(shown) > 0 {
		r.Message = "Shown: " + strings.Join(shown, "; ") + "." + c.doubt()
	}
	if len(shown) < len(x.Effects) {
		r.NotShown = r.sayPlan(x, n, len(cells))
	}
	return true
}
