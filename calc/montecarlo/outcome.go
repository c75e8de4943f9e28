package montecarlo

import (
	"math"
	"slices"

	"example.org/meniscus/calc/quantity"
)

const (
	coverage = 0.95
	// mostFailed is the share of trials that may have no value: a fifth of what lies beyond one end.
	mostFailed = 0.005
	batches    = 10 // parts of the trials whose intervals show how far an end is still moving
)

// An Outcome is what the trials of one output come to.
type Outcome struct {
	Trials, Failed int // Failed: trials without a value; the figures are of the others
	Mean, U        float64
	// Low and High hold 95 % of the trials between them (JCGM 101:2008, 7.7): the shortest such interval, or the
	// probabilistically symmetric one where the trials are not seen to be skew, because its ends are surer then.
	Low, High float64
	// LowU and HighU are the standard uncertainties of the ends from the number of trials, by the spread over batches
	// (JCGM 101:2008, 7.9.4).
	LowU, HighU float64
}

// Summarise returns the outcome of one output's values; ok is false when too few trials have one.
func Summarise(values []float64) (o Outcome, ok bool) {
	o.Trials = len(values)
	have := make([]float64, 0, len(values))
	for _, y := range values {
		if !math.IsNaN(y) && !math.IsInf(y, 0) {
			have = append(have, y)
		}
	}
	o.Failed = len(values) - len(have)
	if len(have) < LeastTrials {
		return o, false
	}
	o.Mean, o.U = moments(have)
	inOrder := slices.Clone(have)
	orderTails(inOrder)
	interval, rate := symmetric, math.Sqrt(batches)
	if isSkew(have, o.Mean, o.U) {
		interval, rate = shortest, math.Cbrt(batches) // its ends settle with the cube root of the trials
	}
	o.Low, o.High = interval(inOrder)
	low, high := ends(have, interval)
	o.LowU, o.HighU = low/rate, high/rate
	return o, true
}

// moments returns the mean and the standard deviation (JCGM 101:2008, 7.6), taken about the first value lest a small
// spread be lost beside a large mean.
func moments(y []float64) (mean, u float64) {
	var sum, squares float64
	for _, v := range y {
		sum += v - y[0]
	}
	off := sum / float64(len(y))
	mean = y[0] + off
	for _, v := range y {
		d := (v - y[0]) - off
		squares += d * d
	}
	return mean, math.Sqrt(squares / float64(len(y)-1))
}

// isSkew tells whether values lean to one side by more than normal ones would by chance: five standard deviations of
// their skewness, sqrt(6/n).
func isSkew(y []float64, mean, u float64) bool {
	if !(u > 0) {
		return false
	}
	var cubes float64
	for _, v := range y {
		d := (v - mean) / u
		cubes += d * d * d
	}
	n := float64(len(y))
	return math.Abs(cubes/n) > 5*math.Sqrt(6/n)
}

// covered returns how many of n values lie between the ends of an interval, its upper one counted.
func covered(n int) int { return min(int(coverage*float64(n)+0.5), n-1) }

// orderTails puts as many of the least and of the greatest values in order, at either end of y, as an interval may
// begin or end with; no more is asked of the others than to lie between them.
func orderTails(y []float64) {
	k := len(y) - covered(len(y))
	if 2*k >= len(y) {
		slices.Sort(y)
		return
	}
	selectLeast(y, k)
	selectLeast(y[k:], len(y)-2*k)
	slices.Sort(y[:k])
	slices.Sort(y[len(y)-k:])
}

