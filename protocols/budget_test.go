package protocols_test

import (
	"bytes"
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/tui/print"
)

// worthOf returns a result of a vessel; with "" of the whole run.
func worthOf(t *testing.T, s *summary.Summary, vessel, id string) summary.Result {
	t.Helper()
	rows := s.Results
	for _, v := range s.Vessels {
		if v.Label == vessel {
			rows = v.Results
		}
	}
	i := slices.IndexFunc(rows, func(r summary.Result) bool { return r.ID == id })
	if i < 0 || rows[i].Status != summary.OK {
		t.Fatalf("vessel %q has no value of %s", vessel, id)
	}
	return rows[i]
}

// contribution returns what the sources that begin with prefix make of a result's standard uncertainty.
func contribution(r summary.Result, prefix string) float64 {
	var squares float64
	for _, b := range r.Budget {
		if strings.HasPrefix(b.Source, prefix) {
			squares += b.Contribution * b.Contribution
		}
	}
	return math.Sqrt(squares)
}

// What the instruments of the three procedures make of the demo's readings (JCGM 100:2008, 4.3; a repeatability is a standard
// deviation s, a difference of two weighings has √(2(d²/12 + s²)), a gain stays in a difference, half of a thermometer's
// calibration of 0.5 K is shared and half goes with the difference). The figures are worked by hand from the declarations;
// u = 0.008 g of a difference of two weighings is the worked budget of the demo's burn too.
func TestWhatInstrumentsMakeOfTheDemos(t *testing.T) {
	const root3 = 1.732050808
	twice := math.Sqrt2 * math.Hypot(0.01/math.Sqrt(12), 0.005) // 0.0082 g
	demos := map[string]*summary.Summary{}
	tests := []struct {
		protocol, result, source string
		want                     float64
	}{
		{burn, "fuel_burnt", "reading:burner_", twice},
		{burn, "water", "reading:can", twice},
		{burn, "water", "instrument:balance/gain", 0.0004 * 180.30 / root3},
		{burn, "raw_rise", "instrument:thermometer/gain", 0.25 * 20.4 / 20 / root3},
		{burn, "raw_rise", "instrument:thermometer/offset", 0},
		{ester, "product", "reading:product_", twice},
		{ester, "product", "instrument:balance/gain", 0.0004 * 48.67 / root3},
		{ester, "yield_of_oil", "instrument:balance/gain", 0}, // a ratio of two masses
		{ester, "dry_residue", "instrument:fine_balance/gain", 0},
		{acid, "koh_in_solution", "instrument:balance/gain", 0},
		{acid, "koh_found", "reading:solution_sample/u", 0.001 * 2.631 / 2.011},
	}
	for _, tt := range tests {
		if demos[tt.protocol] == nil {
			demos[tt.protocol] = reworked(t, tt.protocol, nil)
		}
		r := worthOf(t, demos[tt.protocol], "A", tt.result)
		if got := contribution(r, tt.source); math.Abs(got-tt.want) > 0.02*tt.want+1e-9 {
			t.Errorf("%s, %s: %s gives u = %.3g, want %.3g", tt.protocol, tt.result, tt.source, got, tt.want)
		}
	}
}

// Burns scatter by 2 to 4 % (common practice, no source): 3 % stands in the budget of one burn and, by the law of the mean, of
// two; three burns show their own scatter and need no other.
func TestBurnsScatter(t *testing.T) {
	one := reworked(t, burn, nil)
	two := burns(t, oneBurn{"A", "A", "141.70"}, oneBurn{"A", "C", "141.71"}, oneBurn{"B", "B", "150.35"}, oneBurn{"B", "D", "150.36"})
	for _, tt := range []struct {
		name           string
		s              *summary.Summary
		vessel, result string
		want           float64 // of the value
	}{
		{"one burn", one, "A", "specific_energy", 0.03},
		{"one burn", one, "B", "efficiency", 0.03},
		{"one of each", one, "", "mean_ester_energy", 0.03},
		{"one of each", one, "", "scaled_energy", 0.03 * math.Sqrt2},
		{"two of each", two, "", "reference_efficiency", 0.03 / math.Sqrt2},
		{"two of each", two, "", "scaled_energy", 0.03},
		{"three of each", sixBurns(t), "", "mean_ester_energy", 0},
		{"three of each", sixBurns(t), "", "share_of_expected", 0},
	} {
		r := worthOf(t, tt.s, tt.vessel, tt.result)
		value := *r.Value
		if got := contribution(r, "given:burn_scatter@") / value; math.Abs(got-tt.want) > 0.03*tt.want { // two burns that agree scatter a little too
			t.Errorf("%s, %s: the scatter of burns is %.3g of the value, want %.3g", tt.name, tt.result, got, tt.want)
		}
		if u := *r.StandardUncertainty / value; u < tt.want {
			t.Errorf("%s, %s: u is %.3g of the value, want %.3g or more", tt.name, tt.result, u, tt.want)
		}
	}
}

// 78.2 % with an expanded uncertainty of more than 4 % does not show that a share is below 85 %: every page says so.
func TestUndecidedOnEveryPage(t *testing.T) {
	s := reworked(t, burn, nil)
	for name, write := range map[string]func(*bytes.Buffer) error{
		"text":     func(b *bytes.Buffer) error { return print.Text(b, s, print.Options{Width: 300}) },
		"Markdown": func(b *bytes.Buffer) error { return print.Markdown(b, s, print.Options{}) },
		"HTML":     func(b *bytes.Buffer) error { return print.HTML(b, s, print.Options{}) },
		"JSON":     func(b *bytes.Buffer) error { return print.JSON(b, s) },
	} {
		var page bytes.Buffer
		if err := write(&page); err != nil {
			t.Fatal(err)
		}
		if got := page.String(); !strings.Contains(got, "undecided: outside by less than its uncertainty") || strings.Contains(got, "Under 85 %") {
			t.Errorf("%s: it is not said that the share of what is expected is undecided", name)
		}
	}
}
