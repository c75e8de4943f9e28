package quantity

import (
	"math"
	"strings"
	"testing"
)

func TestParseReading(t *testing.T) {
	tests := []struct {
		text, unit string
		want       float64
	}{
		{"142,86", "g", 142.86}, {"142.86", "g", 142.86}, {"142.86 g", "g", 142.86}, {"142,86g", "g", 142.86}, {"0.14286 kg", "g", 142.86},
		{"0,58 ml", "mL", 0.58}, {"350 uL", "mL", 0.35}, {"500 uL", "mL", 0.5}, {"0.35mL", "mL", 0.35}, {"350 µL", "mL", 0.35}, {"350µl", "mL", 0.35},
		{"5 ML", "mL", 5}, {"-3", "Cel", -3}, {"−3", "Cel", -3}, {"–3,5", "Cel", -3.5}, {"+5", "g", 5}, {"7.61e0", "g", 7.61}, {"1.5e1", "g", 15},
		{"1.5E+1 mL", "mL", 15}, {"12,5", "mL", 12.5}, {" 12.5 ", "mL", 12.5}, {"12.5 ", "mL", 12.5}, {"12.5\u00a0mL", "mL", 12.5},
		{"\u202f12.5", "mL", 12.5}, {"12.", "mL", 12}, {".5", "mL", 0.5}, {",5", "mL", 0.5}, {"0,123", "g", 0.123}, {"1,2345", "g", 1.2345},
		{"12.345", "g", 12.345}, {"1234,567", "g", 1234.567}, {"1,234e0", "g", 1.234}, {"60 °C", "Cel", 60}, {"60 C", "Cel", 60}, {"60°", "Cel", 60},
		{"60 Cel", "Cel", 60}, {"333.15 K", "Cel", 60}, {"140 °F", "Cel", 60}, {"90 s", "min", 1.5}, {"878.3 kg/m³", "g/mL", 0.8783},
		{"4.9 mm²/s", "mm2/s", 4.9}, {"50 ug", "g", 5e-5}, {"0.3 MPa", "Pa", 3e5}, {"12 %", "1", 0.12}, {"12", "%", 12}, {"0.1 M", "mol/L", 0.1}, {"0", "g", 0}, {"1e-400", "g", 0},
	}
	for _, tt := range tests {
		q, err := ParseReading(tt.text, unit(t, tt.unit))
		if err != nil || q.Value != tt.want || q.Unit.String() != tt.unit || q.By != nil {
			t.Errorf("ParseReading(%q, %s) = %.17g %s, %v, want %g", tt.text, tt.unit, q.Value, q.Unit, err, tt.want)
		}
	}
}

