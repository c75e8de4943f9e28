package protocols_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/protocols"
)

// fuelWeighed is the pycnometer of the demo filled, at 21.4 °C, with a liquid of that density in kg/m3 at 15 °C.
func fuelWeighed(density15 float64) string {
	density := density15 - 0.73*(21.4-15)
	return fmt.Sprintf("%.3f", 24.318+(34.272-24.318)*(density-1.2)/(997.91-1.2))
}

// Another oil brings its own densities and viscosities: a product that is all ester of that oil reads 100 %, and the oil
// itself 0 %, within what is printed.
func TestEachOilIsMeasuredByItsOwnEster(t *testing.T) {
	const (
		esterSource = "Chemistry and Physics of Lipids 163 (2010) 720-727 for the mean acid (from memory)"
		oilSource   = "testdata/reference/oil_viscosities.csv, 38 °C; olive and grapeseed common practice, no source"
	)
	rows := []struct {
		oil            string
		ester15, oil38 float64 // kg/m3, mm2/s
	}{
		{"bench_rapeseed", 878.5, 37.0}, {"rapeseed", 878.5, 37.0}, {"coconut", 866.5, 30}, {"grapeseed", 882.4, 33},
		{"hemp", 886.0, 29}, {"linseed", 889.5, 27.2}, {"olive", 873.7, 40}, {"palm", 869.8, 40.5},
		{"peanut", 875.6, 39.6}, {"soybean", 881.6, 32.6}, {"sunflower", 880.9, 33.9},
	}
	if choices := load(t, ester).Given("oil").Choices; len(choices) != len(rows) {
		t.Errorf("%d oils are tried, %d ship", len(rows), len(choices))
	}
	for _, r := range rows {
		s := reworked(t, ester, changes{"oil": r.oil, "pycnometer_fuel": fuelWeighed(r.ester15), "efflux_time": fmt.Sprintf("%.1f", r.oil38/1.06/0.03018)})
		lies(t, r.oil+", pure ester by density", resultOf(t, s, "conversion_by_density"), 100, esterSource)
		lies(t, r.oil+", pure oil by viscosity", resultOf(t, s, "conversion_by_viscosity"), 0, oilSource)
	}
}

func resultOf(t *testing.T, s *summary.Summary, id string) summary.Result {
	t.Helper()
	for _, r := range s.Vessels[0].Results {
		if r.ID == id {
			return r
		}
	}
	t.Fatalf("no result %s", id)
	return summary.Result{}
}

// lies reports a value that is further from what it should be than its expanded uncertainty.
func lies(t *testing.T, what string, r summary.Result, want float64, source string) {
	t.Helper()
	if r.Value == nil || r.ExpandedUncertainty == nil {
		t.Errorf("%s has no value: %+v", what, r)
		return
	}
	if u := *r.ExpandedUncertainty; math.Abs(*r.Value-want) > u {
		t.Errorf("%s = %.1f ± %.1f %%, want %g (%s)", what, *r.Value, u, want, source)
	}
}

// An oil that no rule knows has no such value: the summary says why, and does not take it for rapeseed.
func TestUnknownOilIsRefused(t *testing.T) {
	file, _ := protocols.Text(ester)
	const known, unknown = `"C16:0" = 4.5, "C18:0" = 1.8, "C18:1" = 62.0, "C18:2" = 20.0, "C18:3" = 9.3, "C20:0" = 0.7, "C20:1" = 1.7`, `"C8:0" = 60.0, "C10:0" = 40.0`
	p, err := protocol.Load(ester+".toml", []byte(strings.Replace(string(file), known, unknown, 1)))
	if err != nil {
		t.Fatal(err)
	}
	s := workedUpBy(t, p, demoRows(t, ester))
	for _, id := range []string{"conversion_by_density", "conversion_by_viscosity", "pure_ester_yield"} {
		r := resultOf(t, s, id)
		if r.Value != nil || r.Status == summary.OK || !strings.Contains(r.Message, "the density and viscosity of such an oil are not known") {
			t.Errorf("%s: value %v, status %s, %q", id, r.Value, r.Status, r.Message)
		}
	}
	own := slices.Clone(demoRows(t, ester))
	for i, row := range own {
		if v, ok := (changes{"own_ester_density": "876", "own_oil_density": "919.5"})[row[1]]; ok {
			own[i] = []string{row[0], row[1], v, row[3], row[4]}
		}
	}
	if r := resultOf(t, workedUpBy(t, p, own), "conversion_by_density"); r.Value == nil {
		t.Errorf("with measured densities: %s", r.Message)
	}
	if r := resultOf(t, s, "yield_mass"); r.Value == nil {
		t.Errorf("the yield needs no density: %s", r.Message)
	}
}

