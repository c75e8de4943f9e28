package quantity

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func unit(t *testing.T, code string) Unit {
	t.Helper()
	u, err := ParseUnit(code)
	if err != nil {
		t.Fatal(err)
	}
	return u
}

func TestUnitFactors(t *testing.T) {
	const (
		brochure = "SI Brochure, 9th ed. 2019"
		ucum     = "The Unified Code for Units of Measure, version 2.1"
	)
	tests := []struct {
		x        float64
		from, to string
		want     float64
		source   string
	}{
		{1, "kg", "g", 1000, brochure + ", Table 7, from memory"},
		{1, "t", "kg", 1000, brochure + ", Table 8, from memory"},
		{1, "min", "s", 60, brochure + ", Table 8, from memory"},
		{1, "h", "s", 3600, brochure + ", Table 8, from memory"},
		{1, "d", "h", 24, brochure + ", Table 8, from memory"},
		{1, "L", "m3", 0.001, brochure + ", Table 8, from memory"},
		{1, "bar", "kPa", 100, brochure + ", 8th ed. Table 8, from memory"},
		{180, "deg", "rad", math.Pi, brochure + ", Table 8, from memory"},
		{1, "J", "N.m", 1, brochure + ", Table 4, from memory"},
		{1, "J", "kg.m2/s2", 1, brochure + ", Table 4, from memory"},
		{1, "Pa", "N/m2", 1, brochure + ", Table 4, from memory"},
		{1, "W", "J/s", 1, brochure + ", Table 4, from memory"},
		{1, "A", "C/s", 1, brochure + ", Table 4, from memory"},
		{1, "V", "W/A", 1, brochure + ", Table 4, from memory"},
		{1, "Ohm", "V/A", 1, brochure + ", Table 4, from memory"},
		{1, "Hz", "1/s", 1, brochure + ", Table 4, from memory"},
		{1, "cal", "J", 4.184, ucum + ", table 43, calorie (thermochemical), from memory"},
		{1, "[in_i]", "cm", 2.54, ucum + ", international inch, from memory"},
		{1, "P", "Pa.s", 0.1, ucum + ", poise, from memory"},
		{1, "cSt", "mm2/s", 1, ucum + ", stokes = cm2/s, from memory"},
		{1, "g/mL", "kg/m3", 1000, "by hand from the prefixes"},
		{1, "kJ/g", "MJ/kg", 1, "by hand from the prefixes"},
		{1, "mg/g", "%", 0.1, "by hand from the prefixes"},
		{1, "[ppth]", "%", 0.1, "by hand: 1/1000"},
		{500, "uL", "mL", 0.5, "by hand from the prefixes"},
		{0.58, "mL", "uL", 580, "by hand from the prefixes"},
		{0, "Cel", "K", 273.15, brochure + ", 2.3.1, from memory"},
		{25, "Cel", "K", 298.15, brochure + ", 2.3.1, from memory"},
		{32, "[degF]", "Cel", 0, ucum + ", degree Fahrenheit, from memory"},
		{212, "[degF]", "Cel", 100, ucum + ", degree Fahrenheit, from memory"},
		{-40, "Cel", "[degF]", -40, "by hand: the scales meet at -40"},
		{1, "J/(g.K)", "kJ/kg/K", 1, "by hand from the prefixes"},
	}
	for _, tt := range tests {
		got, err := Exact(tt.x, unit(t, tt.from)).To(unit(t, tt.to))
		if err != nil || math.Abs(got.Value-tt.want) > 2e-13*math.Max(1, math.Abs(tt.want)) {
			t.Errorf("%g %s = %.17g %s, %v, want %g (%s)", tt.x, tt.from, got.Value, tt.to, err, tt.want, tt.source)
		}
	}
}

// Powers of ten convert without dust where the outcome can be written exactly.
func TestDecimalConversionsAreExact(t *testing.T) {
	tests := []struct {
		x        float64
		from, to string
		want     float64
	}{
		{350, "uL", "mL", 0.35}, {14.5, "g", "kg", 0.0145}, {0.8783, "g/mL", "kg/m3", 878.3}, {4.18, "J/(g.K)", "J/(kg.K)", 4180},
		{7.61, "kg", "mg", 7610000}, {90, "s", "min", 1.5}, {2, "h", "min", 120}, {21.4, "Cel", "Cel", 21.4},
	}
	for _, tt := range tests {
		if got, err := Exact(tt.x, unit(t, tt.from)).To(unit(t, tt.to)); err != nil || got.Value != tt.want {
			t.Errorf("%g %s = %.17g %s, %v, want %g", tt.x, tt.from, got.Value, tt.to, err, tt.want)
		}
	}
}

