package command_test

import (
	"encoding/json"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"github.com/adrg/xdg"
)

const (
	chemistry = "Chemistry 2e (2019), section 5.2"
	quam      = "Eurachem/CITAC QUAM, 3rd ed. 2012"
	fuelTable = "Microbial Cell Factories 11 (2012) 71, Table 3"
	zFactors  = "ISO 8655-6:2002, Annex A (from memory)"
)

// A worked example is one figure of a published calculation, worked up from a protocol and readings in testdata/worked.
// The figures are as the source prints them; where it prints none, or a rounded one, the row says how it was got.
type worked struct {
	file, vessel, result string
	value, within        float64 // within: half of the last digit printed, or what the source's rounding allows
	u, uWithin           float64 // standard uncertainty; not looked at when uWithin is 0
	dof, dofWithin       float64 // the same
	parts                map[string]part
	source               string
}

// A part is what sources that begin with the names contribute together, in the result's unit.
type part struct{ contribution, within float64 }

var workedExamples = []worked{
	{file: "w01", result: "heat", value: -48.8, within: 0.1, source: chemistry + ", bomb calorimeter: 48.8 kJ in the working, 48.7 in its last sentence"},
	{file: "w02", result: "heat", value: -2.9, within: 0.05, source: chemistry + ", neutralisation"},
	{file: "w02", result: "molar_heat", value: -58, within: 0.5, source: "Chemistry 2e (2019), section 5.3: -58 kJ/mol"},
	{file: "w03", result: "heat", value: 1.0, within: 0.05, source: chemistry + ", instant ice pack"},
	{file: "w03", result: "molar_heat", value: 25, within: 1, source: "Chemistry 2e (2019), section 5.3, exercise: 25 kJ/mol from the rounded heat"},
	{file: "w04", vessel: "A", result: "temperature", value: 335.6, within: 0.1, source: chemistry + ", hot metal in water, start of the rebar"},
	{file: "w04", vessel: "B", result: "temperature", value: 38.7, within: 0.1, source: chemistry + ", hot metal in water, first check question"},
	{file: "w04", vessel: "C", result: "temperature", value: 248, within: 1, source: chemistry + ", hot metal in water, second check question"},
	{file: "w05", result: "constant", value: 45.9, within: 0.1, source: "a published answer on calorimeter constants"},
	{file: "w06", result: "molar_heat", value: -1472.4, within: 1, source: "a published page on enthalpies of combustion for the inputs; its result of -1470 kJ/mol from memory"},
	{file: "w06", result: "efficiency", value: 72.8, within: 0.1, source: "worked by hand: 1472.4 of 2021.3 kJ/mol"},
	{file: "w07", result: "correction", value: 0.048, within: 0.0015, source: "Steam, its generation and use, page 187: 0.048 with two misprints in the working; the data give 0.0494"},
	{file: "w08", result: "length", value: 50000838, within: 0.5, u: 32, uWithin: 0.5, dof: 16.8, dofWithin: 0.2,
		parts: map[string]part{"given:standard": {25, 0.05}, "reading:difference given:random given:systematic": {9.7, 0.05},
			"given:expansion_difference": {2.9, 0.05}, "given:temperature_difference": {16.6, 0.05}},
		source: "JCGM 100:2008, H.1; the expansion coefficient and the degrees of freedom, 16 when cut, from memory"},
	{file: "w09", result: "resistance", value: 127.732, within: 0.0005, u: 0.071, uWithin: 0.0005, source: "JCGM 100:2008, H.2, Table H.4, each set by itself"},
	{file: "w09", result: "reactance", value: 219.847, within: 0.0005, u: 0.295, uWithin: 0.0006, source: "JCGM 100:2008, H.2, Table H.4, each set by itself"},
	{file: "w09", result: "impedance", value: 254.260, within: 0.0005, u: 0.236, uWithin: 0.0005, source: "JCGM 100:2008, H.2, Table H.4, each set by itself"},
	{file: "w09", result: "mean_volt", value: 4.9990, within: 0.00005, u: 0.0032, uWithin: 0.00005, dof: 4, dofWithin: 1e-9, source: "JCGM 100:2008, H.2, Table H.2"},
	{file: "w09", result: "mean_current", value: 19.6610, within: 0.00005, u: 0.0095, uWithin: 0.00005, source: "JCGM 100:2008, H.2, Table H.2"},
	{file: "w09", result: "mean_phase", value: 1.04446, within: 0.000005, u: 0.00075, uWithin: 0.000005, source: "JCGM 100:2008, H.2, Table H.2"},
	{file: "w10", result: "y", value: 1, within: 1e-12, u: 0.0103, uWithin: 0.0001, dof: 19.0, dofWithin: 0.05, source: "JCGM 100:2008, G.4.1, example (from memory)"},
	{file: "w11", result: "concentration", value: 1002.7, within: 0.05, u: 0.835, uWithin: 0.0005,
		parts:  map[string]part{"reading:metal": {0.500, 0.0005}, "given:purity": {0.058, 0.0005}, "given:flask given:filling given:warmth": {0.667, 0.0005}},
		source: quam + ", A1"},
	{file: "w12", result: "molar_mass_of_salt", value: 204.2212, within: 0.00005, u: 0.0038, uWithin: 0.00005, source: quam + ", A2"},
	{file: "w12", result: "salt", value: 0.3888, within: 0.00005, u: 0.00012, uWithin: 0.000005, source: quam + ", A2"},
	{file: "w12", result: "concentration", value: 0.102136, within: 0.0000005, u: 0.000101, uWithin: 0.0000006,
		parts: map[string]part{"given:calibration given:warmth": {7.47e-5, 0.005e-5}, "given:repeatability": {5.11e-5, 0.005e-5}, "reading:": {3.22e-5, 0.005e-5},
			"given:purity": {2.95e-5, 0.005e-5}, "given:carbon given:hydrogen given:oxygen given:potassium": {0.19e-5, 0.005e-5}},
		source: quam + ", A2"},
	{file: "w13", result: "y", value: 0, within: 1e-12, u: 2.00, uWithin: 0.005, source: "JCGM 101:2008, 9.2.3 (from memory)"},
	{file: "w14", vessel: "A", result: "free_acid", value: 0.766, within: 0.001, source: "an article on acid number and free fatty acid: 0.766 % for each mL of NaOH, 1 g/L"},
	{file: "w14", vessel: "B", result: "free_acid", value: 0.546, within: 0.001, source: "the same article: 0.546 % for each mL of KOH, 1 g/L"},
	{file: "w15", result: "iodine_value", value: 113.1, within: 0.1, source: "worked by hand with the factors of AOCS Cd 1c-85, the acids scaled to 100 %"},
	{file: "w15", result: "saponification_value", value: 191.3, within: 0.1, source: "worked by hand from the same acids"},
	{file: "w16", vessel: "A", result: "heating_value", value: 40.06, within: 0.01, source: fuelTable},
	{file: "w16", vessel: "B", result: "heating_value", value: 40.09, within: 0.01, source: fuelTable},
	{file: "w16", vessel: "C", result: "heating_value", value: 40.38, within: 0.01, source: fuelTable},
	{file: "w16", vessel: "D", result: "heating_value", value: 40.6, within: 0.05, source: fuelTable + ", printed to one decimal"},
	{file: "w16", vessel: "E", result: "heating_value", value: 40.47, within: 0.01, source: fuelTable},
	{file: "w17", result: "volume", value: 51.061, within: 0.001, source: "a laboratory procedure for pycnometers; its density of water is misprinted as 0.33704"},
	{file: "w18", result: "constant", value: 15.622, within: 0.005, source: "inputs of a published exercise, worked by hand: it prints no result"},
	{file: "w19", result: "methanol", value: 0.1191, within: 0.0002, source: "inputs of a published exercise, worked by hand: it prints no result"},
	{file: "w19", result: "ester", value: 1.0050, within: 0.0002, source: "the same"},
	{file: "w19", result: "glycerol", value: 0.1141, within: 0.0002, source: "the same"},
	{file: "w20", vessel: "A", result: "factor", value: 1.0020, within: 0.0001, source: zFactors},
	{file: "w20", vessel: "B", result: "factor", value: 1.0025, within: 0.0001, source: zFactors},
	{file: "w20", vessel: "C", result: "factor", value: 1.0029, within: 0.0001, source: zFactors},
	{file: "w20", vessel: "D", result: "factor", value: 1.0033, within: 0.0001, source: zFactors},
	{file: "w20", vessel: "E", result: "factor", value: 1.0040, within: 0.0001, source: zFactors},
}