// Who has measured the pure liquids is not held to a rule. The values are those in use for rapeseed (from memory).
func TestMeasuredPureLiquidsStand(t *testing.T) {
	s := reworked(t, ester, changes{"own_ester_density": "876", "own_oil_density": "919.5", "own_ester_viscosity": "4.9", "own_oil_viscosity": "35"})
	for id, want := range map[string]float64{"conversion_by_density": 94.5, "conversion_by_viscosity": 93.8} {
		r := resultOf(t, s, id)
		if math.Abs(*r.Value-want) > 0.1 {
			t.Errorf("%s = %.2f %%, want %g (878.3 kg/m3 and 5.53 mm2/s, worked by hand)", id, *r.Value, want)
		}
	}
}

// TestFoundStrengthCounts: the strength that the assay check found, copied from the bottle, counts in place of the weighings.
// 2.10 % of 21.380 g is 0.4490 g, 0.897 % of 50.05 g (worked by hand).
func TestFoundStrengthCounts(t *testing.T) {
	s := reworked(t, ester, changes{"found_koh": "2.10"})
	for id, want := range map[string]float64{"koh_in_solution": 2.10, "koh_added": 0.4490, "koh_of_oil": 0.897} {
		r := resultOf(t, s, id)
		if math.Abs(*r.Value-want) > 0.0005 {
			t.Errorf("%s = %.4f, want %g", id, *r.Value, want)
		}
	}
}

// What the numbers carry of what stands beside them: the oil's unsaponifiable part in the yield, the rule of mixing and
// the pure ester in the estimates of conversion.
func TestBudgetsNameWhatIsNotWeighed(t *testing.T) {
	s := reworked(t, ester, nil)
	for _, tt := range []struct {
		result, cause string
		u, within     float64 // expanded, in %
		source        string
	}{
		{"theoretical_ester", "given:unsaponifiable", 0.30, 0.01, "0.5 %/√3 of 52.14 g/0.99, twice, is 0.30 g"},
		{"yield_mass", "given:unsaponifiable", 0.54, 0.01, "0.5 %/√3 of 93.34 %/0.99, twice, is 0.54 %"},
		{"conversion_by_density", "table:mixing_rule/density", 8, 1, "twice 3 to 5 % of the whole"},
		{"conversion_by_density", "table:density/ester", 8, 1, "twice 3 to 5 % of the whole"},
		{"conversion_by_viscosity", "table:mixing_rule/viscosity", 8, 2, "twice 3 to 5 % of the whole"},
	} {
		r := resultOf(t, s, tt.result)
		if got := *r.ExpandedUncertainty; math.Abs(got-tt.u) > tt.within {
			t.Errorf("%s is ± %.3g, want %g (%s)", tt.result, got, tt.u, tt.source)
		}
		if !slices.ContainsFunc(r.Budget, func(b summary.Share) bool { return b.Source == tt.cause && b.Share > 0.1 }) {
			t.Errorf("%s does not name %s in its budget: %+v", tt.result, tt.cause, r.Budget)
		}
	}
}

// A word that a figure is too high, too low or void stands there only where the figure's uncertainty leaves it so.
func TestNoVerdictInsideTheUncertainty(t *testing.T) {
	for _, tt := range []struct{ result, fuel string }{
		{"conversion_by_density", fuelWeighed(876.5)}, // a little lighter than the pure ester
		{"density_15", fuelWeighed(879.5)},            // 94 %: the 96.5 % of the standard lie within the 8 %
	} {
		if got := said(t, reworked(t, ester, changes{"pycnometer_fuel": tt.fuel}), "A", tt.result); got != "" {
			t.Errorf("%s: %q is said", tt.result, got)
		}
	}
	if got := said(t, reworked(t, ester, changes{"product_gross": "115.40"}), "A", "yield_mass"); got != "" { // 100.2 ± 0.6 %
		t.Errorf("yield_mass: %q is said", got)
	}
	if got := said(t, reworked(t, ester, changes{"oil": "coconut", "product_gross": "115.40"}), "A", "volume_yield"); got != "" {
		t.Errorf("volume_yield of coconut, whose full conversion is 112 %%: %q is said", got)
	}
}
