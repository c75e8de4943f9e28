package quantity

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// recorded returns the rows of a reference table, without its header.
func recorded(t *testing.T, name string, rows int) [][]string {
	t.Helper()
	f, err := os.Open("../../testdata/reference/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) != rows+1 {
		t.Fatalf("%s: %d rows, %v", name, len(all), err)
	}
	return all[1:]
}

func parsed(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// Conversions against another UCUM library, whose last digits are its own: its Fahrenheit is good to 1e-13 of the
// absolute temperature.
func TestConversionsHaveASecondOpinion(t *testing.T) {
	for _, r := range recorded(t, "ucum_conversions.csv", 47) {
		want := parsed(t, r[3])
		got, err := Exact(parsed(t, r[0]), unit(t, r[1])).To(unit(t, r[2]))
		tolerance := 1e-15 * math.Abs(want) * 8
		if got.Unit.IsTemperature() || unit(t, r[1]).IsTemperature() {
			tolerance = 1e-13
		}
		if err != nil || math.Abs(got.Value-want) > tolerance {
			t.Errorf("%s %s = %.17g %s, %v, want %s (%s)", r[0], r[1], got.Value, r[2], err, r[3], r[4])
		}
	}
}

func TestStudentHasASecondOpinion(t *testing.T) {
	for _, r := range recorded(t, "student_t.csv", 14) {
		if got, want := CoverageFactor(parsed(t, r[0])), parsed(t, r[1]); math.Abs(got/want-1) > 2e-9 {
			t.Errorf("CoverageFactor(%s) = %.12g, want %.12g (%s)", r[0], got, want, r[2])
		}
	}
}

// A conversion there and back is the same number but for the rounding of each step.
func TestThereAndBack(t *testing.T) {
	pairs := [][2]string{{"g", "kg"}, {"mL", "m3"}, {"kJ/g", "cal/mg"}, {"mm2/s", "cSt"}, {"bar", "Pa"}, {"[in_i]", "mm"}, {"min", "d"}, {"%", "[ppth]"}, {"mol/L", "umol/uL"}, {"J/(g.K)", "cal/(kg.K)"}, {"Cel", "K"}, {"[degF]", "Cel"}}
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.SampledFrom(pairs).Draw(t, "pair")
		u, v := MustUnit(p[0]), MustUnit(p[1])
		q := Exact(rapid.Float64Range(-1e6, 1e6).Draw(t, "x"), u).With(normal("a"), 0.1)
		there, err1 := q.To(v)
		back, err2 := there.To(u)
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		ulps := 3 * (math.Nextafter(math.Abs(q.Value), math.Inf(1)) - math.Abs(q.Value))
		if u.IsTemperature() { // on the way lies the absolute temperature
			ulps += 8 * (math.Nextafter(math.Abs(q.Value)+600, math.Inf(1)) - (math.Abs(q.Value) + 600))
		}
		if math.Abs(back.Value-q.Value) > math.Max(ulps, 1e-300) || math.Abs(back.U()-0.1) > 1e-15 {
			t.Fatalf("%.17g %s is %.17g after %s and back, u = %.17g", q.Value, u, back.Value, v, back.U())
		}
	})
}

// A quantity less itself, and over itself, has no uncertainty; a Repeated one neither.
func TestNothingIsLeftOfADifferenceWithItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawQuantity(t, "a", MustUnit("g")), drawQuantity(t, "b", MustUnit("g"))
		if math.Abs(a.Value) < 1e-3 {
			a.Value = 1e-3
		}
		by := []Outcome{{Value: (a.Value + b.Value) / 2, Unit: a.Unit, By: []float64{0.5, 0.5}}}
		mean := Observe([]Quantity{a, b}, by, Scatter{Name: "repeats:m", S: math.Abs(a.Value-b.Value) / math.Sqrt2, DoF: 1})[0]
		if math.Abs(mean.Value) < 1e-3 {
			mean.Value = 1e-3
		}
		for _, q := range []Quantity{a, mean} {
			d, err1 := Sub(q, q)
			r, err2 := Div(q, q)
			if err := errors.Join(err1, err2); err != nil {
				t.Fatal(err)
			}
			if d.Value != 0 || d.U() != 0 || d.InstrumentsAlone().U() != 0 || r.Value != 1 || r.U() > 1e-12*(1+q.U()/math.Abs(q.Value)) {
				t.Fatalf("q - q = %v, q / q = %v", d, r)
			}
		}
	})
}

// What a bench meets beside SI is known by its code, or led to it, and never taken for another unit.
func TestBenchUnitsAreToldApart(t *testing.T) {
	for typed, code := range map[string]string{
		"°F": "[degF]", "degF": "[degF]", "F": "[degF]", "in": "[in_i]", "inch": "[in_i]", "‰": "[ppth]", "ppm": "[ppm]", "percent": "%", "°C": "Cel", "Kcal": "kcal", "cst": "cSt",
	} {
		want := `the unit "` + typed + `" is not a UCUM code: write "` + code + `"`
		if _, err := ParseUnit(typed); err == nil || err.Error() != want {
			t.Errorf("ParseUnit(%q): %v, want %s", typed, err, want)
		}
	}
	for _, code := range []string{"[degF]", "cSt", "cal", "kcal", "bar", "mbar", "[in_i]", "[ppth]", "%", "mol", "mmol", "Cel"} {
		if u, err := ParseUnit(code); err != nil || u.String() != code {
			t.Errorf("ParseUnit(%q) = %s, %v", code, u, err)
		}
	}
	for _, code := range []string{"Cal", "BAR", "psi", "lb", "oz", "atm", "mmHg", "m[in_i]", "mCel", "k%", "1/[degF]", "Cel.g"} { // no guess
		if u, err := ParseUnit(code); err == nil {
			t.Errorf("ParseUnit(%q) = %s, want a refusal", code, u)
		}
	}
}

// The fourth power of each term over its degrees of freedom; those of one fit are one term.
func TestOneFitIsOneTerm(t *testing.T) {
	q := Ratio(1).With(Source{Name: "fit:line/x/1", DoF: 9}, 3).With(Source{Name: "fit:line/x/2", DoF: 9}, 4)
	if nu := q.DoF(); !near(nu, 9, 1e-12) {
		t.Errorf("nu = %g, want 9: both parts rest on one scatter (JCGM 100:2008, H.3.2)", nu)
	}
	q = q.With(Source{Name: "fit:line/y/1", DoF: 9}, 5)
	if nu := q.DoF(); !near(nu, 18, 1e-12) {
		t.Errorf("nu = %g, want 18 for two equal terms (JCGM 100:2008, G.4.1, by hand)", nu)
	}
}

func BenchmarkObserve(b *testing.B) {
	var readings []Quantity
	by := make([]float64, 10)
	for i := range by {
		by[i] = 0.1
		readings = append(readings, Ratio(float64(i)).With(Source{Name: "reading:x." + strconv.Itoa(i) + "/step"}, 0.1).With(Source{Name: "instrument:y/offset"}, 0.1))
	}
	b.ReportAllocs()
	for b.Loop() {
		Observe(readings, []Outcome{{Value: 4.5, By: by}}, Scatter{Name: "repeats:x", S: 3, DoF: 9})
	}
}
