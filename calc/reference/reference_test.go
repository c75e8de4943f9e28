package reference

import (
	"encoding/csv"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.org/meniscus/calc/quantity"
)

// outside returns the rows of a file of outside values; each row has its source.
func outside(t *testing.T, name string) []row {
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
	var rows []row
	for _, line := range lines[1:] {
		r := row{}
		for i, column := range lines[0] {
			r[column] = line[i]
		}
		rows = append(rows, r)
	}
	return rows
}

func near(t *testing.T, what string, got, want, within float64, source string) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %.7g, want %g ± %g (%s)", what, got, want, within, source)
	}
}

func celsius(x float64) quantity.Quantity { return quantity.Exact(x, quantity.MustUnit("Cel")) }

func TestEveryTableIsWhole(t *testing.T) {
	names, err := fs.Glob(files, "*.csv")
	if err != nil || len(names) != 11 {
		t.Fatalf("%d tables, want 11: %v", len(names), err)
	}
	for _, name := range names {
		rows := read(strings.TrimSuffix(name, ".csv"))
		if len(rows) == 0 {
			t.Errorf("%s cannot be read", name)
		}
		for i, r := range rows {
			if name == "substances.csv" {
				if _, err := Composition(r["formula"]); err != nil {
					t.Errorf("%s row %d: %v", name, i+1, err)
				}
				continue
			}
			seen := r["how_seen"]
			if r["source"] == "" || seen != "document" && seen != "memory" && seen != "computed" {
				t.Errorf("%s row %d: source %q, how_seen %q", name, i+1, r["source"], seen)
			}
			for column, text := range r {
				if _, err := strconv.ParseFloat(text, 64); isNumber[column] && err != nil {
					t.Errorf("%s row %d: %s = %q is no number", name, i+1, column, text)
				}
			}
			if u, ok := r["unit"]; ok {
				if _, err := quantity.ParseUnit(u); err != nil {
					t.Errorf("%s row %d: %v", name, i+1, err)
				}
			}
		}
	}
}

var isNumber = map[string]bool{"g_per_mol": true, "half_width": true, "kg_per_m3_at_20_Cel": true, "expansion_per_K": true,
	"kJ_per_mol": true, "J_per_gK": true, "percent": true, "category": true}

func TestMolarMasses(t *testing.T) {
	for _, r := range outside(t, "molar_masses.csv") {
		m, err := MolarMass(r["formula"])
		if err != nil {
			t.Errorf("%s: %v", r["key"], err)
			continue
		}
		within := 0.0005001
		if strings.HasPrefix(r["key"], "crosscheck.") { // older atomic masses: carbon 12.0107, hydrogen 1.00794, oxygen 15.9994
			within = 0.01
		}
		near(t, r["key"], m.Value, r.number("g_per_mol"), within, r["source"])
	}
}

func TestMolarMassCarriesItsUncertainty(t *testing.T) {
	m, _ := MolarMass("C2H6O")
	want := math.Sqrt((math.Pow(2*0.002, 2) + math.Pow(6*0.0002, 2) + math.Pow(0.001, 2)) / 3)
	near(t, "u(M(C2H6O))", m.U(), want, 1e-12, "half-widths of IUPAC 2021, rectangular by JCGM 100:2008, 4.3.7")
	if got := m.By[0].Source.Name; got != "table:atomic_mass/C" {
		t.Errorf("first source is %q", got)
	}
}

func TestMolarMassRefuses(t *testing.T) {
	tests := map[string]string{
		"":       "the chemical formula is empty: write element signs and counts, as in C2H6O",
		"C2h6O":  `the chemical formula "C2h6O" has no known element at "h6O": write element signs and counts, as in C2H6O`,
		"C2H6Xx": `the chemical formula "C2H6Xx" has no known element at "Xx": write element signs and counts, as in C2H6O`,
		"C0H6":   `the chemical formula "C0H6" has the count 0: write 1 to 1000`,
	}
	for text, want := range tests {
		if _, err := MolarMass(text); err == nil || err.Error() != want {
			t.Errorf("MolarMass(%q): %v, want %s", text, err, want)
		}
	}
}

func TestWaterDensity(t *testing.T) {
	for _, r := range outside(t, "water_density.csv") {
		rho, err := WaterDensity(celsius(r.number("temperature_Cel")))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "water at "+r["temperature_Cel"], rho.Value, r.number("kg_per_m3"), r.number("within"), r["source"])
	}
	rho, _ := WaterDensity(celsius(21.4).With(quantity.Source{Name: "t", DoF: quantity.Known()}, 1))
	up, _ := WaterDensity(celsius(21.401))
	down, _ := WaterDensity(celsius(21.399))
	near(t, "slope of water's density", rho.By[0].Amount, (up.Value-down.Value)/0.002, 1e-6, "difference quotient")
	for _, x := range []float64{-0.1, 40.1, math.NaN(), math.Inf(1)} {
		if _, err := WaterDensity(celsius(x)); err == nil {
			t.Errorf("WaterDensity(%g °C) gives a value", x)
		}
	}
}

