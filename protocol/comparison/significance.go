package comparison

import (
	"math"
	"strings"

	"example.org/meniscus/calc/stats"
)

// significant is the p below which a difference counts as shown.
const significant = 0.05

// analysed is an analysis with what it shows.
type analysed struct {
	Analysis
	tests   int     // p that were worked out
	sd      float64 // of one vessel within its group, and its block
	dof     int
	message string
	lacking string // what it would take, where no difference is shown
}

// test asks whether the groups that have values differ: as they are and, where runs or days cross them, with those as
// blocks.
func (r *Result) test(c *Comparison, values [][]float64, from [][]Value, means []stats.Mean) {
	var with []int // groups that have values
	for i := range values {
		if means[i].N > 0 {
			with = append(with, i)
		}
	}
	switch {
	case len(c.Groups) < 2:
		return
	case len(with) < 2:
		r.WhyNoTest = "fewer than two groups have values"
		return
	}
	shown := r.analyse(c, with, values, nil)
	r.Analysis = shown.Analysis
	if c.Blocks != "" {
		plain := shown.message
		blocked := r.analyse(c, with, values, c.blocks(from))
		r.Blocked = &Blocked{By: c.Blocks, Analysis: blocked.Analysis}
		if blocked.tests > 0 {
			shown = blocked
			r.Blocked.SD, r.Blocked.DoF = &blocked.sd, blocked.dof
			if plain != "" && plain != shown.message {
				shown.message += " Without blocks it reads: " + plain
			}
		}
	}
	c.Tests += shown.tests
	r.Message, r.NotShown = shown.message, shown.lacking
}

// blocks returns the number of each value's block.
func (c *Comparison) blocks(from [][]Value) [][]int {
	out := make([][]int, len(from))
	for g := range from {
		for _, v := range from[g] {
			out[g] = append(out[g], c.blockOf[v.Run])
		}
	}
	return out
}

// analyse takes the test that fits the groups. Welch's, which takes no scatter for that of both groups, is for groups
// of LeastTested; where one is smaller, and in blocks, all groups are taken to scatter alike.
func (r *Result) analyse(c *Comparison, with []int, values [][]float64, blocks [][]int) analysed {
	if c.plan() != nil {
		if a, ok := r.plan(c, values, blocks); ok {
			return a
		}
	}
	if len(with) == 2 && blocks == nil && min(len(values[with[0]]), len(values[with[1]])) >= stats.LeastTested {
		return r.welch(c, with, values)
	}
	return r.variance(c, with, values, blocks)
}

// between begins the difference of two groups by what their means tell.
func (r *Result) between(c *Comparison, with []int, test string) *Difference {
	a, b := r.Groups[with[0]], r.Groups[with[1]]
	return &Difference{Test: test, A: c.Groups[with[0]].Name, B: c.Groups[with[1]].Name, D: *a.Mean - *b.Mean, Digits: max(a.Digits, b.Digits)}
}

// welch compares two groups.
func (r *Result) welch(c *Comparison, with []int, values [][]float64) analysed {
	var a analysed
	d, err := stats.Welch(values[with[0]], values[with[1]])
	if d.A.N > 0 {
		a.Difference = r.between(c, with, "Welch")
	}
	if err != nil {
		a.WhyNoTest = err.Error()
		return a
	}
	a.tests = 1
	a.Difference.Digits = d.Half
	a.Difference.Half, a.Difference.T, a.Difference.DoF, a.Difference.P = &d.Half, &d.T, &d.DoF, &d.P
	a.message = c.verdict(d.P)
	if d.P >= significant {
		sd, _ := stats.Pooled(d.A, d.B)
		least, most := min(d.A.N, d.B.N), max(d.A.N, d.B.N)
		a.lacking = r.sayNeeded(needs{stats.DifferenceShown(stats.ByWelch, sd, least), least, most, stats.ByWelch, sd, math.Abs(d.Difference), "the one seen here", ""})
	}
	return a
}

