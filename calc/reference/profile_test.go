package reference

import (
	"math"
	"testing"

	"example.org/meniscus/calc/quantity"
)

func TestNewProfile(t *testing.T) {
	p, err := NewProfile("own", map[string]float64{"16:0": 4.5, "18:0": 1.8, "C18:1": 62, "18:2": 20, "18:3": 9.3, "20:0": 0.7, "20:1": 1.7})
	if err != nil {
		t.Fatal(err)
	}
	const source = "worked by hand with M(TG) = 3 M(acid) + 92.094 − 3·18.015 for this profile"
	near(t, "M(acid)", p.FattyAcid().Value, 281.06, 0.005, source)
	near(t, "M(oil)", p.Triglyceride().Value, 881.22, 0.01, source)
	ethanol, _ := FindSubstance("ethanol")
	near(t, "M(ester)", p.Ester(ethanol).Value, 309.11, 0.005, source)
	near(t, "double bonds", p.DoubleBonds().Value, 1.315, 0.0005, source)
	if got := p.Fractions[0].Acid; got != (Acid{16, 0}) {
		t.Errorf("first acid is %v", got)
	}
}

func TestNewProfileRefuses(t *testing.T) {
	tests := []struct {
		acids map[string]float64
		want  string
	}{
		{nil, "profile p: the fatty acids add up to 0 %; write percentages that add up to 90 to 101 %"},
		{map[string]float64{"18:1": 84.2}, "profile p: the fatty acids add up to 84.2 %; write percentages that add up to 90 to 101 %"},
		{map[string]float64{"18:1": 60, "18:2": 42}, "profile p: the fatty acids add up to 102 %; write percentages that add up to 90 to 101 %"},
		{map[string]float64{"18-1": 100}, `profile p: "18-1" is no fatty acid; write carbon atoms, a colon and double bonds, as in "18:1"`},
		{map[string]float64{"oleic": 100}, `profile p: "oleic" is no fatty acid; write carbon atoms, a colon and double bonds, as in "18:1"`},
		{map[string]float64{"2:0": 100}, `profile p: "2:0" is no fatty acid of an oil; write 4 to 30 carbon atoms and fewer double bonds than a third of them`},
		{map[string]float64{"18:6": 100}, `profile p: "18:6" is no fatty acid of an oil; write 4 to 30 carbon atoms and fewer double bonds than a third of them`},
		{map[string]float64{"18:1": 50, "C18:1": 50}, "profile p: the fatty acid 18:1 stands there twice; write it once"},
		{map[string]float64{"18:1": -1}, "profile p: 18:1 = -1 is no percentage; write 0 to 100"},
		{map[string]float64{"18:1": math.NaN()}, "profile p: 18:1 = NaN is no percentage; write 0 to 100"},
	}
	for _, tt := range tests {
		if _, err := NewProfile("p", tt.acids); err == nil || err.Error() != tt.want {
			t.Errorf("NewProfile(%v): %v, want %s", tt.acids, err, tt.want)
		}
	}
}

func TestPureTriglycerides(t *testing.T) {
	const hand = "sum of IUPAC 2021 abridged atomic masses over the formula"
	for acid, want := range map[string]float64{"16:0": 807.339, "18:1": 885.453, "18:2": 879.405, "12:0": 639.015} {
		p, err := NewProfile(acid, map[string]float64{acid: 100})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "triglyceride of "+acid, p.Triglyceride().Value, want, 0.0005, hand)
		var sum float64
		for _, c := range p.TriglycerideAtoms() {
			m, _ := AtomicMass(c.Symbol)
			sum += c.Atoms * m.Value
		}
		near(t, "atoms of the triglyceride of "+acid, sum, want, 0.0005, hand)
	}
}

// The masses' sensitivities must be those of the formula: each atomic mass moved by hand against the reported effect.
func TestFattyAcidSensitivity(t *testing.T) {
	p, err := FindOil("coconut")
	if err != nil {
		t.Fatal(err)
	}
	got := p.FattyAcid()
	mean := func(carbon float64) float64 {
		h, _ := AtomicMass("H")
		o, _ := AtomicMass("O")
		var moles float64
		for _, f := range p.Fractions {
			moles += f.Percent / (float64(f.Carbons)*carbon + float64(2*f.Carbons-2*f.Bonds)*h.Value + 2*o.Value)
		}
		return 100 / moles
	}
	u := quantity.Rectangular.HalfWidth(0.002)
	near(t, "effect of carbon", got.By[0].Amount, (mean(12.011+u)-mean(12.011-u))/2, 1e-9, "difference quotient")
}

func TestOilsAgainstWorkedValues(t *testing.T) {
	for _, r := range outside(t, "oil_values.csv") {
		p, err := FindOil(r["oil"])
		if err != nil {
			t.Fatal(err)
		}
		switch r["property"] {
		case "mean_fatty_acid_molar_mass":
			near(t, r["oil"], p.FattyAcid().Value, r.number("value"), 0.00501, r["source"])
		case "triglyceride_molar_mass":
			near(t, r["oil"], p.Triglyceride().Value, r.number("value"), 0.00501, r["source"])
		}
	}
}

// beyond lists the fatty acids of a shipped profile that lie outside the published range, and why it is shipped so.
var beyond = map[string]string{
	"peanut 18:0": "the article's 5 % stands above the Codex limit of 4.5 %",
}

func TestOilsWithinPublishedRanges(t *testing.T) {
	if n := len(OilIDs()); n != 10 {
		t.Fatalf("%d oils, want 10", n)
	}
	for _, id := range OilIDs() {
		p, _ := FindOil(id)
		var sum float64
		for _, f := range p.Fractions {
			sum += f.Percent
		}
		near(t, id+": sum", sum, 100, 1e-9, "scaled to 100 %")
		within := map[string]Range{}
		for _, r := range OilRanges(id) {
			within[r.Property] = r
		}
		for _, f := range p.Fractions {
			r, known := within[f.Acid.String()]
			if !known {
				continue
			}
			in := f.Percent >= r.Low-0.05 && f.Percent <= r.High+0.05 // the ranges are printed to 0.1 %
			if why := beyond[id+" "+f.Acid.String()]; in == (why != "") {
				t.Errorf("%s: %s is %.2f %%, range %g to %g (%s), expected beyond it: %q", id, f.Acid, f.Percent, r.Low, r.High, r.Source, why)
			}
		}
	}
}
