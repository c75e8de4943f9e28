package protocols_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/meniscus/protocols"
)

// lineAt returns the index of the line that is typed at a time.
func lineAt(t *testing.T, lines []protocols.Line, at string) int {
	t.Helper()
	i := slices.IndexFunc(lines, func(l protocols.Line) bool { return l.At == clock(t, at) })
	if i < 0 {
		t.Fatalf("nothing is typed at %s", at)
	}
	return i
}

// TestWashesGoOnUntilNeutral: ester with live catalyst is not warmed; one more wash is taken where three were not enough, and
// where two were, the third is left out with the reason why.
func TestWashesGoOnUntilNeutral(t *testing.T) {
	alkaline := func(lines []protocols.Line) []protocols.Line {
		lines[lineAt(t, lines, "2h53m40s")].Typed = "9.0"
		return lines
	}
	_, err := play(t, ester, func(lines []protocols.Line) []protocols.Line {
		i := lineAt(t, lines, "2h54m15s")
		enter := lines[i]
		enter.Typed = ""
		return slices.Insert(alkaline(lines), i+1, enter)
	})
	if err == nil || !strings.Contains(err.Error(), "Drive ethanol off is barred") || !strings.Contains(err.Error(), "@-0 wash_ph") {
		t.Errorf("ester with live catalyst was warmed: %v", err)
	}
	s, err := play(t, ester, func(lines []protocols.Line) []protocols.Line {
		lines = alkaline(lines)
		i := lineAt(t, lines, "2h54m15s")
		more := lines[i]
		more.Typed = "@-0 wash_ph 7.5"
		enter := more
		enter.Typed = ""
		return slices.Insert(lines, i+1, more, enter)
	})
	if err != nil || s.Ended == nil {
		t.Errorf("a fourth wash is not taken: %v", err)
	}
	s, err = play(t, ester, func(lines []protocols.Line) []protocols.Line {
		i, end := lineAt(t, lines, "2h48m30s"), lineAt(t, lines, "2h54m15s")
		lines[i].Typed = "s neutral and clear after two"
		yes := lines[i]
		yes.Typed = ""
		return slices.Replace(lines, i+1, end+1, yes)
	})
	if err != nil {
		t.Fatal(err)
	}
	if v, err := s.Result("A", s.Protocol.Result("last_wash_ph")); err != nil || v.Number.Value != 7.5 {
		t.Errorf("two washes: last wash water %v, %v; want pH 7.5", v.Number, err)
	}
}

// TestSplitSoapInTheAcidValue: 15 mg of citric acid, 0.234 mmol of acid groups, can add 13.1 mg as KOH to 48.67 g of ester: up to
// 0.27 mg/g (worked by hand; molar masses of 192.12 and 56.105 g/mol).
func TestSplitSoapInTheAcidValue(t *testing.T) {
	s := reworked(t, ester, changes{"neutralised_share": "2.88"})
	if r := worthOf(t, s, "A", "acid_from_citric"); math.Abs(*r.Value-0.270) > 0.0005 {
		t.Errorf("split soap adds up to %.4f mg/g, want 0.270", *r.Value)
	}
}

// TestEthanolOffToConstantMass: with 0.06 g between the last two weighings the flask stays on the bath, or a reason is wanted.
func TestEthanolOffToConstantMass(t *testing.T) {
	_, err := play(t, ester, func(lines []protocols.Line) []protocols.Line {
		lines[lineAt(t, lines, "3h38m5s")].Typed = "147.34"
		return lines
	})
	if err == nil || !strings.Contains(err.Error(), "Not shown yet: two weighings within 0.02 g") {
		t.Errorf("warming ended before constant mass: %v", err)
	}
}

// TestWarmEsterIsNotDried: above 30 °C the reading is asked about; sodium sulfate gives its water back from 32.4 °C (from memory).
func TestWarmEsterIsNotDried(t *testing.T) {
	if got := questioned(t, ester, "A", "3h51m10s", "33", slip{}); !strings.Contains(got, "above what is expected (10 to 30 °C)") {
		t.Errorf("asked is %q", got)
	}
}

