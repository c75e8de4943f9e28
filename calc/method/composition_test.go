package method

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/reference"
)

// outside returns the rows of a file of outside values, by column; each row has its source.
func outside(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "reference", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatalf("%s: %v", name, err)
	}
	var rows []map[string]string
	for _, line := range lines[1:] {
		r := map[string]string{}
		for i, column := range lines[0] {
			r[column] = line[i]
		}
		rows = append(rows, r)
	}
	return rows
}

func parse(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// own returns the argument for a profile of the protocol file.
func own(t *testing.T, acids map[string]float64) formula.Value {
	t.Helper()
	p, err := reference.NewProfile("own", acids)
	if err != nil {
		t.Fatal(err)
	}
	return formula.Value{Kind: formula.Text, Text: "own", Row: p}
}

// bench is the oil of the shipped demonstration.
func bench(t *testing.T) formula.Value {
	return own(t, map[string]float64{"16:0": 4.5, "18:0": 1.8, "18:1": 62, "18:2": 20, "18:3": 9.3, "20:0": 0.7, "20:1": 1.7})
}

func TestOwnProfile(t *testing.T) {
	const hand = "worked apart from this program with the same atomic weights and formulas"
	tests := []struct {
		name         string
		args         []formula.Value
		want, within float64
		source       string
	}{
		{"oil_molar_mass", []formula.Value{bench(t)}, 881.22, 0.01, hand},
		{"acid_molar_mass", []formula.Value{bench(t)}, 281.06, 0.005, hand},
		{"ester_molar_mass", []formula.Value{bench(t), text("ethanol")}, 309.11, 0.005, hand},
		{"oil_saponification_value", []formula.Value{bench(t)}, 191.0, 0.05, hand},
		{"ester_saponification_value", []formula.Value{bench(t), text("ethanol")}, 181.5, 0.05, hand},
		{"oil_iodine_value", []formula.Value{bench(t)}, 113.6, 0.05, hand},
		{"ester_iodine_value", []formula.Value{bench(t), text("ethanol")}, 108.0, 0.05, hand},
		{"ester_heat", []formula.Value{bench(t), text("ethanol")}, 40.30, 0.005, "correlation of Fuel 81 (2002) 1051-1063, " + hand},
		{"oil_heat", []formula.Value{bench(t)}, 39.63, 0.005, "correlation of Fuel 81 (2002) 1051-1063, " + hand},
		{"ester_heat_by_values", []formula.Value{bench(t), text("ethanol")}, 40.37, 0.005, "correlation of Fuel 77 (1998) 1117-1120, " + hand},
	}
	for _, tt := range tests {
		near(t, tt.name, call(t, tt.name, tt.args...).Value, tt.want, tt.within, tt.source)
	}
}

func TestOilValues(t *testing.T) {
	methods := map[string]string{"saponification_value": "oil_saponification_value", "iodine_value_from_double_bonds": "oil_iodine_value",
		"triglyceride_molar_mass": "oil_molar_mass", "mean_fatty_acid_molar_mass": "acid_molar_mass"}
	done := 0
	for _, r := range outside(t, "oil_values.csv") {
		if m, ok := methods[r["property"]]; ok {
			within := 0.0501
			if r["property"] == "triglyceride_molar_mass" || r["property"] == "mean_fatty_acid_molar_mass" {
				within = 0.00501
			}
			near(t, m+"("+r["oil"]+")", call(t, m, text(r["oil"])).Value, parse(t, r["value"]), within, r["source"])
			done++
		}
	}
	if done != 40 {
		t.Errorf("%d values compared, want 40", done)
	}
}

func TestOilsWithinCodexValues(t *testing.T) {
	for _, id := range reference.OilIDs() {
		seen := 0
		for _, r := range reference.OilRanges(id) {
			m := map[string]string{"saponification_value": "oil_saponification_value", "iodine_value": "oil_iodine_value"}[r.Property]
			if m == "" {
				continue
			}
			seen++
			if x := call(t, m, text(id)).Value; x < r.Low || x > r.High {
				t.Errorf("%s(%s) = %.1f, outside %g to %g (%s)", m, id, x, r.Low, r.High, r.Source)
			}
		}
		if seen != 2 {
			t.Errorf("%s has %d ranges for its values, want 2", id, seen)
		}
	}
}

func TestIodineFactors(t *testing.T) {
	for _, r := range outside(t, "iodine_factors.csv") {
		if r["basis"] == "triglyceride" {
			iv := call(t, "oil_iodine_value", own(t, map[string]float64{r["acid"]: 100}))
			near(t, "iodine value of "+r["acid"], iv.Value/100, parse(t, r["g_iodine_per_100g_per_percent"]), 0.0016, r["source"]+"; printed to 0.001 to 0.01")
		}
	}
}

func TestHeatByValues(t *testing.T) {
	const source = "Microbial Cell Factories 11 (2012) 71, Table 3"
	for _, tt := range []struct{ sv, iv, want, within float64 }{
		{195, 91.5, 40.06, 0.01}, {201, 73.0, 40.09, 0.01}, {193.2, 74.9, 40.38, 0.01}, {195.3, 52.5, 40.6, 0.05}, {193.0, 69.7, 40.47, 0.01}, {217, 60.28, 39.63, 0.01},
	} {
		var c chain
		h := c.heatByValues(quantity.Exact(tt.sv, quantity.MustUnit("mg/g")), quantity.Exact(tt.iv, quantity.MustUnit("%")))
		near(t, "heat", h.Value, tt.want, tt.within, source)
	}
}

func TestElementalHeat(t *testing.T) {
	tests := []struct {
		formula      string
		want, within float64 // kJ/g
		source       string
	}{
		{"C19H36O2", 40.092, 0.0145 * 40.1, "methyl oleate from CRC enthalpies of formation; stated mean error 1.45 %"},
		{"C2H6O", 29.67, 0.0145 * 29.7, "ethanol, Chemistry 2e (2019), Table 5.2; stated mean error 1.45 %"},
		{"C20H36O2", 40.02, 0.0145 * 40, "ethyl linoleate, J. Am. Oil Chem. Soc. 66 (1989) 1601 (from memory); stated mean error 1.45 %"},
		{"C18H36O2", 39.96, 0.0145 * 40, "ethyl palmitate, J. Am. Oil Chem. Soc. 66 (1989) 1601 (from memory); stated mean error 1.45 %"},
	}
	for _, tt := range tests {
		atoms, err := reference.Composition(tt.formula)
		if err != nil {
			t.Fatal(err)
		}
		var c chain
		h := c.elementalHeat(atoms)
		near(t, tt.formula, h.Value, tt.want, tt.within, tt.source)
		near(t, "relative uncertainty", h.U()/h.Value, 0.01817, 0.0001, "mean absolute error 1.45 % times √(π/2)")
	}
}

func TestTripalmitin(t *testing.T) {
	const source = "textbook exercise: tripalmitin and methanol, from molar masses"
	fat := own(t, map[string]float64{"16:0": 100})
	near(t, "methyl ester", call(t, "theoretical_ester", num(1000, "g"), fat, text("methanol")).Value, 1005.0, 0.2, source)
	near(t, "glycerol", call(t, "theoretical_glycerol", num(1000, "g"), fat).Value, 114.1, 0.2, source)
}

// The doubt of a composition reaches the heat as it would by moving each acid by hand.
func TestHeatKnowsTheCompositionsDoubt(t *testing.T) {
	acids := map[string]float64{"16:0": 10, "18:1": 50, "18:2": 40}
	exact := own(t, acids)
	doubtful := exact
	doubtful.Row = exact.Row.(reference.Profile).Within(2)
	for _, f := range []string{"ester_heat", "ester_net_heat", "oil_heat"} {
		args := func(v formula.Value) []formula.Value {
			if f == "oil_heat" {
				return []formula.Value{v}
			}
			return []formula.Value{v, text("ethanol")}
		}
		var want float64
		for _, acid := range []string{"16:0", "18:1", "18:2"} {
			moved := func(by float64) quantity.Quantity {
				other := map[string]float64{}
				for a, x := range acids {
					if other[a] = x; a == acid {
						other[a] += by
					}
				}
				return call(t, f, args(own(t, other))...)
			}
			d := (moved(0.05).Value - moved(-0.05).Value) * 20 / math.Sqrt(3)
			want += d * d
		}
		got := call(t, f, args(doubtful)...).From("profile:")
		near(t, f, got, math.Sqrt(want), 1e-3*got, "difference quotient, over a narrower step than the profile takes")
	}
}
