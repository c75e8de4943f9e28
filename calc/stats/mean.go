package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/meniscus/calc/quantity"
)

// LeastTested is how many values a group needs before an interval or a test says anything about it.
const LeastTested = 3

// A Mean is what a group of values comes to.
type Mean struct {
	N    int
	Mean float64
	SD   float64 // experimental standard deviation (JCGM 100:2008, 4.2.2); 0 for one value
	Half float64 // half of the 95 % interval, t·s/√n; 0 for fewer than LeastTested values, which have none
}

// MeanOf returns the mean of one value or more.
func MeanOf(x []float64) (Mean, error) {
	if err := sound("the group", x, 1); err != nil {
		return Mean{}, err
	}
	m := Mean{N: len(x), Mean: average(x)}
	if m.N > 1 {
		m.SD = math.Sqrt(squares(x, m.Mean) / float64(m.N-1))
	}
	if m.N >= LeastTested {
		m.Half = quantity.CoverageFactor(float64(m.N-1)) * m.SD / math.Sqrt(float64(m.N))
	}
	return m, bounded(m.Mean, m.SD, m.Half)
}

// Interval returns half of the 95 % interval of the mean; it is refused for fewer than LeastTested values, and for values that
// do not scatter.
func (m Mean) Interval() (half float64, err error) {
	if m.N < LeastTested {
		return 0, refuse("a group of %d: an interval needs %d replicates or more; the values alone stand", m.N, LeastTested)
	}
	if m.SD == 0 {
		return 0, refuse("a group that does not scatter has no interval")
	}
	return m.Half, nil
}

// Pooled returns the standard deviation of one replicate within its group, and its degrees of freedom; 0 and 0 when no
// group has two.
func Pooled(groups ...Mean) (sd float64, dof int) {
	var sum float64
	for _, m := range groups {
		if m.N > 1 {
			sum += float64(m.N-1) * m.SD * m.SD
			dof += m.N - 1
		}
	}
	if dof == 0 {
		return 0, 0
	}
	return math.Sqrt(sum / float64(dof)), dof
}

// sound refuses fewer than least values and values that are no numbers.
func sound(what string, x []float64, least int) error {
	if len(x) < least {
		return refuse("%s has %d of the %d values or more that it takes", what, len(x), least)
	}
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return refuse("%s has a value that is no number", what)
		}
	}
	return nil
}

func refuse(format string, args ...any) error {
	return &quantity.RangeError{Msg: fmt.Sprintf(format, args...)}
}

// bounded refuses outcomes that ran out of range.
func bounded(x ...float64) error {
	for _, v := range x {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return refuse("these values give no finite outcome")
		}
	}
	return nil
}

// average returns the mean, corrected by the mean of what is left, so that a large common part costs no digits.
func average(x []float64) float64 {
	n := float64(len(x))
	first := x[0]
	mean := first + total(x, first)/n
	return mean + total(x, mean)/n
}

// total returns the sum of x - from, with the lost low parts added at the end (Neumaier's summation).
func total(x []float64, from float64) float64 {
	var sum, low float64
	for _, v := range x {
		v -= from
		t := sum + v
		if math.Abs(sum) >= math.Abs(v) {
			low += (sum - t) + v
		} else {
			low += (v - t) + sum
		}
		sum = t
	}
	return sum + low
}

// squares returns the sum of squared distances from the mean, less what the rounding of the mean adds.
func squares(x []float64, mean float64) float64 {
	var sum, left float64
	for _, v := range x {
		d := v - mean
		sum += d * d
		left += d
	}
	return sum - left*left/float64(len(x))
}

// bothTails returns the chance of a t at least as far from zero; degrees of freedom need not be whole.
func bothTails(t, dof float64) float64 {
	return 2 * distuv.StudentsT{Sigma: 1, Nu: dof}.Survival(math.Abs(t))
}

// quantile returns the t that leaves 2.5 % above it; degrees of freedom need not be whole.
func quantile(dof float64) float64 { return distuv.StudentsT{Sigma: 1, Nu: dof}.Quantile(0.975) }
