package protocols_test

import (
	"math"
	"slices"
	"testing"

	"example.org/meniscus/calc/montecarlo"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/protocols"
)

// Made of the scatter itself, or of the largest of many, so that sampled errors come on top of those that the readings have.
var ofScatter = []string{"acid_value_range", "acid_value_sd", "settling_rms", "raw_rise", "raw_specific_energy"}

// The chain rule and the trials are two ways to one uncertainty: on the demos they differ by little. Where few degrees of
// freedom stand behind a result, Student's t spreads the trials wider; those are left to the intervals.
func TestTrialsAndChainRuleAgreeOnTheDemos(t *testing.T) {
	const trials, within = 3000, 0.05 // 3000 trials know u to 1.3 %; the rest is curvature
	compared := 0
	for _, id := range protocols.IDs() {
		s, err := play(t, id, nil)
		if err != nil {
			t.Fatal(err)
		}
		out := summary.FromState(s)
		if err := out.Trials(s, montecarlo.Options{Trials: trials, Seed: 1}); err != nil {
			t.Fatal(err)
		}
		rows := out.Results
		for _, v := range out.Vessels {
			rows = append(rows, v.Results...)
		}
		for _, r := range rows {
			if r.MonteCarlo == nil || r.MonteCarlo.StandardUncertainty == nil || slices.Contains(ofScatter, r.ID) || r.DegreesOfFreedom != nil && *r.DegreesOfFreedom < 50 {
				continue
			}
			compared++
			if u := *r.StandardUncertainty; math.Abs(*r.MonteCarlo.StandardUncertainty/u-1) > within {
				t.Errorf("%s, %s: u = %.3g by the chain rule and %.3g by trials", id, r.ID, u, *r.MonteCarlo.StandardUncertainty)
			}
		}
	}
	if compared < 75 {
		t.Errorf("%d results were compared, want 75 or more", compared)
	}
}