// variance compares groups that are taken to scatter alike.
func (r *Result) variance(c *Comparison, with []int, values [][]float64, blocks [][]int) analysed {
	var a analysed
	var groups [][]float64
	var in [][]int
	least, most := math.MaxInt, 0
	for _, i := range with {
		groups = append(groups, values[i])
		if blocks != nil {
			in = append(in, blocks[i])
		}
		least, most = min(least, len(values[i])), max(most, len(values[i]))
	}
	if len(with) == 2 && blocks == nil {
		if a.Difference = r.between(c, with, "Student"); math.IsInf(a.Difference.D, 0) {
			a.Difference = nil
		}
	}
	v, err := stats.ANOVA(groups, in)
	if err != nil {
		a.WhyNoTest = err.Error()
		return a
	}
	a.tests, a.sd, a.dof = 1, math.Sqrt(v.Within.MS), v.Within.DoF
	a.message = c.verdict(v.P)
	n := needs{least: least, most: most, by: stats.ByVariance(len(groups)), sd: a.sd, which: "the largest seen here between two groups"}
	if blocks != nil {
		n.by, n.each = stats.ByBlocks(len(groups)), ", one in each "+c.Blocks
	}
	if len(with) == 2 {
		d, err := v.Difference(0, 1)
		if err != nil {
			return analysed{Analysis: Analysis{WhyNoTest: err.Error()}}
		}
		n.which = "the one seen here"
		t, dof := d.Value/d.U, float64(d.DoF)
		a.Difference = r.between(c, with, "Student")
		a.Difference.D, a.Difference.Digits = d.Value, d.Half
		a.Difference.Half, a.Difference.T, a.Difference.DoF, a.Difference.P = &d.Half, &t, &dof, &d.P
	} else {
		a.Variance = &Variance{v.F, v.Between.DoF, v.Within.DoF, v.Between.SS, v.Within.SS, v.P}
	}
	if v.P < significant {
		if len(with) > 2 {
			a.message += " Which of them does, this test does not tell."
		}
		return a
	}
	var u float64
	for _, pair := range v.Pairs() {
		u, n.seen = max(u, pair.U), max(n.seen, math.Abs(pair.Value))
	}
	n.shown = stats.EffectShown(u, v.Between.DoF, v.Within.DoF)
	a.lacking = r.sayNeeded(n)
	return a
}

// plan works out the effects of a full plan at two levels; false where they can not be had.
func (r *Result) plan(c *Comparison, values [][]float64, blocks [][]int) (analysed, bool) {
	var a analysed
	var names []string
	for _, id := range c.By {
		names = append(names, c.varied(id).Title)
	}
	var cells [][]float64
	var in [][]int
	n := 0
	for _, g := range c.plan() {
		cells = append(cells, values[g])
		if blocks != nil {
			in = append(in, blocks[g])
		}
		n += len(values[g])
	}
	x, err := stats.EffectsOf(names, cells, in)
	if err != nil {
		a.WhyNoTest = err.Error()
	}
	if len(x.Effects) == 0 {
		return a, false
	}
	a.sd, a.dof = x.SD, x.DoF
	a.Effects = &Effects{SD: x.SD, DoF: x.DoF, NotApart: x.NotApart}
	var shown []string
	for _, e := range x.Effects {
		one := Effect{Name: e.Name, E: e.E}
		if err == nil {
			a.tests++
			one.Half, one.P = &e.Half, &e.P
			if e.P < significant {
				shown = append(shown, e.Name)
			}
		}
		a.Effects.Effects = append(a.Effects.Effects, one)
	}
	if err != nil {
		return a, true
	}
	a.message = "No effect is shown."
	if len(shown) > 0 {
		a.message = "Shown: " + strings.Join(shown, "; ") + "." + c.doubt()
	}
	if len(x.NotApart) > 0 {
		a.message += " Not told apart from the " + c.Blocks + ": " + strings.Join(x.NotApart, "; ") + "."
	}
	if len(shown) < len(x.Effects) {
		a.lacking = r.sayPlan(x, n, len(cells))
	}
	return a, true
}
