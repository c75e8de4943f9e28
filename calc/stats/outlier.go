package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// LeastOutlier is how many values a test for an outlier needs.
const LeastOutlier = 5

// An Outlier is the value that lies farthest from the mean of its group.
type Outlier struct {
	Index    int     // of the value
	G        float64 // its distance from the mean over the standard deviation
	Critical float64 // what G exceeds in 5 % of groups without an outlier
	Marked   bool    // G is above Critical: look for the reason; the value stays in the group
}

// Grubbs tests the farthest value of a group with normal errors, two-sided at 5 % (NIST/SEMATECH e-Handbook 1.3.5.17.1,
// from memory).
func Grubbs(x []float64) (Outlier, error) {
	if err := sound("a test for an outlier", x, LeastOutlier); err != nil {
		return Outlier{}, err
	}
	m, err := MeanOf(x)
	if err != nil {
		return Outlier{}, err
	}
	if m.SD == 0 {
		return Outlier{}, refuse("the values do not scatter: none is an outlier")
	}
	var o Outlier
	for i, v := range x {
		if g := math.Abs(v-m.Mean) / m.SD; g > o.G {
			o.Index, o.G = i, g
		}
	}
	n := float64(m.N)
	t := distuv.StudentsT{Sigma: 1, Nu: n - 2}.Quantile(1 - 0.05/(2*n))
	o.Critical = (n - 1) / math.Sqrt(n) * math.Sqrt(t*t/(n-2+t*t))
	o.Marked = o.G > o.Critical
	return o, bounded(o.G, o.Critical)
}
