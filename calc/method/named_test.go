package method

import (
	"errors"
	"math"
	"sort"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

func names() []string {
	var out []string
	for n := range Named() {
		out = append(out, n)
	}
	sort.Strings(out)
	return out
}

// contract holds the names that protocol files rely on.
const contract = "acid_molar_mass acid_value acid_value_sample alcohol_limit alkali_content capillary_viscosity conversion_by_glycerol " +
	"cooling_constant corrected_rise density density_at_15 drift effective_dose ester_by_density ester_by_viscosity ester_density ester_heat " +
	"ester_heat_by_values ester_iodine_value ester_molar_mass ester_net_heat ester_saponification_value ester_viscosity free_fatty_acid heat_capacity " +
	"heat_of_combustion intercept line_at loss_integral molar_mass net_heat_of_combustion oil_density oil_heat oil_iodine_value oil_molar_mass oil_saponification_value oil_viscosity pellets " +
	"pycnometer_density rise_so_far settled_at settled_volume settling_delay settling_rms settling_time_constant slope soap_made spread start_temperature " +
	"theoretical_ester theoretical_glycerol titrant_at titrant_concentration warm_at warming_time_constant water_made x_at"

func TestNoNameIsTaken(t *testing.T) {
	for _, n := range names() {
		if _, taken := formula.Builtins()[n]; taken {
			t.Errorf("%s is a plain function already", n)
		}
	}
	if got := strings.Join(names(), " "); got != contract {
		t.Errorf("the methods are\n%s\nwant\n%s", got, contract)
	}
}

func TestEveryMethodHasItsPage(t *testing.T) {
	for _, n := range names() {
		f := Named()[n]
		for what, text := range map[string]string{"name": f.Name, "title": f.Title, "says": f.Says, "formula": f.Formula, "valid": f.Valid,
			"source": f.Source, "example": f.Example.Call, "source of the example": f.Example.Source} {
			if text == "" {
				t.Errorf("%s has no %s", n, what)
			}
		}
		if !strings.HasSuffix(f.Says, ".") || !strings.HasSuffix(f.Valid, ".") {
			t.Errorf("%s: says and valid are sentences", n)
		}
		if f.Call == nil || len(f.Params) == 0 {
			t.Errorf("%s has no call or no parameters", n)
		}
		optional := false
		for _, p := range f.Params {
			if p.Name == "" || p.Says == "" {
				t.Errorf("%s: a parameter has no name or says nothing", n)
			}
			if p.Kind == formula.Text && (p.Rows == nil || len(p.Rows()) == 0) {
				t.Errorf("%s: %s has no rows", n, p.Name)
			}
			if p.Kind != formula.Text && p.Unit.IsRatio() && p.Unit.String() == "1" && !p.Any && p.Name != "ratio" {
				t.Errorf("%s: %s has no unit", n, p.Name)
			}
			if optional && !p.Optional {
				t.Errorf("%s: %s follows an optional parameter", n, p.Name)
			}
			optional = p.Optional
		}
		if f.Unit == quantity.One && f.TypeOf == nil {
			t.Errorf("%s has no unit", n)
		}
	}
}

func TestExamples(t *testing.T) {
	functions := All()
	for _, n := range names() {
		x := functions[n].Example
		v, err := x.Eval(functions)
		if err != nil {
			t.Errorf("%s: %v", x.Call, err)
			continue
		}
		u, err := quantity.ParseUnit(x.Unit)
		if err != nil {
			t.Errorf("%s: %v", n, err)
			continue
		}
		got, err := v.Number.To(u)
		if err != nil {
			t.Errorf("%s: %v", x.Call, err)
			continue
		}
		if !(math.Abs(got.Value-x.Want) <= x.Within) {
			t.Errorf("%s = %.8g %s, want %.8g ± %g (%s)", x.Call, got.Value, x.Unit, x.Want, x.Within, x.Source)
		}
	}
}

// number, list and series make argument values; units as in the parameters unless given.
func num(x float64, unit string) formula.Value {
	return formula.Of(quantity.Exact(x, quantity.MustUnit(unit)))
}

func text(s string) formula.Value { return formula.Value{Kind: formula.Text, Text: s} }

func run(unit string, t, x []float64) formula.Value {
	v := formula.Value{Kind: formula.Series}
	for i := range min(len(t), len(x)) {
		v.List = append(v.List, quantity.Exact(x[i], quantity.MustUnit(unit)))
		v.Times = append(v.Times, quantity.Exact(t[i], quantity.MustUnit("min")))
	}
	return v
}

// call runs a method and returns its value in its own unit.
func call(t *testing.T, name string, args ...formula.Value) quantity.Quantity {
	t.Helper()
	f := Named()[name]
	if f == nil {
		t.Fatalf("no method %s", name)
	}
	v, err := f.Call(args)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if f.TypeOf == nil && v.Number.Unit != f.Unit {
		t.Fatalf("%s is in %s, its page says %s", name, v.Number.Unit, f.Unit)
	}
	return v.Number
}

func near(t *testing.T, what string, got, want, within float64, source string) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %.7g, want %g ± %g (%s)", what, got, want, within, source)
	}
}

