package stats

import (
	"math"
	"slices"
)

// A Difference is what Welch's test tells of two groups.
type Difference struct {
	A, B       Mean
	Difference float64 // A less B
	Half       float64 // half of its 95 % interval
	T, DoF     float64 // DoF by Welch and Satterthwaite, not cut to a whole number
	P          float64 // chance of such a t or a larger one when the groups do not differ
}

// Welch compares two groups whose scatter may differ (NIST/SEMATECH e-Handbook 1.3.5.3, from memory). The groups need
// LeastTested values each; for fewer, the means and the difference come with the refusal.
func Welch(a, b []float64) (Difference, error) {
	var d Difference
	var err error
	if d.A, err = MeanOf(a); err != nil {
		return Difference{}, err
	}
	if d.B, err = MeanOf(b); err != nil {
		return Difference{}, err
	}
	d.Difference = d.A.Mean - d.B.Mean
	if err = bounded(d.Difference); err != nil {
		return Difference{}, err
	}
	if min(d.A.N, d.B.N) < LeastTested {
		return d, refuse("groups of %d and %d: a test needs %d replicates or more of each; the means alone stand", d.A.N, d.B.N, LeastTested)
	}
	p, q := d.A.SD*d.A.SD/float64(d.A.N), d.B.SD*d.B.SD/float64(d.B.N)
	if p+q == 0 {
		return d, refuse("neither group scatters at all: were the values copied, or read too coarsely?")
	}
	// Shares keep the squares of small numbers from vanishing.
	ps, qs := p/(p+q), q/(p+q)
	d.DoF = 1 / (ps*ps/float64(d.A.N-1) + qs*qs/float64(d.B.N-1))
	s := math.Sqrt(p + q)
	d.T, d.Half = d.Difference/s, quantile(d.DoF)*s
	d.P = bothTails(d.T, d.DoF)
	return d, bounded(d.T, d.DoF, d.P, d.Half)
}

// A Variance is an analysis of variance of groups, with or without blocks.
type Variance struct {
	Blocks  Part // 0 without
	Between Part // groups, beyond what the blocks explain
	Within  Part // the error
	F, P    float64

	model Model
}

// ANOVA asks whether several groups share one mean, given that they scatter alike (NIST/SEMATECH e-Handbook 7.4.3, from
// memory). Blocks, where given, hold for each value the number of its run or day, from 0: what they have in common is
// taken out of the scatter (least squares, so groups and blocks may be of any size). The scatter needs LeastErrorDoF.
func ANOVA(groups [][]float64, blocks [][]int) (Variance, error) {
	if len(groups) < 2 {
		return Variance{}, refuse("an analysis of variance needs two groups or more, found %d", len(groups))
	}
	var all []float64
	var group, block []int
	for i, g := range groups {
		if err := sound("the group", g, 1); err != nil {
			return Variance{}, err
		}
		all = append(all, g...)
		group = append(group, slices.Repeat([]int{i}, len(g))...)
		if blocks != nil {
			block = append(block, blocks[i]...)
		}
	}
	m, err := Linear(all, ofBlocks(block), Members(group))
	if err != nil {
		return Variance{}, err
	}
	v := Variance{Blocks: m.Terms[0], Between: m.Terms[1], Within: m.Error, model: m}
	if v.Between.DoF < len(groups)-1 {
		return v, refuse("no chain of blocks that share groups joins all groups: they can not be told apart from the blocks")
	}
	if err := m.testable(len(all), len(groups), "groups", "the means alone stand"); err != nil {
		return v, err
	}
	v.F, v.P, err = m.F(1)
	return v, err
}

// ofBlocks is the term of the blocks, empty where there are none.
func ofBlocks(block []int) Term {
	if block == nil {
		return nil
	}
	return Members(block)
}

// Difference returns the mean of group a less that of group b, the blocks taken out.
func (v Variance) Difference(a, b int) (Contrast, error) {
	weights := make([]float64, v.Between.DoF)
	if a > 0 {
		weights[a-1]++
	}
	if b > 0 {
		weights[b-1]--
	}
	return v.model.Contrast(1, weights...)
}

// Pairs returns the differences of each two groups, an earlier one less a later one.
func (v Variance) Pairs() []Contrast {
	var out []Contrast
	for a := range v.Between.DoF {
		for b := a + 1; b <= v.Between.DoF; b++ {
			if c, err := v.Difference(a, b); err == nil {
				out = append(out, c)
			}
		}
	}
	return out
}