func TestParseReadingErrors(t *testing.T) {
	tests := []struct{ text, unit, want string }{
		{"", "g", `"" is no number; type digits such as 12.5`},
		{"  ", "g", `"  " is no number; type digits such as 12.5`},
		{"abc", "g", `"abc" is no number; type digits such as 12.5`},
		{"-", "g", `"-" is no number; type digits such as 12.5`},
		{".", "g", `"." is no number; type digits such as 12.5`},
		{"e5", "g", `"e5" is no number; type digits such as 12.5`},
		{"--5", "g", `"--5" is no number; type digits such as 12.5`},
		{"NaN", "g", `"NaN" is no number; type digits such as 12.5`},
		{"Inf", "g", `"Inf" is no number; type digits such as 12.5`},
		{"١٢", "g", `"١٢" is no number; type digits such as 12.5`},
		{"1.2.3", "g", `"1.2.3" has more than one decimal mark; type digits and one mark such as 12.5`},
		{"12.5.", "g", `"12.5." has more than one decimal mark; type digits and one mark such as 12.5`},
		{"1,234.5", "g", `"1,234.5" has more than one decimal mark; type digits and one mark such as 12.5`},
		{"1 234", "g", `"1 234" is more than one number; type digits without a space, such as 12.5`},
		{"12-5", "g", `"12-5" is more than one number; type digits without a space, such as 12.5`},
		{"1e999", "g", `"1e999" is too large a number`},
		{"1e99999", "g", `"1e99999" is too large a number`},
		{"1e308 kg", "mg", `"1e308" is too large a number`},
		{"0x10", "g", `the unit "x10" has an exponent in "x10" that is not from 1 to 9; a bare number is in g`},
		{"5 furlong", "g", `the unit "furlong" is not a UCUM code that is known here: see the list of units; a bare number is in g`},
		{"5 mL", "g", `mL is no unit for a reading in g`},
		{"5 g", "Cel", `g is no unit for a reading in °C`},
		{"5 g", "1", `g is no unit for a reading in 1`},
		{"5 furlong", "Cel", `the unit "furlong" is not a UCUM code that is known here: see the list of units; a bare number is in °C`},
		{"6.84 gg", "g", `gg (Gg) is 10^9 times g: that is taken for a slip; type the number in g`},
		{"5 pL", "mL", `pL (pL) is 10^-9 times mL: that is taken for a slip; type the number in mL`},
		{"1,234", "g", `"1,234" may be 1.234 or 1234; type it without the mark or with a point`},
		{"-12,345 g", "g", `"-12,345" may be -12.345 or -12345; type it without the mark or with a point`},
		{strings.Repeat("1", 200), "g", `a number of 200 characters is too long`},
	}
	for _, tt := range tests {
		if q, err := ParseReading(tt.text, unit(t, tt.unit)); err == nil || err.Error() != tt.want {
			t.Errorf("ParseReading(%q) = %v, error %v, want %s", tt.text, q, err, tt.want)
		}
	}
}

func TestAmbiguousReadingTellsBoth(t *testing.T) {
	_, err := ParseReading("1,234", unit(t, "g"))
	a, ok := err.(*AmbiguousError)
	if !ok || a.A != 1.234 || a.B != 1234 || a.Text != "1,234" || a.Write != [2]string{"1.234", "1234"} {
		t.Errorf("error %#v", err)
	}
}

func TestParseQuantity(t *testing.T) {
	for text, want := range map[string]Quantity{
		"30 mL": Exact(30, unit(t, "mL")), "0.02 g": Exact(0.02, unit(t, "g")), "1": Ratio(1), "30mL": Exact(30, unit(t, "mL")),
		"2.442 kJ/g": Exact(2.442, unit(t, "kJ/g")), "-5 Cel": Exact(-5, unit(t, "Cel")), "5 1/min": Exact(5, unit(t, "1/min")),
	} {
		got, err := ParseQuantity(text)
		if err != nil || got.Value != want.Value || got.Unit != want.Unit {
			t.Errorf("ParseQuantity(%q) = %v %s, %v", text, got.Value, got.Unit, err)
		}
	}
	for text, want := range map[string]string{
		"30 ML5q": `the unit "ML5q" is not a UCUM code that is known here: see the list of units`,
		"30,5 mL": `"30,5 mL" has a comma: a file writes a decimal point`,
		"30 °C":   `the unit "°C" is not a UCUM code: write "Cel"`,
		"mL":      `"mL" is no number; type digits such as 12.5`,
	} {
		if q, err := ParseQuantity(text); err == nil || err.Error() != want {
			t.Errorf("ParseQuantity(%q) = %v, error %v, want %s", text, q, err, want)
		}
	}
}

func FuzzParseReading(f *testing.F) {
	for _, s := range []string{"142,86", "0,58 ml", "350 uL", "1,234", "-3", "7.61e0", "1.2.3", "1e999", "−3 °C", "١٢", "12.5.", "\u00a05 g", "5 1/min"} {
		f.Add(s, "g")
		f.Add(s, "Cel")
	}
	f.Fuzz(func(t *testing.T, text, code string) {
		u, err := ParseUnit(code)
		if err != nil {
			u = One
		}
		q, err := ParseReading(text, u)
		if err == nil && (math.IsNaN(q.Value) || math.IsInf(q.Value, 0) || q.Unit != u) {
			t.Errorf("ParseReading(%q, %s) = %v %s", text, u, q.Value, q.Unit)
		}
		if _, err := ParseQuantity(text); err != nil && err.Error() == "" {
			t.Error("an error says nothing")
		}
	})
}
