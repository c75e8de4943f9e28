package protocols_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocols"
)

// A slip is a reading of a demo that is typed otherwise, by the time at which it is typed; keep answers the question
// that an unlikely value raises.
type slip struct {
	at, typed string
	keep      bool
}

// slipping returns a change that makes the slips, and ends the run after the last.
func slipping(t *testing.T, vessel string, slips []slip) func([]protocols.Line) []protocols.Line {
	return func(lines []protocols.Line) []protocols.Line {
		var out []protocols.Line
		for _, l := range lines {
			out = append(out, l)
			if l.Vessel != vessel || len(slips) == 0 || l.At != clock(t, slips[0].at) {
				continue
			}
			last := &out[len(out)-1]
			last.Typed = slips[0].typed
			if slips[0].keep {
				kept := *last
				kept.Typed = ""
				out = append(out, kept)
			}
			if slips = slips[1:]; len(slips) == 0 {
				return out
			}
		}
		t.Fatalf("nothing is typed at %s", slips[0].at)
		return nil
	}
}

func clock(t *testing.T, at string) time.Duration {
	t.Helper()
	d, err := time.ParseDuration(at)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

const ester, burn, acid = "ester-batch", "burn-test", "acid-and-catalyst"

// The slips that each guard is for; of several the last makes it speak.
var guardTests = []struct {
	protocol, guard, slip, look string
	slips                       []slip
}{
	{ester, "oil-gains", "tared in between", "“Flask with oil”", []slip{{"12m", "100.00", true}}},
	{ester, "flask-zeroed", "zeroed on the flask", "“Flask with oil”", []slip{{"12m", "50.05", true}}},
	{ester, "zeroed-twice", "zeroed with the flask on it", "“Flask, empty”", []slip{{"10m40s", "0.00", true}, {"12m", "50.05", false}}},
	{ester, "oil-as-planned", "decimal mark", "“Flask with oil”", []slip{{"12m", "1624.1", true}}},
	{ester, "stock-not-for-this-oil", "make it up anew", "the solution leaves", []slip{{"9m40s", "1.60", true}}},
	{ester, "bottle-loses", "cannot gain mass", "cap on", []slip{{"39m20s", "242.00", true}}},
	{ester, "portions-and-bottle", "given twice or left out", "“Bottle after the last portion”", []slip{{"39m20s", "224.40", true}}},
	{ester, "syringe-loses", "wrong way round", "syringe", []slip{{"1h27m", "20.00", true}}},
	{ester, "gel", "A gel is soap", "give it up (d)", []slip{{"1h24m55s", "4", false}}},
	{ester, "one-phase", "one phase", "Stir in 5", []slip{{"1h50m50s", "0.0", true}}},
	{ester, "layers-in-order", "wrong way round", "two levels", []slip{{"2h16m50s", "16.0", true}}},
	{ester, "layers-and-charge", "went in", "“Upper layer, surface”", []slip{{"2h16m50s", "95.0", true}}},
	{ester, "upper-mass-and-volume", "tare forgotten or taken twice", "“Beaker with upper layer”", []slip{{"2h20m30s", "58.46", true}}},
	{ester, "lower-mass-and-volume", "tare another", "“Cylinder with lower layer”", []slip{{"2h21m10s", "17.24", true}}},
	{ester, "nothing-from-nothing", "More came out than went in, 100.9", "“Cylinder with lower layer”", []slip{{"2h21m10s", "167.00", false}}},
	{ester, "not-more-than-theory", "More ester than the oil can give", "tare", []slip{{"3h58m40s", "117.00", true}}},
	{ester, "pycnometer-order", "in their places", "weighings", []slip{{"4h2m10s", "34.900", true}}},
	{ester, "residue-in-order", "between the empty and the wet", "dish", []slip{{"4h3m", "47.000", false}}},

	{burn, "burner-loses", "lid on for both", "“Burner and lid, before”", []slip{{"24m40s", "149.70", true}}},
	{burn, "lid-on-twice", "as large as the lid", "“Burner and lid, after”", []slip{{"24m40s", "134.86", true}}},
	{burn, "not-that-fast", "more than 0.6 g/min", "“Burner and lid, after”", []slip{{"24m40s", "139.80", true}}},
	{burn, "can-tare", "tared in between", "“Can with water”", []slip{{"8m10s", "90.00", true}}},
	{burn, "can-zeroed", "zeroed on the can", "“Can with water”", []slip{{"8m10s", "180.30", true}}},
	{burn, "zeroed-twice", "zeroed with the can on it", "“Can, empty”", []slip{{"2m40s", "0.02", true}, {"8m10s", "180.30", false}}},
	{burn, "not-more-than-all", "More heat than the fuel holds", "both weighings of the burner", []slip{{"24m40s", "142.40", false}}},

	{acid, "titrant-near-its-label", "decimal mark", "“Potassium hydrogen phthalate”", []slip{{"9m10s", "0.82", true}, {"13m40s", "0.787", true}, {"18m20s", "0.86", true}}},
	{acid, "samples-alike", "three times another", "the odd one", []slip{{"38m10s", "0.43", false}, {"38m20s", "22.2", false}}},
	{acid, "blank-below-titre", "no more titrant than the blank", "blank", []slip{{"38m10s", "0.01", true}}},
	{acid, "pellets-as-planned", "mg for g", "“Pellets weighed”", []slip{{"44m40s", "29.1", true}}},
	{acid, "strength-as-weighed", "pellets still at the bottom", "assay", []slip{{"1h10m20s", "8.60", false}}},
	{acid, "fourth-is-due", "a fourth titration is due", "“A fourth titration”", []slip{{"38m10s", "5.13", false}, {"39m30s", "1", false}}},
}

// Each guard speaks with the reading that does not fit, at the moment it is typed, and names the slip and where to look.
// That none speaks on the demos as they are, TestDemoDeviations tells.
func TestGuardsSpeakAtTheReading(t *testing.T) {
	for _, tt := range guardTests {
		s, err := play(t, tt.protocol, slipping(t, "A", tt.slips))
		if err != nil {
			t.Errorf("%s, %s: %v", tt.protocol, tt.guard, err)
			continue
		}
		var spoke []string
		for _, g := range s.Guards {
			spoke = append(spoke, g.Guard)
			if g.Guard != tt.guard {
				continue
			}
			if !strings.Contains(g.Say, tt.slip) || !strings.Contains(g.Say, tt.look) {
				t.Errorf("%s: %s says %q, want it to name %q and %q", tt.protocol, tt.guard, g.Say, tt.slip, tt.look)
			}
			if at := clock(t, tt.slips[len(tt.slips)-1].at); g.At.Elapsed != at {
				t.Errorf("%s: %s speaks at %v, want it at the reading, %v", tt.protocol, tt.guard, g.At.Elapsed, at)
			}
		}
		if !slices.Contains(spoke, tt.guard) {
			t.Errorf("%s: %s is silent at %v; %q spoke", tt.protocol, tt.guard, tt.slips, spoke)
		}
	}
}

// Every guard of every procedure is among those that are tried.
func TestGuardsAreAllTried(t *testing.T) {
	for _, id := range protocols.IDs() {
		for _, g := range load(t, id).Guards {
			tried := false
			for _, tt := range guardTests {
				tried = tried || tt.protocol == id && tt.guard == g.ID
			}
			if !tried {
				t.Errorf("%s: nothing makes the guard %s speak", id, g.ID)
			}
		}
	}
}
