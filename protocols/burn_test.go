package protocols_test

import (
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/rehearsal"
)

// valueOf returns the value of a result, of a vessel or of the whole run.
func valueOf(t *testing.T, s *summary.Summary, vessel, result string) float64 {
	t.Helper()
	rows := s.Results
	for _, v := range s.Vessels {
		if v.Label == vessel {
			rows = v.Results
		}
	}
	for _, r := range rows {
		if r.ID == result {
			if r.Value == nil {
				t.Fatalf("%s of %q: %s", result, vessel, r.Message)
			}
			return *r.Value
		}
	}
	t.Fatalf("vessel %q has no result %s", vessel, result)
	return 0
}

// TestSpiritIsNotPureEthanol: the water of spirit of 96 % by volume, which is 93.8 % by mass, burns not and takes heat.
// By hand: 0.938·26.80 − 0.062·2.442 = 24.99 kJ/g, 0.932 of the pure; so what reads 78.2 % with pure ethanol is 72.9 %.
func TestSpiritIsNotPureEthanol(t *testing.T) {
	for purity, want := range map[string][3]float64{"100": {0.5257, 78.2, 649}, "93.8": {0.5638, 72.9, 692}} {
		s := reworked(t, burn, changes{"ethanol_purity": purity})
		for i, got := range []float64{valueOf(t, s, "A", "efficiency"), valueOf(t, s, "", "share_of_expected"), valueOf(t, s, "A", "molar_energy")} {
			if math.Abs(got-want[i]) > []float64{0.0005, 0.05, 0.5}[i] {
				t.Errorf("ethanol of %s %%: %.4g, want %.4g", purity, got, want[i])
			}
		}
		if got := valueOf(t, s, "A", "specific_energy"); math.Abs(got-14.09) > 0.005 {
			t.Errorf("ethanol of %s %%: what was measured is %.4g kJ/g", purity, got)
		}
	}
}

// TestNetHeatIsExpected: the net heat is what a burn is held against, the gross stands beside it. By hand: 26.80 of
// 29.67 and 37.65 of 40.30 kJ/g; the ratio of the ratios is the 103 % that the text names.
func TestNetHeatIsExpected(t *testing.T) {
	p := load(t, burn)
	over := map[string]float64{}
	for fuel, want := range map[string][2]float64{"ethanol": {26.80, 29.67}, "ester": {37.65, 40.30}} {
		sheet, err := p.Scale(map[string]string{"fuel": fuel, "ethanol_purity": "100"})
		if err != nil {
			t.Fatal(err)
		}
		var got [2]float64
		for i, amount := range []string{"expected_energy", "gross_energy"} {
			v, err := sheet.Value(amount)
			if err != nil {
				t.Fatal(err)
			}
			if got[i] = v.Number.Value; math.Abs(got[i]-want[i]) > 0.005 {
				t.Errorf("%s of %s: %.4g kJ/g, want %.4g", amount, fuel, got[i], want[i])
			}
		}
		over[fuel] = got[0] / got[1]
	}
	if math.Abs(over["ethanol"]-0.903) > 0.0005 || math.Abs(over["ester"]-0.934) > 0.0005 || math.Abs(over["ester"]/over["ethanol"]-1.03) > 0.005 {
		t.Errorf("net over gross: %v, want 0.903 and 0.934", over)
	}
}

// TestUnlitBurnerIsTakenOff: what an unlit burner lost meanwhile was not burnt. It counts where a blank is declared,
// and nowhere else.
func TestUnlitBurnerIsTakenOff(t *testing.T) {
	for blank, want := range map[string]float64{"no": 1.16, "yes": 1.14} {
		rows := slices.Clone(demoRows(t, burn))
		for i, row := range rows {
			if row[1] == "blank" {
				rows[i] = []string{row[0], "blank", blank, row[3], row[4]}
			}
		}
		s := workedUp(t, burn, append(rows, []string{"A", "blank_loss", "0.02", "g", ""}))
		if got := valueOf(t, s, "A", "fuel_burnt"); math.Abs(got-want) > 1e-9 {
			t.Errorf("blank %s: %.4g g burnt, want %.4g", blank, got, want)
		}
		if got := said(t, s, "A", "fuel_burnt"); strings.Contains(got, "0.02 g") != (blank == "yes") {
			t.Errorf("blank %s: said is %q", blank, got)
		}
	}
}

