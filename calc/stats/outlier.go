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

// ReplicatesNeeded returns how many replicates each of two groups needs to show a difference, with a power of 80 % at a
// level of 5 %, when one replicate scatters by sd: 16·sd²/difference², rounded up (common practice, no source; the 16 is
// 2·(1.960 + 0.842)² of the normal distribution, rounded up), and never below LeastTested.
func ReplicatesNeeded(sd, difference float64) (int, error) {
	r := sd / difference
	if !(sd > 0) || !(difference > 0) || math.IsInf(sd, 0) || math.IsInf(difference, 0) || !(r < 1e4) {
		return 0, refuse("a scatter of %g and a difference of %g: both must be more than zero, and no more than 10000 times apart", sd, difference)
	}
	return max(LeastTested, int(math.Ceil(16*r*r))), nil
}

// DifferenceShown is ReplicatesNeeded turned round: the difference that two groups of n replicates show with a power of
// 80 % at a level of 5 %, 4·sd/√n, in the unit of sd. 0 without replicates.
func DifferenceShown(sd float64, n int) float64 {
	if n < 1 {
		return 0
	}
	return 4 * sd / math.Sqrt(float64(n))
}
