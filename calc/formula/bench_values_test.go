package formula

import (
	"slices"
	"strings"
	"testing"

	"example.org/meniscus/calc/quantity"
)

// bench holds the names of one invented vessel, or of a run when it has vessels.
type bench struct {
	types   map[string]Type
	values  map[string]Value
	vessels []bench
}

func (b bench) Type(name string) (Type, bool) { t, ok := b.types[name]; return t, ok }

func (b bench) Known() []string {
	var out []string
	for n := range b.types {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

func (b bench) Value(name string) (Value, error) {
	v, ok := b.values[name]
	if !ok {
		return v, &MissingError{name}
	}
	return v, nil
}

// aRun is a bench that has vessels.
type aRun struct{ bench }

func (r aRun) VesselNames() Names { return r.vessels[0] }

func (r aRun) Vessels() []Values {
	out := make([]Values, len(r.vessels))
	for i, v := range r.vessels {
		out[i] = v
	}
	return out
}

func newBench() bench { return bench{types: map[string]Type{}, values: map[string]Value{}} }

// give sets a name to values such as "2 g", "1 g; 2 g" or "0 min 20 Cel; 1 min 21 Cel".
func (b bench) give(t testing.TB, name, text string) bench {
	t.Helper()
	v, err := readValue(text)
	if err != nil {
		t.Fatal(err)
	}
	typ, _ := ExampleValues{name: v}.Type(name)
	b.types[name], b.values[name] = typ, v
	return b
}

// vessel is the bench of most tests: a burn and a bit of everything.
func vessel(t testing.TB) bench {
	b := newBench()
	for name, text := range map[string]string{
		"before": "142.86 g", "after": "141.65 g", "start": "20.1 Cel", "end": "45.5 Cel", "rise": "25.4 K", "water": "150 g", "factor": "2",
		"time": "5 min", "share": "40 %", "portions": "1 g; 2 g; 4 g", "shares": "0.5; 0.3; 0.2", "pair": "1 g; 2 g",
		"bath": "0 min 58 Cel; 1 min 60 Cel; 2 min 62 Cel", "heights": "1 mm; 3 mm", "nothing": "1", "n": "2", "drop": "250 uL", "milli": "500 mg",
	} {
		b = b.give(t, name, text)
	}
	delete(b.values, "nothing")
	b.types["fuel"] = Type{Kind: Text, Choices: []string{"ethanol", "ester"}}
	b.values["fuel"] = Value{Kind: Text, Text: "ester"}
	b.types["remark"] = Type{Kind: Text}
	b.values["remark"] = Value{Kind: Text, Text: "clear"}
	b.types["oil"] = Type{Kind: Text, Choices: []string{"rapeseed", "mine"}, Rows: map[string]any{"mine": 7}}
	b.values["oil"] = Value{Kind: Text, Text: "mine", Row: 7}
	b.types["lit"] = Type{Kind: Truth}
	b.values["lit"] = Value{Kind: Truth, Truth: true}
	return b
}

// tableRows are the invented rows that weight knows.
func tableRows() []string { return []string{"rapeseed", "coconut", "water"} }

// functions is the builtins and a few functions that show what a method may ask for.
func functions() Functions {
	functions := Builtins()
	add := func(fn *Function) { functions[fn.Name] = fn }
	add(&Function{
		Name: "weight", Unit: quantity.MustUnit("g"), Params: []Param{{Name: "row", Kind: Text, Rows: tableRows}, {Name: "theta", Unit: quantity.MustUnit("Cel"), Optional: true}},
		Call: func(args []Value) (Value, error) {
			letters := float64(len(args[0].Text))
			if n, ok := args[0].Row.(int); ok {
				letters = float64(n)
			}
			if len(args) > 1 {
				letters += args[1].Number.Value
			}
			return Of(quantity.Exact(letters, quantity.MustUnit("g"))), nil
		},
	})
	add(&Function{
		Name: "heat", Unit: quantity.MustUnit("kJ"), Elementwise: true,
		Params: []Param{{Name: "m", Unit: quantity.MustUnit("g")}, {Name: "dT", Unit: quantity.MustUnit("K")}},
		Call: func(args []Value) (Value, error) { // in J: the outcome is converted
			j, err := quantity.Mul(args[0].Number, args[1].Number)
			j.Unit = quantity.MustUnit("J")
			return Of(j), err
		},
	})
	add(&Function{
		Name: "span", Unit: quantity.MustUnit("min"), Params: []Param{{Name: "readings", Kind: Series, Unit: quantity.MustUnit("Cel")}},
		Call: func(args []Value) (Value, error) {
			q, err := quantity.Sub(args[0].Times[len(args[0].Times)-1], args[0].Times[0])
			return Of(q), err
		},
	})
	add(&Function{Name: "single", Params: []Param{{Name: "x", Any: true}}, Call: func(args []Value) (Value, error) { return Of(quantity.Ratio(1)), nil }})
	add(&Function{
		Name: "letters", Params: []Param{{Name: "what", Kind: Text}},
		Call: func(args []Value) (Value, error) { return Of(quantity.Ratio(float64(len(args[0].Text)))), nil },
	})
	add(&Function{Name: "empty", Unit: quantity.MustUnit("g")})
	return functions
}

// run is three vessels: two burns of ethanol, one of which lacks its energy, and one of ester.
func run(t testing.TB) aRun {
	r := aRun{newBench().give(t, "limit", "10 kJ/g")}
	for i, fuel := range []string{"ethanol", "ethanol", "ester", "ethanol"} {
		v := newBench().give(t, "energy", []string{"14 kJ/g", "1 kJ/g", "15 kJ/g", "13000 J/g"}[i])
		v.types["energy"] = numberIn("kJ/g")
		v.types["fuel"] = Type{Kind: Text, Choices: []string{"ethanol", "ester"}}
		v.types["curve"] = Type{Kind: List, Unit: quantity.MustUnit("K")}
		v.values["fuel"] = Value{Kind: Text, Text: fuel}
		if i == 1 {
			delete(v.values, "energy")
		}
		r.vessels = append(r.vessels, v)
	}
	return r
}

// calculate takes a formula through its three gates, and over a sheet, which must agree.
func calculate(text string, names Names, values Values) (Value, Type, error) {
	f, t, err := checked(text, names)
	if err != nil {
		return Value{}, t, err
	}
	if err := sameOnSheet(f, t, values); err != nil {
		return Value{}, t, err
	}
	v, err := f.Eval(values)
	return v, t, err
}

func checked(text string, names Names) (*Formula, Type, error) {
	f, err := Parse(text)
	if err != nil {
		return nil, Type{}, err
	}
	t, err := f.Check(names, functions())
	return f, t, err
}

// shown prints a value as the tests write it: "1.5 g", "[1 g, 2 g]", "yes", "ester".
func shown(v Value) string {
	switch v.Kind {
	case Truth:
		return map[bool]string{true: "yes", false: "no"}[v.Truth]
	case Text:
		return v.Text
	case Number:
		return plain(v.Number)
	}
	parts := make([]string, len(v.List))
	for i, q := range v.List {
		parts[i] = plain(q)
	}
	return "[" + strings.Join(parts, ", ") + "]"
}

func plain(q quantity.Quantity) string {
	return strings.TrimSuffix(quantity.Plain(q.Value, 10)+" "+q.Unit.String(), " 1")
}

func numberIn(code string) Type { return Type{Kind: Number, Unit: quantity.MustUnit(code)} }
