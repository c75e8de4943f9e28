package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
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

// A Part is one line of an analysis of variance.
type Part struct {
	DoF    int
	SS, MS float64
}

// A Variance is a one-way analysis of variance.
type Variance struct {
	Groups          []Mean
	Between, Within Part
	F, P            float64
}

// ANOVA asks whether several groups share one mean, given that they scatter alike (NIST/SEMATECH e-Handbook 7.4.3, from
// memory). It needs two groups, and LeastTested values in each.
func ANOVA(groups ...[]float64) (Variance, error) {
	if len(groups) < 2 {
		return Variance{}, refuse("an analysis of variance needs two groups or more, found %d", len(groups))
	}
	var v Variance
	var all []float64
	least := math.MaxInt
	for _, g := range groups {
		m, err := MeanOf(g)
		if err != nil {
			return Variance{}, err
		}
		v.Groups = append(v.Groups, m)
		all = append(all, g...)
		least = min(least, m.N)
		v.Within.SS += squares(g, m.Mean)
	}
	grand := average(all)
	for _, m := range v.Groups {
		v.Between.SS += float64(m.N) * (m.Mean - grand) * (m.Mean - grand)
	}
	if least < LeastTested {
		return v, refuse("the smallest group has %d replicates: a test needs %d or more of each; the means alone stand", least, LeastTested)
	}
	v.Between.DoF, v.Within.DoF = len(groups)-1, len(all)-len(groups)
	v.Between.MS, v.Within.MS = v.Between.SS/float64(v.Between.DoF), v.Within.SS/float64(v.Within.DoF)
	if v.Within.MS == 0 {
		return v, refuse("no group scatters at all: were the values copied, or read too coarsely?")
	}
	v.F = v.Between.MS / v.Within.MS
	if err := bounded(v.F); err != nil {
		return v, err
	}
	v.P = distuv.F{D1: float64(v.Between.DoF), D2: float64(v.Within.DoF)}.Survival(v.F)
	return v, bounded(v.P)
}