// TestWaterAtRestBeforeTheFlame: the readings of the pre-period tell how the water drifts. 0.12 K/min is near what a
// room 7 K warmer brings, 0.0117·7 = 0.08 K/min; 0.52 K/min is not.
func TestWaterAtRestBeforeTheFlame(t *testing.T) {
	const says = "the water had not come to rest"
	if got := said(t, reworked(t, burn, nil), "A", "drift"); strings.Contains(got, says) {
		t.Errorf("water at rest: %q", got)
	}
	s := reworked(t, burn, changes{"A.pre_temperature#1": "14.0", "A.pre_temperature#2": "14.3", "A.pre_temperature#3": "14.5"})
	if got := said(t, s, "A", "drift"); !strings.Contains(got, says) {
		t.Errorf("0.52 K/min: said is %q", got)
	}
}

// TestBurnerIsNotFilledTooSoon: cold to the hand or not, a burner waits its time from the flame's end; A's flame is out
// at 16:05, and B's burner is felt cold at 30:10, so 14 min are over; of 20 min 3:55 are left when it is to be filled
// at 32:10.
func TestBurnerIsNotFilledTooSoon(t *testing.T) {
	for least, want := range map[string]string{"": "", "14": "", "20": "Fill the burner is barred for 3:55 more: Flame out of A"} {
		script, _ := protocols.Demo(burn)
		if least != "" {
			script.Givens = maps.Clone(script.Givens)
			script.Givens[""] = map[string]string{"ethanol_purity": "100", "least_cooling": least}
		}
		clock := rehearsal.NewClock(rehearsal.Day)
		begun, err := rehearsal.Begun(script, "demo", "test")
		if err != nil {
			t.Fatal(err)
		}
		s, _, err := run.Begin(begun, clock.Now())
		if err != nil {
			t.Fatal(err)
		}
		err = rehearsal.Play(tui.NewOperator(run.NewEngine(s, &rehearsal.Memory{}, clock)), clock, script.Lines)
		switch {
		case want == "" && err != nil:
			t.Errorf("least time %q: %v", least, err)
		case want != "" && (err == nil || !strings.Contains(err.Error(), want)):
			t.Errorf("least time %q: %v, want %q", least, err, want)
		}
	}
}

// TestFlameCautions: what is said in each stage where a flame burns or may be near.
func TestFlameCautions(t *testing.T) {
	p := load(t, burn)
	for stage, want := range map[string][]string{
		"ready":       {"No solvent work in the room of a flame", "out of the room before anything is lit"},
		"fill":        {"No solvent work in the room of a flame", "off at the flame", "Never fill or top up a burner", "Never water on burning ester"},
		"burn":        {"No solvent work in the room of a flame", "off at the flame", "Never water on burning ester", "foam", "carbon dioxide", "dry powder", "fire blanket", "local rule", "20 min"},
		"put-out":     {"off at the flame", "Never water on burning ester", "never blow"},
		"post-period": {"cool running water for 20 min, then medical help"},
	} {
		all := ""
		for _, c := range p.Cautions {
			say := c.Say.Fill(nil, 0)
			if n := len([]rune(say)); n > 160 {
				t.Errorf("a caution has %d letters: %s", n, say)
			}
			if len(c.Applies) == 0 || slices.Contains(c.Applies, stage) {
				all += say + "\n"
			}
		}
		for _, part := range want {
			if !strings.Contains(all, part) {
				t.Errorf("%s: %q is not said", stage, part)
			}
		}
	}
}

// TestLitInPlace: the burner stands under the can when it is lit, and the text says why: at the demo's rate, ten
// seconds of flame beside the can are 3 % of the fuel. The hand is held near before it touches.
func TestLitInPlace(t *testing.T) {
	p := load(t, burn)
	step := p.Stage("burn").Steps[0].Say.Fill(nil, 0)
	under, light := strings.Index(step, "under the middle of the can"), strings.Index(step, "light it there")
	if under < 0 || light < under || !strings.Contains(p.Stage("burn").Readings[0].Say.Fill(nil, 0), "10 s of flame beside the can are 3 % of the fuel") {
		t.Errorf("the order is %q", step)
	}
	s := reworked(t, burn, nil)
	if share := valueOf(t, s, "A", "burn_rate") / 6 / valueOf(t, s, "A", "fuel_burnt"); math.Abs(share-0.033) > 0.0005 {
		t.Errorf("ten seconds are %.3g of the fuel", share)
	}
	ready := ""
	for _, s := range p.Stage("ready").Steps {
		ready += s.Say.Fill(nil, 0) + "\n"
	}
	if near, touch := strings.Index(ready, "back of the hand near the burner"), strings.Index(ready, "then touch it"); near < 0 || touch < near {
		t.Errorf("the hand is not held near first: %q", ready)
	}
	for _, part := range []string{"burner and wick of this fuel alone", "never primed with another"} {
		if !strings.Contains(ready, part) {
			t.Errorf("%q is not said", part)
		}
	}
}
