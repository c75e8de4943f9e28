package stats

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

const (
	level = 0.05 // of the tests, two-sided
	power = 0.8  // how often a difference that is told is found: four times of five
)

// A Test returns how often, at a level of 5 %, it finds that groups of n replicates differ when two of them are d
// standard deviations of one replicate apart. It is for groups of two replicates and more, which scatter alike.
type Test func(d float64, n int) float64

// ByVariance is the test of an analysis of variance of so many groups, of two groups Student's t test. The other groups
// lie half way between the two, where they help least to be found.
func ByVariance(groups int) Test {
	return func(d float64, n int) float64 {
		return found(d*math.Sqrt(float64(n)/2), groups-1, groups*(n-1))
	}
}

// ByBlocks is the test of an analysis of variance of so many groups, each with one replicate in each of n blocks; of
// two groups, Student's t test of pairs.
func ByBlocks(groups int) Test {
	return func(d float64, n int) float64 {
		return found(d*math.Sqrt(float64(n)/2), groups-1, (groups-1)*(n-1))
	}
}

// ByWelch is Welch's test of two groups: Student's t against a limit for fewer degrees of freedom, as many as the two
// deviations that turn up are alike. The share of one in the sum of both variances is independent of t, and has a beta
// distribution; sin² of an angle is put for it, so that nothing grows without bounds at its ends.
func ByWelch(d float64, n int) float64 {
	if n > 50 { // the degrees of freedom hardly differ
		return ByVariance(2)(d, n)
	}
	free := float64(n - 1)
	t := distuv.NoncentralT{Nu: 2 * free, Mu: d * math.Sqrt(float64(n)/2)}
	weighed := func(angle float64) float64 {
		sin, cos := math.Sincos(angle)
		share := sin * sin
		limit := quantile(free / (share*share + (1-share)*(1-share)))
		return math.Pow(sin*cos, free-1) * (1 - t.CDF(limit))
	}
	return 4 * quad.Fixed(weighed, 0, math.Pi/4, 24, nil, 0) / mathext.Beta(free/2, free/2)
}

// found returns how often an F test of effect degrees of freedom over error ones exceeds its limit, when the difference
// it looks for is so many of its standard uncertainties. For one degree of freedom that is a t test, by the noncentral
// t distribution; for more the noncentral F distribution, a mixture of beta distributions with the weights of a Poisson
// distribution (Abramowitz and Stegun, 26.6.18 and 26.6.22, from memory).
func found(times float64, effect, errors int) float64 {
	k, nu := float64(effect), float64(errors)
	if effect == 1 {
		return 1 - distuv.NoncentralT{Nu: nu, Mu: times}.CDF(quantile(nu))
	}
	limit := distuv.F{D1: k, D2: nu}.Quantile(1 - level)
	x := k * limit / (k*limit + nu)
	half := times * times / 2
	var missed, weights float64
	for j := 0; j < 2000; j++ {
		weight := math.Exp(float64(j)*math.Log(half) - half - logFactorial(j))
		missed += weight * mathext.RegIncBeta(k/2+float64(j), nu/2, x)
		if weights += weight; 1-weights < 1e-10 && float64(j) > half {
			break
		}
	}
	return 1 - missed
}

func logFactorial(j int) float64 {
	v, _ := math.Lgamma(float64(j) + 1)
	return v
}

// DifferenceShown returns the difference that the test finds four times of five, in the unit of sd, the standard
// deviation of one replicate, with n replicates in each group. 0 for fewer than two.
func DifferenceShown(by Test, sd float64, n int) float64 {
	if n < 2 {
		return 0
	}
	return sd * shown(func(d float64) float64 { return by(d, n) })
}

// EffectShown returns what a test of effect degrees of freedom over error ones finds four times of five, in the unit of
// u, the standard uncertainty of the difference it looks for.
func EffectShown(u float64, effect, errors int) float64 {
	return u * shown(func(times float64) float64 { return found(times, effect, errors) })
}

// shown returns where the chance, which rises from below, is as large as the power.
func shown(chance func(float64) float64) float64 {
	low, high := 0.0, 1.0
	for chance(high) < power && high < 1e6 {
		low, high = high, 2*high
	}
	for high-low > 1e-7*high {
		if middle := (low + high) / 2; chance(middle) < power {
			low = middle
		} else {
			high = middle
		}
	}
	return high
}

// ReplicatesNeeded is DifferenceShown turned round: how many replicates each group needs for the test to find the
// difference four times of five, and never below LeastTested.
func ReplicatesNeeded(by Test, sd, difference float64) (int, error) {
	d := difference / sd
	if !(sd > 0) || !(difference > 0) || math.IsInf(sd, 0) || math.IsInf(difference, 0) || !(d > 1e-2) {
		return 0, refuse("a scatter of %g and a difference of %g: both must be more than zero, and no more than 100 times apart", sd, difference)
	}
	low, high := LeastTested-1, LeastTested
	for by(d, high) < power {
		low, high = high, 2*high
	}
	for high-low > 1 {
		if middle := (low + high) / 2; by(d, middle) < power {
			low = middle
		} else {
			high = middle
		}
	}
	return high, nil
}