func TestUnitForms(t *testing.T) {
	tests := []struct{ code, canonical, shown string }{
		{"", "1", ""}, {"1", "1", ""}, {"g/g", "1", ""},
		{"K", "K", "K"}, {"Cel", "Cel", "°C"}, {"[degF]", "[degF]", "°F"}, {"uL", "uL", "µL"}, {"ul", "uL", "µL"}, {"l", "L", "L"},
		{"g/mL", "g/mL", "g/mL"}, {"kg/m3", "kg/m3", "kg/m³"}, {"kg.m-3", "kg/m3", "kg/m³"}, {"mm2/s", "mm2/s", "mm²/s"},
		{"1/min", "1/min", "1/min"}, {"/min", "1/min", "1/min"}, {"min-1", "1/min", "1/min"},
		{"kJ/g", "kJ/g", "kJ/g"}, {"mg/g", "mg/g", "mg/g"}, {"cg/g", "cg/g", "g/100 g"}, {"%", "%", "%"}, {"[pH]", "[pH]", "pH"}, {"Ohm", "Ohm", "Ω"},
		{"J/g/K", "J/K/g", "J/(K·g)"}, {"J/(g.K)", "J/K/g", "J/(K·g)"}, {"(J/g)/K", "J/K/g", "J/(K·g)"}, {"J/(g/K)", "J.K/g", "J·K/g"},
		{"m.kg", "kg.m", "kg·m"}, {"[in_i]2", "[in_i]2", "in²"}, {"kg.m2/s2", "kg.m2/s2", "kg·m²/s²"}, {"g.mL/mL", "g", "g"},
	}
	for _, tt := range tests {
		u, err := ParseUnit(tt.code)
		if err != nil || u.String() != tt.canonical || u.Shown() != tt.shown {
			t.Errorf("ParseUnit(%q) = %q shown %q, %v, want %q shown %q", tt.code, u, u.Shown(), err, tt.canonical, tt.shown)
		}
		again, err := ParseUnit(u.String())
		if err != nil || again != u {
			t.Errorf("ParseUnit(%q) = %q, %v: not the unit it was printed from", u, again, err)
		}
	}
}

func TestUnitErrors(t *testing.T) {
	const unknown = " is not a UCUM code that is known here: see the list of units"
	tests := []struct{ code, want string }{
		{"furlong", `the unit "furlong"` + unknown},
		{"g//mL", `the unit "g//mL" has a sign with nothing beside it`},
		{"g..mL", `the unit "g..mL" has a sign with nothing beside it`},
		{"g/", `the unit "g/" has a sign with nothing beside it`},
		{"/", `the unit "/" has a sign with nothing beside it`},
		{"()", `the unit "()" has a sign with nothing beside it`},
		{"J/(g.K", `the unit "J/(g.K" has a "(" that is not closed`},
		{"J/g)", `the unit "J/g)" has a ")" without a "(" before it`},
		{"J(g)", `the unit "J(g)" has a bracket without "." or "/" before it, or one inside another`},
		{"J/((g))", `the unit "J/((g))" has a sign with nothing beside it`},
		{"m0", `the unit "m0" has an exponent in "m0" that is not from 1 to 9`},
		{"m12", `the unit "m12" has an exponent in "m12" that is not from 1 to 9`},
		{"Cel2", `Cel is a scale with its own zero and stands alone: write K for an interval`},
		{"J/Cel", `Cel is a scale with its own zero and stands alone: write K for an interval`},
		{"mpa", `the unit "mpa"` + unknown}, // mPa or MPa: no guess
		{"{count}", `the unit "{count}"` + unknown},
		{"L9.m9.dm9.cm9.mm9", `a unit with mm to the power 9 is beyond reason`},
		{"kg/m^3", `the unit "kg/m^3" is not a UCUM code: write "kg/m3"`},
		{"kg/m³", `the unit "kg/m³" is not a UCUM code: write "kg/m3"`},
		{"J/(g·K)", `the unit "J/(g·K)" is not a UCUM code: write "J/(g.K)"`},
		{"kj/gr", `the unit "kj/gr" is not a UCUM code: write "kJ/g"`},
		{"mg KOH", `the unit "mg KOH"` + unknown},
		{"g*m", `the unit "g*m" is not a UCUM code: write "g.m"`},
		{"kpa", `the unit "kpa" is not a UCUM code: write "kPa"`},
		{"S", `the unit "S" is the siemens, which is not known here`}, // and no second
		{"mS", `the unit "mS" is the siemens, which is not known here`},
		{"a", `the unit "a" is the year, which is not known here`},             // and no ampere
		{"keV", `the unit "keV" is the electronvolt, which is not known here`}, // and no exavolt
		{"eV", `the unit "eV" is the electronvolt, which is not known here`},
		{"mS/cm", `the unit "mS/cm"` + unknown},
		{"J/eV", `the unit "J/eV"` + unknown},
		{"µmol/l", `the unit "µmol/l" is not a UCUM code: write "umol/l"`},
	}
	for _, tt := range tests {
		if u, err := ParseUnit(tt.code); err == nil || err.Error() != tt.want {
			t.Errorf("ParseUnit(%q) = %v, error %v, want %s", tt.code, u, err, tt.want)
		}
	}
	if _, err := ParseUnit(string(make([]byte, MaxUnitLength+1))); err == nil {
		t.Error("a unit beyond MaxUnitLength was read")
	}
}