// selectLeast puts the k least of the values y before the others (Hoare's selection).
func selectLeast(y []float64, k int) {
	for low, high := 0, len(y)-1; low < high; {
		pivot, i, j := y[low+(high-low)/2], low, high
		for i <= j {
			for y[i] < pivot {
				i++
			}
			for y[j] > pivot {
				j--
			}
			if i <= j {
				y[i], y[j] = y[j], y[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k-1 <= j:
			high = j
		case k-1 >= i:
			low = i
		default:
			return
		}
	}
}

// shortest returns the shortest interval of values with ordered tails that holds 95 % of them.
func shortest(sorted []float64) (low, high float64) {
	q := covered(len(sorted))
	best := 0
	for r := range len(sorted) - q {
		if sorted[r+q]-sorted[r] < sorted[best+q]-sorted[best] {
			best = r
		}
	}
	return sorted[best], sorted[best+q]
}

// symmetric returns the interval of values with ordered tails with as many of them below it as above it.
func symmetric(sorted []float64) (low, high float64) {
	q := covered(len(sorted))
	r := (len(sorted) - q) / 2
	return sorted[r], sorted[r+q]
}

// ends returns how far the ends of an interval scatter from batch to batch.
func ends(y []float64, interval func([]float64) (low, high float64)) (low, high float64) {
	lows, highs := make([]float64, batches), make([]float64, batches)
	size := len(y) / batches
	for b := range batches {
		part := slices.Clone(y[b*size : (b+1)*size])
		orderTails(part)
		lows[b], highs[b] = interval(part)
	}
	_, low = moments(lows)
	_, high = moments(highs)
	return low, high
}

// A Judgement tells whether the chain rule stands up to the trials.
type Judgement string

// The judgements.
const (
	Agrees    Judgement = "agrees"
	Differs   Judgement = "differs"
	Undecided Judgement = "undecided" // the trials are too few to tell
)

// Tolerance returns δ, half a unit of the last of two significant digits of u (JCGM 101:2008, 7.9.2).
func Tolerance(u float64) float64 {
	if !(u > 0) || math.IsInf(u, 1) {
		return 0
	}
	l := math.Floor(math.Log10(u)) - 1
	if math.Round(u/math.Pow(10, l)) >= 100 {
		l++
	}
	return math.Pow(10, l) / 2
}

// Judge holds the interval q ± U of the chain rule against that of the trials (JCGM 101:2008, 8.1): each end must lie
// within δ, the tolerance, of its counterpart.
func (o Outcome) Judge(q quantity.Quantity) (j Judgement, tolerance float64) {
	expanded, _ := q.Expanded()
	tolerance = Tolerance(q.U())
	low, high := math.Abs(q.Value-expanded-o.Low), math.Abs(q.Value+expanded-o.High)
	// Three times, where two would be 95 %: a summary judges a hundred results, and should not cry wolf over five.
	blurLow, blurHigh := 3*o.LowU, 3*o.HighU
	switch {
	case o.manyFailed(), low-blurLow > tolerance, high-blurHigh > tolerance:
		return Differs, tolerance
	case max(low, high, blurLow, blurHigh) <= tolerance:
		return Agrees, tolerance
	}
	return Undecided, tolerance
}

func (o Outcome) manyFailed() bool { return float64(o.Failed) > mostFailed*float64(o.Trials) }

// mostOff is how far an end of the interval, or the mean, may lie from the chain rule's before a reader would act on
// it, as a share of the expanded uncertainty: what an interval is rounded to.
const mostOff = 0.1

// Matters tells whether a reader would act on what the trials say: an end of the interval is off by more than a tenth
// of the expanded uncertainty, or the mean is, beyond what the number of trials leaves open.
func (o Outcome) Matters(q quantity.Quantity) bool {
	expanded, _ := q.Expanded()
	off := func(x, from, u float64) bool { return math.Abs(x-from)-3*u > mostOff*expanded }
	return o.manyFailed() || expanded == 0 || off(o.Low, q.Value-expanded, o.LowU) || off(o.High, q.Value+expanded, o.HighU) ||
		off(o.Mean, q.Value, o.U/math.Sqrt(float64(o.Trials-o.Failed)))
}

// Inside tells whether the interval of the trials lies within that of the chain rule, which then errs on the safe side.
func (o Outcome) Inside(q quantity.Quantity) bool {
	expanded, _ := q.Expanded()
	tolerance := Tolerance(q.U())
	return !o.manyFailed() && o.Low > q.Value-expanded-tolerance && o.High < q.Value+expanded+tolerance
}