// TestSolidOilsArePouredMelted: palm melts at 33 to 39 °C and coconut at 23 to 26 °C (from memory); 10 K above is asked for.
func TestSolidOilsArePouredMelted(t *testing.T) {
	for oil, want := range map[string]float64{"palm": 49, "coconut": 36, "bench_rapeseed": 15, "olive": 15} {
		sheet, err := load(t, ester).Scale(map[string]string{"oil": oil})
		if err != nil {
			t.Fatal(err)
		}
		got, err := sheet.Value("oil_from")
		if err != nil {
			t.Fatal(err)
		}
		compare(t, oil, got, []float64{want}, 1e-9, "melting point and 10 K")
	}
}

// TestDryResidueErrs: the text says in which direction; iodine stands for the composition, in g for 100 g.
func TestDryResidueErrs(t *testing.T) {
	s := reworked(t, ester, nil)
	for id, want := range map[string]string{
		"dry_residue": "no constant mass, and the longer the oven the lower this reads", "conversion_by_glycerol": "Glycerol lost in the oven is not: too low",
		"iodine_value": "checks the assumed composition and nothing of this product",
	} {
		if r := worthOf(t, s, "A", id); !strings.Contains(r.Say, want) {
			t.Errorf("%s: %q is not said; said is %q", id, want, r.Say)
		}
	}
	if u := load(t, ester).Result("iodine_value").Unit; u.Shown() != "g/100 g" {
		t.Errorf("the iodine value is in %s", u.Shown())
	}
	steps := load(t, ester).Stage("tests").Steps
	for _, step := range steps {
		if strings.Contains(step.Say.String(), "constant mass") {
			t.Errorf("the residue has no constant mass: %s", step.Say)
		}
	}
}

// TestWaysOut: a milky wash, one phase and a gel each have what to try, for how long, what to note and where it goes.
func TestWaysOut(t *testing.T) {
	p := load(t, ester)
	says := map[string]string{"milky": p.Reading("wash_look").Say.String()}
	for _, g := range p.Guards {
		says[g.ID] = g.Say.String()
	}
	for id, try := range map[string]string{"milky": "brine", "gel": "glycerol", "one-phase": "glycerol"} {
		for _, want := range []string{try, "stand", "note it", "waste"} {
			if !strings.Contains(says[id], want) {
				t.Errorf("%s: %q is not said: %s", id, want, says[id])
			}
		}
	}
}

// TestFirstAidOfTheBatch: where there is hot oil or ester, how a burn is cooled and a fire put out; ethanol is off before the oven,
// and what is dried holds none.
func TestFirstAidOfTheBatch(t *testing.T) {
	p := load(t, ester)
	for stage, wants := range map[string][]string{
		"ready":       {"never water on hot oil", "carbon dioxide", "running water within ten steps"},
		"hold":        {"never water on hot oil", "running water for 20 min", "fume cupboard, condenser on"},
		"ethanol-off": {"never water on hot oil", "running water for 20 min", "no flame", "the oven never sees it"},
		"draw-off":    {"the oven never sees it"},
		"wash":        {"through the tap, away from faces", "running water within ten steps"},
	} {
		var said string
		for _, c := range p.Cautions {
			if len(c.Applies) == 0 || slices.Contains(c.Applies, stage) {
				said += c.Say.String() + " "
			}
		}
		for _, want := range wants {
			if !strings.Contains(said, want) {
				t.Errorf("%s: %q is not said: %s", stage, want, said)
			}
		}
	}
	for _, stage := range []string{"dry", "filter-and-weigh", "tests", "viscosity"} {
		for _, c := range p.ContentsOf(p.Stage(stage)) {
			if c.Title == "Washed layer" {
				t.Errorf("%s: the ester still holds ethanol", stage)
			}
		}
	}
}
