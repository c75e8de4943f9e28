package protocols_test

import (
	"fmt"
	"math"
	"testing"

	"example.org/meniscus/protocol/summary"
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
		oil           string
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
