package reference

import (
	"slices"
	"testing"
)

func TestMixtureStatements(t *testing.T) {
	const (
		annexVI = "Regulation (EC) 1272/2008 Annex VI"
		flash   = "flash points of ethanol in water by mass, an engineering table: 49 °C at 10 %, 26 °C at 40 %, 22 °C at 60 %"
	)
	for _, tt := range []struct {
		name   string
		parts  []Part
		want   []string
		source string
	}{
		{"ethanol", []Part{{"ethanol", 0.998}}, []string{"H225", "H319"}, annexVI + " (H225); suppliers' dossiers (H319)"},
		{"pellets", []Part{{"KOH", 0.86}}, []string{"H314", "H290", "H302"}, annexVI + "; LD50 333 mg/kg over 0.86 is 387 mg/kg, category 4"},
		{"2 % of it in ethanol", []Part{{"ethanol", 0.973}, {"KOH", 0.0213}}, []string{"H314", "H225"},
			annexVI + ": corrosive from 2 %; 333 mg/kg over 0.0213 is 16 g/kg, so no H302"},
		{"0.1 mol/L in ethanol", []Part{{"ethanol", 0.99}, {"KOH", 0.007}}, []string{"H225", "H315", "H319"}, annexVI + ": irritant from 0.5 to 2 %"},
		{"0.4 % of it", []Part{{"KOH", 0.004}}, nil, annexVI + ": below 0.5 % none"},
		{"two alkalis", []Part{{"KOH", 0.012}, {"NaOH", 0.012}}, []string{"H314"},
			"Annex I, 3.2.3.3.4: 1.2/2 + 1.2/2 is above 1 (rule from memory)"},
		{"a first wash water", []Part{{"ethanol", 0.31}, {"water", 0.67}}, []string{"H319", "H226"}, flash},
		{"weak spirit", []Part{{"ethanol", 0.05}, {"water", 0.95}}, nil, "the same table: 62 °C at 5 %, above 60 °C"},
		{"spirit", []Part{{"ethanol", 0.6}, {"water", 0.4}}, []string{"H225", "H319"}, flash},
		{"raw layer", []Part{{"ethanol", 0.17}, {"water", 0.01}}, []string{"H225", "H319"}, "common practice, no source"},
		{"indicator, 1 % in ethanol", []Part{{"phenolphthalein", 0.01}, {"ethanol", 0.99}}, []string{"H350", "H225", "H319", "H341", "H361f"},
			"C&L notification: Carc. 1B from 1 %"},
		{"indicator, 0.5 % in ethanol", []Part{{"phenolphthalein", 0.005}, {"ethanol", 0.6}, {"water", 0.39}}, []string{"H225", "H319"},
			"below the limit of 1 %"},
		{"methanol", []Part{{"methanol", 1}}, []string{"H370", "H225", "H301", "H311"}, annexVI + "; H331 is not worked out here"},
		{"some methanol", []Part{{"methanol", 0.05}, {"water", 0.9}}, []string{"H371", "H302"}, annexVI + ": H371 from 3 to 10 %; 100 mg/kg over 0.05"},
	} {
		if got := MixtureStatements(tt.parts); !slices.Equal(got, tt.want) {
			t.Errorf("%s: %v, want %v (%s)", tt.name, got, tt.want, tt.source)
		}
	}
}

// TestHazardLimits: each row is of a substance and a statement that are known, and ends above its begin.
func TestHazardLimits(t *testing.T) {
	for _, l := range hazardLimits() {
		_, err := FindSubstance(l.substance)
		if _, ok := Statement(l.code); !ok || err != nil || !(l.from > 0) || l.below != 0 && l.below <= l.from {
			t.Errorf("row %+v: %v", l, err)
		}
	}
	for _, r := range read("acute_toxicity") {
		if _, err := FindSubstance(r["substance"]); err != nil || !(r.number("mg_per_kg") > 0) {
			t.Errorf("row %v: %v", r, err)
		}
	}
}