// Every slip leads to the code that is meant, whether it is typed or stands in a file.
func TestSlips(t *testing.T) {
	for slip, code := range slips {
		meant := unit(t, code)
		if typed, err := parseTypedUnit(slip, One); err != nil || typed != meant {
			t.Errorf("typed %q is read as %s, %v, want %s", slip, typed, err, code)
		}
		if _, err := parseStrict(slip); err == nil {
			continue // a code of its own: ML is the megalitre in a file
		}
		want := `the unit "` + slip + `" is not a UCUM code: write "` + code + `"`
		if _, err := ParseUnit(slip); err == nil || err.Error() != want {
			t.Errorf("ParseUnit(%q): %v, want %s", slip, err, want)
		}
	}
}

func TestAtomsAreReadable(t *testing.T) {
	for _, a := range Atoms() {
		u := unit(t, a.Code)
		if a.Code != "l" && u.String() != a.Code || u.Shown() != a.Shown || a.Name == "" {
			t.Errorf("atom %+v is read as %s, shown as %s", a, u, u.Shown())
		}
	}
}

func TestMustUnitPanicsOnAWrongCode(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("MustUnit took a code that is none")
		}
	}()
	MustUnit("kj/g")
}

var plainCodes = []string{"1", "g", "kg", "mL", "m3", "min", "s", "K", "mol", "J", "kJ/g", "kg/m3", "%", "mm2/s", "1/min", "J/(g.K)"}

func drawUnit(t *rapid.T, label string) Unit {
	return MustUnit(rapid.SampledFrom(plainCodes).Draw(t, label))
}

// Units under multiplication are a commutative group.
func TestUnitGroupLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := drawUnit(t, "a"), drawUnit(t, "b"), drawUnit(t, "c")
		times := func(x, y Unit) Unit {
			u, err := x.Times(y)
			if err != nil {
				t.Fatal(err)
			}
			return u
		}
		if times(a, b) != times(b, a) {
			t.Fatalf("%s and %s do not commute", a, b)
		}
		if times(times(a, b), c) != times(a, times(b, c)) {
			t.Fatalf("%s, %s and %s do not associate", a, b, c)
		}
		inverse, err := One.Per(a)
		if err != nil || times(a, inverse) != One || times(a, One) != a {
			t.Fatalf("%s has no inverse or One is not neutral: %v", a, err)
		}
		square, err := a.Power(2)
		if err != nil || square != times(a, a) {
			t.Fatalf("%s squared is %s, %v", a, square, err)
		}
		if root, err := square.Root(); err != nil || root != a {
			t.Fatalf("the root of %s is %s, %v, want %s", square, root, err, a)
		}
	})
}

func TestRootNeedsEvenExponents(t *testing.T) {
	if u, err := unit(t, "kg/m3").Root(); err == nil || err.Error() != "the square root of kg/m3 is no unit" {
		t.Errorf("root = %s, %v", u, err)
	}
}

func FuzzParseUnit(f *testing.F) {
	for _, code := range plainCodes {
		f.Add(code)
	}
	for _, code := range []string{"J/((g)", "[degF]", "m^3", "µL", "L9.m9", "/", "1/1", "[in_i]-2", "deg C", "((", "%%"} {
		f.Add(code)
	}
	f.Fuzz(func(t *testing.T, code string) {
		u, err := ParseUnit(code)
		if err != nil {
			if err.Error() == "" {
				t.Error("an error says nothing")
			}
			return
		}
		if again, err := ParseUnit(u.String()); err != nil || again != u {
			t.Errorf("ParseUnit(%q) = %q, and that = %q, %v", code, u, again, err)
		}
	})
}