func TestOtherDensities(t *testing.T) {
	tests := []struct {
		id              string
		t, want, within float64
		source          string
	}{
		{"ethanol", 20, 789.24, 0.1, "OIML R 22:1975, general formula at 20 °C"},
		{"ethanol", 15, 793.5, 0.1, "OIML R 22:1975, tables (from memory)"},
		{"ethanol", 25, 784.9, 0.2, "CRC Handbook (from memory)"},
		{"methanol", 25, 786.6, 0.3, "CRC Handbook (from memory)"},
		{"glycerol", 20, 1261.3, 0.1, "CRC Handbook, physical constants of organic compounds"},
		{"water", 20, 998.2067, 0.0001, "Metrologia 38 (2001) 301-309"},
	}
	for _, tt := range tests {
		s, err := FindSubstance(tt.id)
		if err != nil {
			t.Fatal(err)
		}
		rho, err := s.DensityAt(celsius(tt.t))
		if err != nil {
			t.Fatal(err)
		}
		near(t, tt.id, rho.Value, tt.want, tt.within, tt.source)
	}
	koh, _ := FindSubstance("KOH")
	if _, err := koh.DensityAt(celsius(20)); err == nil {
		t.Error("KOH has a density as a liquid")
	}
}

func TestHeatCapacityOfWater(t *testing.T) {
	m, err := FindMaterial("water")
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range outside(t, "water_heat_capacity.csv") {
		near(t, "water at "+r["temperature_Cel"], m.HeatCapacity.Value, r.number("J_per_gK"), 0.0065, r["source"])
	}
}

func TestHeatsOfCombustion(t *testing.T) {
	tests := []struct {
		id           string
		want, within float64 // kJ/g
		source       string
	}{
		{"ethanol", 1367.6 / 46.069, (0.8 + 0.3) / 46.069, "NIST Chemistry WebBook: −1367.6 ± 0.3 kJ/mol; the table allows 0.8"},
		{"ethanol", 1367.0 / 46.069, 0.4 / 46.069, "NIST Chemistry WebBook: −1367.0 ± 0.4 kJ/mol"},
		{"ethanol", (2*393.51 + 3*285.830 - 277.6) / 46.069, 0.3 / 46.069, "CODATA key values (1989, from memory), ethanol CRC −277.6 kJ/mol"},
		{"methanol", (393.51 + 2*285.830 - 239.2) / 32.042, 0.3 / 32.042, "CODATA key values (1989, from memory), methanol CRC −239.2 kJ/mol"},
		{"propan_1_ol", 33.634, 0.005, "from CRC enthalpy of formation −302.6 kJ/mol and CODATA (from memory)"},
		{"butan_1_ol", 36.101, 0.005, "from CRC enthalpy of formation −327.3 kJ/mol and CODATA (from memory)"},
		{"glycerol", 17.963, 0.02, "from CRC enthalpy of formation −669.6 kJ/mol and CODATA (from memory)"},
		{"benzoic_acid", 26.434, 0.012, "NBS Journal of Research 72A (1968) 453-465, sample 39i; at bomb conditions"},
	}
	for _, tt := range tests {
		s, err := FindSubstance(tt.id)
		if err != nil {
			t.Fatal(err)
		}
		h, err := s.HeatPerGram()
		if err != nil {
			t.Fatal(err)
		}
		near(t, tt.id, h.Value, tt.want, tt.within, tt.source)
	}
}

func TestHazardStatements(t *testing.T) {
	const annex = "UN GHS Annex 3"
	for code, want := range map[string]string{
		"H225":  "Highly flammable liquid and vapour",
		"H314":  "Causes severe skin burns and eye damage",
		"H361f": "Suspected of damaging fertility",
	} {
		if got, ok := Statement(code); !ok || got != want {
			t.Errorf("Statement(%s) = %q, %v; want %q (%s)", code, got, ok, want, annex)
		}
	}
	if text, ok := Statement("H999"); ok {
		t.Errorf("H999 says %q", text)
	}
}

// TestHazardClasses: each statement has its class, but for the series EUH, which has none; none is of a statement that is
// not known. Without a signal word are only the classes that carry none (Regulation (EC) 1272/2008 Annex I, tables 3.7.2
// and 4.1.4).
func TestHazardClasses(t *testing.T) {
	classes := HazardClasses()
	unsigned := []string{"H362", "H401", "H402", "H411", "H412", "H413"}
	seen := 0
	for _, h := range Hazards() {
		c, ok := classes[h.Code]
		if ok {
			seen++
		}
		if ok == strings.HasPrefix(h.Code, "EUH") {
			t.Errorf("%s has a class: %v", h.Code, ok)
		}
		signal := c.Signal == "Danger" || c.Signal == "Warning"
		if ok && (c.Class == "" || c.Category < 1 || c.Category > 5 || signal == slices.Contains(unsigned, h.Code)) {
			t.Errorf("%s has the class %+v", h.Code, c)
		}
	}
	if seen != len(classes) {
		t.Errorf("%d classes for %d statements", len(classes), seen)
	}
}

// TestByGravity: the signal word first, then the category; the source of each stands in the table.
func TestByGravity(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{
		{"H314", "H225", -1}, // Danger 1 and 2
		{"H225", "H301", -1}, // Danger 2 and 3
		{"H301", "H290", -1}, // Danger 3 and Warning 1
		{"H302", "H319", 1},  // Warning 4 and 2
		{"H301", "H301+H311+H331", 0},
		{"H302", "EUH066", -1}, // Warning 4 and no signal word
	} {
		if got, back := ByGravity(tt.a, tt.b), ByGravity(tt.b, tt.a); got != tt.want || back != -tt.want {
			t.Errorf("%s and %s compare as %d, and %d the other way; want %d", tt.a, tt.b, got, back, tt.want)
		}
	}
}
