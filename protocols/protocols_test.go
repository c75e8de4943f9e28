package protocols_test

import (
	"math"
	"slices"
	"testing"
	"time"
	"unicode/utf8"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocols"
)

func load(t *testing.T, id string) *protocol.Protocol {
	t.Helper()
	text, ok := protocols.Text(id)
	if !ok {
		t.Fatalf("%s does not ship", id)
	}
	p, err := protocol.Load(id+".toml", text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestIDs(t *testing.T) {
	if got, want := protocols.IDs(), []string{"acid-and-catalyst", "burn-test", "ester-batch"}; !slices.Equal(got, want) {
		t.Errorf("IDs() = %v, want %v", got, want)
	}
	if _, ok := protocols.Text("soap"); ok {
		t.Error("a protocol soap ships, which nobody wrote")
	}
	if _, ok := protocols.Demo("soap"); ok {
		t.Error("a protocol soap has a script, which nobody wrote")
	}
}

// With its givens as they ship, a protocol loads, scales, and asks for nothing that does not fit.
func TestEveryProtocolIsSound(t *testing.T) {
	for _, id := range protocols.IDs() {
		p := load(t, id)
		sheet, err := p.Scale(nil)
		if err != nil {
			t.Errorf("%s: %v", id, err)
			continue
		}
		for _, w := range sheet.Warnings() {
			t.Errorf("%s: %s", id, w)
		}
		for _, c := range p.Checks {
			if c.Source == "" {
				t.Errorf("%s: the check of %s has no source", id, c.Result.ID)
			}
		}
		for _, c := range p.Cautions {
			if n := utf8.RuneCountInString(c.Say.String()); n > 2*80 {
				t.Errorf("%s: a caution of %d letters needs more than two lines: %s", id, n, c.Say)
			}
		}
	}
}

// Results that other programs rely on keep their ids.
func TestResultIDs(t *testing.T) {
	for id, results := range map[string][]string{
		"ester-batch": {"moles_of_oil", "molar_ratio", "theoretical_ester", "closure", "yield_mass", "density_15", "conversion_by_density",
			"conversion_by_viscosity", "acid_value", "settled_volume", "settled_at", "prewarm_time_constant"},
		"burn-test":         {"fuel_burnt", "corrected_rise", "heat", "specific_energy", "efficiency", "scaled_energy", "share_of_expected"},
		"acid-and-catalyst": {"titrant", "acid_value", "free_fatty_acid", "pellets", "water_made", "soap_made"},
	} {
		p := load(t, id)
		for _, r := range results {
			if p.Result(r) == nil {
				t.Errorf("%s has no result %s", id, r)
			}
		}
	}
}

// The whole of a batch and its busy part, against the sum of the stages' aims: 3 h 40 min and 65 min.
func TestEsterBatchTakes(t *testing.T) {
	const source = "stages of the procedure added up by hand"
	p := load(t, "ester-batch")
	if got := p.HandsOn(); got.Round(time.Minute) != 66*time.Minute {
		t.Errorf("hands on %v, want 66 min: 65 min and twice 20 s for the marks (%s)", got, source)
	}
	if got := p.Planned(); got < 213*time.Minute || got > 225*time.Minute {
		t.Errorf("planned %v, want about 3 h 40 min (%s)", got, source)
	}
}

func TestEsterBatchScales(t *testing.T) {
	const byHand = "50 g of oil, 49.5 g of it triglyceride of 881.22 g/mol, ratio 8, 0.90 % KOH, pellets 86.0 %, worked by hand"
	tests := []struct {
		set    map[string]string
		amount string
		want   []float64
		within float64
		source string
	}{
		{nil, "planned_moles", []float64{56.17}, 0.005, byHand},
		{nil, "vessel_ethanol", []float64{20.74}, 0.005, byHand},
		{nil, "vessel_pellets", []float64{0.531}, 0.0005, byHand},
		{nil, "portion_volume", []float64{11.0, 8.5, 7.0}, 1e-9, byHand + "; 0.42, 0.32, 0.26 of 26.4 mL"},
		{nil, "pipette_fills", []float64{2, 1, 1}, 1e-9, "fills of a 10 mL pipette for 11.0, 8.5 and 7.0 mL"},
		{nil, "seed_mass", []float64{5.0}, 1e-9, byHand},
		{nil, "total_volume", []float64{85.1}, 0.05, "54.6 + 26.5 + 4.0 mL"},
		// 0.4567 g of KOH are 8.14 mmol; citric acid of 192.12 g/mol has three acid groups.
		{nil, "alkali_to_neutralise", []float64{0.814}, 0.001, byHand + "; a tenth of 8.14 mmol"},
		{nil, "first_wash_acid", []float64{52}, 1e-9, "0.814 mmol of acid groups of 192.12/3 g/mol are 52.1 mg, to 1 mg"},
		{map[string]string{"neutralised_share": "2.88 %"}, "first_wash_acid", []float64{15}, 1e-9, "15 mg are 0.23 mmol of acid groups, 2.9 % of 8.1 mmol"},
		{map[string]string{"titrated_alkali": "0.02 mmol/g"}, "first_wash_acid", []float64{64}, 1e-9, "1.00 mmol of 192.12/3 g/mol, to 1 mg"},
		{nil, "funnel_volume", []float64{83}, 1e-9, "1.25 times 54.6 mL, and 15 mL of water"},
		{map[string]string{"oil_mass": "25"}, "portion_volume", []float64{5.5, 4.0, 3.5}, 1e-9, "0.42, 0.32, 0.26 of 13.2 mL"},
		{map[string]string{"oil_mass": "25"}, "wash_volume", []float64{8}, 1e-9, "0.3 mL/g of 25 g, to 1 mL"},
		{map[string]string{"surplus": "2 %"}, "stock_ethanol_planned", []float64{84.6}, 0.05, "4.08 times 20.74 g"},
		{map[string]string{"surplus": "2 %"}, "stock_pellets_planned", []float64{2.17}, 0.005, "4.08 times 0.531 g"},
	}
	p := load(t, "ester-batch")
	for _, tt := range tests {
		sheet, err := p.Scale(tt.set)
		if err != nil {
			t.Errorf("%v: %v", tt.set, err)
			continue
		}
		got, err := sheet.Value(tt.amount)
		if err != nil {
			t.Errorf("%s: %v", tt.amount, err)
			continue
		}
		compare(t, tt.amount, got, tt.want, tt.within, tt.source)
	}
}

func TestLargeBatchDoesNotFitItsCylinder(t *testing.T) {
	p := load(t, "ester-batch")
	sheet, err := p.Scale(map[string]string{"oil_mass": "100 g"})
	if err != nil {
		t.Fatal(err)
	}
	if w := sheet.Warnings(); len(w) != 1 {
		t.Errorf("100 g of oil in a 100 mL cylinder: warnings %q, want one", w)
	}
}

// compare holds a number or a list against what is wanted.
func compare(t *testing.T, what string, got formula.Value, want []float64, within float64, source string) {
	t.Helper()
	list := got.List
	if got.Kind == formula.Number {
		list = append(list, got.Number)
	}
	if len(list) != len(want) {
		t.Errorf("%s has %d values, want %v (%s)", what, len(list), want, source)
		return
	}
	for i, q := range list {
		if !(math.Abs(q.Value-want[i]) <= within) {
			t.Errorf("%s = %.6g %s, want %g within %g (%s)", what, q.Value, q.Unit, want[i], within, source)
		}
	}
}