// figure is a result as calculate prints it.
type figure struct {
	ID, Status, Message string
	Value               float64
	U                   float64  `json:"standard_uncertainty"`
	DoF                 *float64 `json:"degrees_of_freedom"`
	Budget              []struct {
		Source       string
		Contribution float64
	}
	MonteCarlo *struct {
		Mean, Low, High float64
		U               float64 `json:"standard_uncertainty"`
		Judgement       string
	} `json:"monte_carlo"`
}

// calculated runs calculate on an example and returns its results by vessel and id.
func calculated(t *testing.T, file string, more ...string) map[string]figure {
	t.Helper()
	at := filepath.Join("..", "..", "testdata", "worked", file)
	text := call(t, append([]string{"calculate", at + ".toml", at + ".csv", "--format", "json"}, more...)...)
	var got struct {
		Vessels []struct {
			Label   string
			Results []figure
		}
	}
	if err := json.Unmarshal([]byte(text), &got); err != nil {
		t.Fatal(err)
	}
	out := map[string]figure{}
	for _, v := range got.Vessels {
		for _, r := range v.Results {
			out[v.Label+" "+r.ID] = r
		}
	}
	return out
}

func alone(t *testing.T) {
	t.Helper()
	t.Setenv("XDG_CONFIG_HOME", t.TempDir()) // no instruments but the protocol's
	xdg.Reload()
}

