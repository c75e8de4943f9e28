package method

import (
	"math"
	"sort"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

// shift reads an example's givens and moves each number by what off returns, in its own unit. Every number becomes a
// source of its own, named by its place.
func shift(t rapid.TB, x formula.Example, off func(place string, value float64) float64) formula.ExampleValues {
	out, err := x.Values()
	if err != nil {
		t.Fatal(err)
	}
	for name, v := range out {
		number := func(q *quantity.Quantity, i int) {
			place := name + "/" + string(rune('a'+i))
			q.Value += off(place, q.Value)
			*q = q.With(quantity.Source{Name: place}, 1e-9)
		}
		if v.Kind == formula.Number {
			number(&v.Number, 0)
		}
		for i := range v.List {
			number(&v.List[i], i)
		}
		out[name] = v
	}
	return out
}

// exactTime tells whether a given in the unit may be a time, which methods take as exact: it has no effect on purpose.
func exactTime(unit quantity.Unit) bool { return unit.Fits(quantity.MustUnit("min")) }

// Every effect of every method is the derivative that differences over whole evaluations give, near its example.
func TestEffectsOfMethods(t *testing.T) {
	functions := All()
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(names()).Draw(t, "method")
		if name == "settling_rms" { // its example lies on the curve, where a scatter has no derivative: TestSettlingSensitivities
			return
		}
		x := functions[name].Example
		f, err := formula.Parse(x.Call)
		if err != nil {
			t.Fatal(err)
		}
		base := map[string]float64{}
		wiggle := func(place string, value float64) float64 {
			if _, ok := base[place]; !ok {
				base[place] = 0
				if value != 0 {
					base[place] = rapid.Float64Range(-2e-4, 2e-4).Draw(t, place) * value
				}
			}
			return base[place]
		}
		for _, name := range sortedKeys(x.Given) { // draws in a fixed order
			shift(t, formula.Example{Given: map[string]string{name: x.Given[name]}}, wiggle)
		}
		at := func(moved string, by float64) quantity.Quantity {
			values := shift(t, x, func(place string, value float64) float64 {
				if place == moved {
					return base[place] + by
				}
				return base[place]
			})
			if _, err := f.Check(values, functions); err != nil {
				t.Fatal(err)
			}
			v, err := f.Eval(values)
			if err != nil {
				t.Fatalf("%s: %v", x.Call, err)
			}
			return v.Number
		}
		q := at("", 0)
		effects := map[string]float64{}
		for _, e := range q.InstrumentsAlone().By {
			effects[e.Source.Name] = e.Amount / 1e-9
		}
		for name, v := range shift(t, x, func(string, float64) float64 { return 0 }) {
			numbers := v.List
			if v.Kind == formula.Number {
				numbers = []quantity.Quantity{v.Number}
			}
			for i, n := range numbers {
				place := name + "/" + string(rune('a'+i))
				if n.Value == 0 {
					continue // a method may refuse less than nothing
				}
				if v.Kind == formula.Number && exactTime(n.Unit) && effects[place] == 0 {
					continue // times are taken as exact
				}
				h := 1e-5 * math.Max(1e-2, math.Abs(n.Value))
				want := (at(place, h).Value - at(place, -h).Value) / (2 * h)
				if got := effects[place]; math.Abs(got-want) > 1e-4*math.Abs(want)+1e-7*math.Max(1, math.Abs(q.Value)) {
					t.Errorf("%s: effect of %s is %.8g, by differences %.8g", x.Call, place, got, want)
				}
			}
		}
	})
}

func sortedKeys(m map[string]string) (out []string) {
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// ready returns a call of the method on givens that are all uncertain: readings of a whole run for a fit, its example
// for the others.
func ready(t testing.TB, name string) func() error {
	functions := All()
	if p := functions[name].Params; len(p) > 0 && p[0].Kind == formula.Series {
		args := runArgs(name)
		return func() error { _, err := functions[name].Call(args); return err }
	}
	x := functions[name].Example
	values := shift(t, x, func(string, float64) float64 { return 0 })
	f, err := formula.Parse(x.Call)
	if err != nil {
		t.Fatal(err)
	}
	var args []formula.Value // as the formula hands them over
	spy := *functions[name]
	spy.Call = func(a []formula.Value) (formula.Value, error) {
		args = append(args[:0], a...)
		return functions[name].Call(a)
	}
	watched := All()
	watched[name] = &spy
	if _, err := f.Check(values, watched); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Eval(values); err != nil {
		t.Fatal(err)
	}
	return func() error { _, err := functions[name].Call(args); return err }
}

// runArgs returns the readings of a run for a fit, each with a step of its own.
func runArgs(name string) []formula.Value {
	at, layer := []float64{2, 4, 6, 8, 10, 12, 15, 20, 25, 30, 35}, []float64{3, 7, 10, 12, 13.5, 14.5, 15.5, 16.5, 17, 17, 17}
	var args []formula.Value
	switch {
	case name == "settled_at":
		args = []formula.Value{run("mL", at, layer), num(0, "min"), num(0.5, "mL")}
	case strings.HasPrefix(name, "settl"):
		args = []formula.Value{run("mL", at, layer), num(0, "min")}
	case name == "warm_at":
		args = []formula.Value{run("Cel", at[:6], []float64{34.5, 43.6, 48.6, 51.4, 53.0, 53.9}), num(0, "min"), num(55, "Cel"), num(1, "K")}
	case name == "warming_time_constant":
		args = []formula.Value{run("Cel", at[:6], []float64{34.5, 43.6, 48.6, 51.4, 53.0, 53.9}), num(0, "min"), num(55, "Cel")}
	case name == "cooling_constant":
		args = []formula.Value{ethanolBurn(0)[1], num(21.8, "Cel"), num(6.5, "min")}
	case name == "start_temperature":
		burn := ethanolBurn(10)
		args = []formula.Value{burn[0], num(9.5, "min"), run("Cel", half(7.5, 4), []float64{14.6, 14.7, 14.7, 14.8})}
	case name == "drift":
		args = []formula.Value{run("Cel", half(7.5, 4), []float64{14.6, 14.7, 14.7, 14.8}), num(9.5, "min")}
	case name == "rise_so_far":
		args = []formula.Value{ethanolBurn(0)[0], num(21.8, "Cel"), num(0, "min"), num(0.012, "/min")}
	default:
		args = ethanolBurn(0)
	}
	for i := range args {
		for j := range args[i].List {
			args[i].List[j] = args[i].List[j].With(quantity.Source{Name: "reading:x." + string(rune('a'+j)) + "/step"}, 0.03)
		}
	}
	return args
}

// No method needs many allocations, so that a hundred thousand trials stay cheap.
func TestAllocations(t *testing.T) {
	const most = 64
	for _, n := range names() {
		call := ready(t, n)
		if err := call(); err != nil {
			t.Errorf("%s: %v", n, err)
			continue
		}
		if got := testing.AllocsPerRun(20, func() { _ = call() }); got > most {
			t.Errorf("%s takes %.0f allocations, want %d or fewer", n, got, most)
		}
	}
}

func BenchmarkMethods(b *testing.B) {
	for _, n := range names() {
		call := ready(b, n)
		b.Run(n, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := call(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