// Every method is called with each argument in turn bad, and all of them bad: it refuses in a sentence or gives a finite
// value; it never panics and never returns NaN.
func TestBadArguments(t *testing.T) {
	bad := []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1), 1e308, -1e308, 1e300, 5e-324, 1e-300}
	for _, n := range names() {
		f := Named()[n]
		for _, x := range bad {
			for only := -1; only < len(f.Params); only++ {
				check(t, f, arguments(fill(f, x, only)))
			}
		}
		for cut := 0; cut <= len(f.Params); cut++ {
			check(t, f, fill(f, math.NaN(), len(f.Params))[:cut])
		}
	}
}

// Series that no fit can do anything with are refused with a sentence; what needs no fit may give a finite value.
func TestBadSeries(t *testing.T) {
	minutes := []float64{20, 21, 22, 23, 24, 60}
	for _, n := range names() {
		f := Named()[n]
		for what, s := range map[string][2][]float64{
			"empty": {{}, {}}, "one point": {{20}, {21}}, "equal times": {{20, 20, 20, 20, 20, 20}, {21, 22, 23, 24, 25, 26}},
			"constant": {minutes, {21, 21, 21, 21, 21, 21}}, "huge": {minutes, {1e300, 2e300, 3e300, 4e300, 5e300, 6e300}},
			"not a number": {minutes, {21, math.NaN(), 23, 24, 25, 26}}, "endless": {minutes, {21, math.Inf(1), 23, 24, 25, 26}}, "below nothing": {minutes, {-21, -22, -23, -24, -25, -26}},
		} {
			args := fill(f, 20, len(f.Params))
			series := false
			for i, p := range f.Params {
				if p.Kind == formula.Series || p.Kind == formula.List {
					args[i], series = run(p.Unit.String(), s[0], s[1]), true
				}
			}
			if !series {
				continue
			}
			check(t, f, args)
			if _, err := f.Call(args); err == nil && (what == "empty" || what == "one point" && n != "start_temperature" || what == "not a number") { // a reading at the start is the start
				t.Errorf("%s gives a value for a series that is %s", n, what)
			}
		}
	}
}

func check(t *testing.T, f *formula.Function, args []formula.Value) {
	t.Helper()
	v, err := f.Call(args)
	if err == nil {
		if !finite(v.Number.Value) || !finite(v.Number.U()) {
			t.Errorf("%s(%v) = %v", f.Name, args, v.Number)
		}
		return
	}
	var refused *quantity.RangeError
	var unit *quantity.UnitError
	switch {
	case errors.As(err, &refused):
		if len(refused.Msg) < 10 {
			t.Errorf("%s: the refusal %q is no sentence", f.Name, refused.Msg)
		}
	case errors.As(err, &unit) && len(args) < len(f.Params): // a missing argument, which Check refuses before
	default:
		t.Errorf("%s: %v is a %T", f.Name, err, err)
	}
}

// fill makes arguments that are sound but for the one at index bad, or all of them when bad is -1.
func fill(f *formula.Function, x float64, bad int) []formula.Value {
	out := make([]formula.Value, len(f.Params))
	for i, p := range f.Params {
		y := 20.0
		if i == bad || bad < 0 {
			y = x
		}
		switch p.Kind {
		case formula.Text:
			out[i] = text(p.Rows()[0])
			if i == bad {
				out[i] = text("nothing")
			}
		case formula.Series:
			out[i] = run(p.Unit.String(), []float64{20, 21, 22, 23, 24, 60}, []float64{y, y + 1, 23, 24.5, y + 5, y + 6})
			if i == bad && math.IsNaN(x) {
				out[i] = formula.Value{Kind: formula.Series}
			}
		case formula.List:
			out[i] = run("1", make([]float64, 6), []float64{y, y + 1, 23, 24.5, y + 5, y + 6})
		default:
			out[i] = formula.Of(quantity.Exact(y, p.Unit).With(quantity.Source{Name: p.Name, DoF: quantity.Known()}, 0.1))
		}
	}
	return out
}

// Series of any numbers at any times are refused or give a finite value.
func TestAnySeries(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		some := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-10, 100), rapid.SampledFrom([]float64{0, 20, 20, math.NaN(), math.Inf(1)}))
		f := Named()[rapid.SampledFrom(names()).Draw(rt, "method")]
		args := make([]formula.Value, len(f.Params))
		for i, p := range f.Params {
			switch p.Kind {
			case formula.Text:
				args[i] = text(rapid.SampledFrom(p.Rows()).Draw(rt, p.Name))
			case formula.Series, formula.List:
				x := rapid.SliceOfN(some, 0, 9).Draw(rt, p.Name)
				args[i] = run(p.Unit.String(), rapid.SliceOfN(some, len(x), len(x)).Draw(rt, "times of "+p.Name), x)
			default:
				args[i] = formula.Of(quantity.Exact(some.Draw(rt, p.Name), p.Unit))
			}
		}
		check(t, f, args)
	})
}

// A series of small readings about one level is the usual bad settling: no growth, only the noise of reading.
func TestNoisySettling(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(4, 12).Draw(rt, "n")
		at, v := make([]float64, n), make([]float64, n)
		for i := range at {
			at[i] = float64(2 * i)
			v[i] = float64(rapid.IntRange(0, 40).Draw(rt, "half millilitres")) / 2
		}
		args := []formula.Value{run("mL", at, v), num(0, "min")}
		for _, name := range []string{"settled_volume", "settling_delay", "settling_time_constant", "settling_rms"} {
			check(t, Named()[name], args)
		}
	})
}
