package stats

import (
	"math"
	"math/bits"
	"strings"
)

// MaxFactors bounds a factorial plan: 2^6 settings are more than a bench does.
const MaxFactors = 6

// An Effect is what changing a factor, or several together, does: the mean at the high settings less that at the low ones.
type Effect struct {
	Name string // "ratio", or "ratio × hold" for what they do beyond their sum
	E    float64
	Half float64 // half of the 95 % interval; 0 without replicates
	P    float64 // chance of such an effect or a larger one when there is none; 1 without replicates
}

// Effects are those of a full 2^k plan, singles first in the order of the factors.
type Effects struct {
	Effects []Effect
	SD      float64 // of one replicate, pooled over the settings
	DoF     int
	U       float64 // standard uncertainty of each effect, 2·s/√N
}

// EffectsOf works out a full factorial plan with two levels (NIST/SEMATECH e-Handbook 5.3.3, from memory). cells[i]
// holds the replicates of the setting in which factor j is high when bit j of i is set: (−,−), (+,−), (−,+), (+,+). Each
// setting has as many replicates as the others. With one of each the effects are given, and a refusal for the intervals.
func EffectsOf(factors []string, cells [][]float64) (Effects, error) {
	k := len(factors)
	if k == 0 || k > MaxFactors || len(cells) != 1<<k {
		return Effects{}, refuse("a full plan of %d factors at two levels has %d settings, found %d; up to %d factors", k, 1<<min(max(k, 0), 30), len(cells), MaxFactors)
	}
	n := len(cells[0])
	means := make([]float64, len(cells))
	var within float64
	for i, c := range cells {
		if err := sound("a setting", c, 1); err != nil {
			return Effects{}, err
		}
		if len(c) != n {
			return Effects{}, refuse("the settings have %d and %d replicates: each needs as many as the others", n, len(c))
		}
		means[i] = average(c)
		within += squares(c, means[i])
	}
	out := Effects{DoF: len(cells) * (n - 1)}
	if out.DoF > 0 {
		out.SD = math.Sqrt(within / float64(out.DoF))
		out.U = 2 * out.SD / math.Sqrt(float64(len(cells)*n))
	}
	if err := bounded(out.SD, out.U); err != nil {
		return Effects{}, err
	}
	for _, which := range inOrder(k) {
		out.Effects = append(out.Effects, out.effect(factors, which, means))
	}
	for _, e := range out.Effects {
		if err := bounded(e.E, e.Half, e.P); err != nil {
			return Effects{}, err
		}
	}
	switch {
	case n == 1:
		return out, refuse("one run of each setting shows no scatter: the effects stand without intervals")
	case out.SD == 0:
		return out, refuse("no setting scatters at all: were the values copied, or read too coarsely?")
	}
	return out, nil
}

// effect works out the effect of the factors whose bits are set in which.
func (x Effects) effect(factors []string, which uint, means []float64) Effect {
	var names []string
	for j, f := range factors {
		if which>>j&1 == 1 {
			names = append(names, f)
		}
	}
	e := Effect{Name: strings.Join(names, " × "), P: 1}
	for i, m := range means {
		if bits.OnesCount(which&^uint(i))%2 == 1 { // an odd number of them is low
			m = -m
		}
		e.E += m
	}
	e.E /= float64(len(means) / 2)
	if x.U > 0 {
		e.Half = quantile(float64(x.DoF)) * x.U
		e.P = bothTails(e.E/x.U, float64(x.DoF))
	}
	return e
}

// inOrder returns the sets of k factors: singles, pairs, and so on.
func inOrder(k int) []uint {
	var out []uint
	for size := 1; size <= k; size++ {
		for which := uint(1); which < 1<<k; which++ {
			if bits.OnesCount(which) == size {
				out = append(out, which)
			}
		}
	}
	return out
}