func TestWorkedExamples(t *testing.T) {
	alone(t)
	files := map[string]map[string]figure{}
	for _, w := range workedExamples {
		if files[w.file] == nil {
			files[w.file] = calculated(t, w.file)
		}
		if w.vessel == "" {
			w.vessel = "A"
		}
		r, ok := files[w.file][w.vessel+" "+w.result]
		if !ok || r.Status != "ok" {
			t.Errorf("%s has no %s: %s %s", w.file, w.result, r.Status, r.Message)
			continue
		}
		w.compare(t, r)
	}
	if len(files) != 20 {
		t.Errorf("%d examples are worked, want 20", len(files))
	}
}

func (w worked) compare(t *testing.T, r figure) {
	t.Helper()
	check := func(what string, got, want, within float64) {
		if !(math.Abs(got-want) <= within) {
			t.Errorf("%s %s: %s = %.8g, want %g within %g (%s)", w.file, w.result, what, got, want, within, w.source)
		}
	}
	check("value", r.Value, w.value, w.within)
	if w.uWithin > 0 {
		check("u", r.U, w.u, w.uWithin)
	}
	if w.dofWithin > 0 {
		dof := math.Inf(1)
		if r.DoF != nil {
			dof = *r.DoF
		}
		check("degrees of freedom", dof, w.dof, w.dofWithin)
	}
	for names, p := range w.parts {
		var squares float64
		for _, b := range r.Budget {
			for _, name := range strings.Fields(names) {
				if b.Source == name || strings.HasPrefix(b.Source, name) && (strings.HasSuffix(name, ":") || b.Source[len(name)] == '/') {
					squares += b.Contribution * b.Contribution
				}
			}
		}
		check("what "+names+" contributes", math.Sqrt(squares), p.contribution, p.within)
	}
}

// The trials of four rectangles give a narrower interval than the chain rule, as the supplement prints it.
func TestWorkedExampleByMonteCarlo(t *testing.T) {
	alone(t)
	const source = "JCGM 101:2008, 9.2.3: u = 2.00, -3.88 to 3.88 (from memory)"
	r := calculated(t, "w13", "--trials", "1000000", "--seed", "1")["A y"]
	if r.MonteCarlo == nil {
		t.Fatal("no trials were made")
	}
	for _, c := range []struct{ got, want, within float64 }{{r.MonteCarlo.U, 2.00, 0.005}, {r.MonteCarlo.Low, -3.88, 0.02}, {r.MonteCarlo.High, 3.88, 0.02}} {
		if math.Abs(c.got-c.want) > c.within {
			t.Errorf("%g, want %g within %g (%s)", c.got, c.want, c.within, source)
		}
	}
	again := calculated(t, "w13", "--trials", "1000000", "--seed", "1")["A y"]
	if *again.MonteCarlo != *r.MonteCarlo {
		t.Errorf("the same seed gives %+v and %+v", *r.MonteCarlo, *again.MonteCarlo)
	}
}
