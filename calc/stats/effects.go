package stats

import (
	"math"
	"math/bits"
	"slices"
	"strings"
)

// MaxFactors bounds a factorial plan: 2^6 settings are more than a bench does.
const MaxFactors = 6

// An Effect is what changing a factor, or several together, does: the mean at the high settings less that at the low
// ones.
type Effect struct {
	Name string // "ratio", or "ratio × hold" for what they do beyond their sum
	E    float64
	Half float64 // half of the 95 % interval; 0 where it is refused
	P    float64 // chance of such an effect or a larger one when there is none; 1 where it is refused
}

// Effects are those of a full 2^k plan, singles first in the order of the factors.
type Effects struct {
	Effects   []Effect
	NotApart  []string // effects that the values do not tell from the blocks
	SD        float64  // of one replicate
	DoF       int
	LeastSure float64 // the largest standard uncertainty of an effect, 2·s/√N for settings of one size
}

// EffectsOf works out a full factorial plan with two levels by least squares (NIST/SEMATECH e-Handbook 5.3.3, from
// memory). cells[i] holds the replicates of the setting in which factor j is high when bit j of i is set: (−,−), (+,−),
// (−,+), (+,+). Settings need a value each and may differ in number. Blocks are as those of ANOVA. Where the scatter
// has too few degrees of freedom, the effects are given, and a refusal for the intervals.
func EffectsOf(factors []string, cells [][]float64, blocks [][]int) (Effects, error) {
	k := len(factors)
	if k == 0 || k > MaxFactors || len(cells) != 1<<k {
		return Effects{}, refuse("a full plan of %d factors at two levels has %d settings, found %d; up to %d factors", k, 1<<min(max(k, 0), 30), len(cells), MaxFactors)
	}
	var all []float64
	var block []int
	sets := inOrder(k)
	effects := make(Term, len(sets))
	for i, c := range cells {
		if err := sound("a setting", c, 1); err != nil {
			return Effects{}, err
		}
		all = append(all, c...)
		for e, which := range sets {
			effects[e] = append(effects[e], slices.Repeat([]float64{sign(which, i)}, len(c))...)
		}
		if blocks != nil {
			block = append(block, blocks[i]...)
		}
	}
	m, err := Linear(all, ofBlocks(block), effects)
	if err != nil {
		return Effects{}, err
	}
	refusal := m.testable(len(all), len(cells), "settings", "the effects stand without intervals")
	out := Effects{DoF: m.Error.DoF, SD: math.Sqrt(m.Error.MS)}
	for e, which := range sets {
		weights := make([]float64, len(sets))
		weights[e] = 2 // from the low level, at −1, to the high one, at +1
		c, err := m.Contrast(1, weights...)
		switch {
		case err == errNotApart:
			out.NotApart = append(out.NotApart, nameOf(factors, which))
			continue
		case err != nil:
			return Effects{}, err
		}
		one := Effect{Name: nameOf(factors, which), E: c.Value, P: 1}
		if refusal == nil {
			one.Half, one.P = c.Half, c.P
			out.LeastSure = max(out.LeastSure, c.U)
		}
		out.Effects = append(out.Effects, one)
	}
	return out, refusal
}

// sign is -1 where an odd number of the factors in which is low in the setting, and +1 otherwise.
func sign(which uint, setting int) float64 {
	if bits.OnesCount(which&^uint(setting))%2 == 1 {
		return -1
	}
	return 1
}

// nameOf joins the names of the factors whose bits are set in which.
func nameOf(factors []string, which uint) string {
	var names []string
	for j, f := range factors {
		if which>>j&1 == 1 {
			names = append(names, f)
		}
	}
	return strings.Join(names, " × ")
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
