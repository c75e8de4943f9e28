package stats

import (
	"math"
	"math/rand/v2"
	"testing"
)

// R's table has what each test of this package that leans on one scatter finds.
func TestPowerOfR(t *testing.T) {
	const source = "R 4.2.2, power.t.test and power.anova.test, testdata/stats/power.csv"
	for _, row := range rows(t, "power.csv") {
		groups, n, sd, delta := int(number(t, row[1])), number(t, row[2]), number(t, row[3]), number(t, row[4])
		by := ByVariance(groups)
		switch row[0] {
		case "delta":
			each := int(n)
			near(t, "DifferenceShown", DifferenceShown(by, sd, each), delta, 2e-5*delta, source)
			near(t, "EffectShown", EffectShown(sd*math.Sqrt(2/n), groups-1, groups*(each-1)), delta, 2e-5*delta, source)
		case "welch":
			near(t, "DifferenceShown by Welch's test", DifferenceShown(ByWelch, sd, int(n)), delta, 2e-5*delta, source)
		case "pairs":
			near(t, "DifferenceShown by pairs", DifferenceShown(ByBlocks(2), sd, int(n)), delta, 2e-5*delta, source)
		case "needed":
			want := max(LeastTested, int(math.Ceil(n)))
			if got, err := ReplicatesNeeded(by, sd, delta); err != nil || got != want {
				t.Errorf("ReplicatesNeeded for %g of %g = %d, %v; want %d (%s)", delta, sd, got, err, want, source)
			}
		}
	}
}

// What is told to be found four times of five is found so often by the very tests that look for it.
func TestFoundFourTimesOfFive(t *testing.T) {
	const trials, within = 6000, 0.016 // three standard deviations of the share
	random := rand.New(rand.NewPCG(1, 2))
	for _, n := range []int{3, 4, 6} {
		welch, three := DifferenceShown(ByWelch, 1.5, n), DifferenceShown(ByVariance(3), 1.5, n)
		var byWelch, byVariance float64
		for range trials {
			group := func(mean float64) []float64 {
				x := make([]float64, n)
				for i := range x {
					x[i] = mean + 1.5*random.NormFloat64()
				}
				return x
			}
			if d, err := Welch(group(90+welch), group(90)); err != nil {
				t.Fatal(err)
			} else if d.P < level {
				byWelch++
			}
			if v, err := ANOVA([][]float64{group(90 + three), group(90 + three/2), group(90)}, nil); err != nil {
				t.Fatal(err)
			} else if v.P < level {
				byVariance++
			}
		}
		near(t, "share found by Welch's test", byWelch/trials, power, within, "simulation")
		near(t, "share found by the analysis of variance", byVariance/trials, power, within, "simulation")
	}
}
