package formula

import (
	"fmt"
	"sort"
	"strings"

	"example.org/meniscus/calc/quantity"
)

// Eval works the example out with the functions that are there. A given that is no number is a text.
func (x Example) Eval(functions Functions) (Value, error) {
	given, err := x.Values()
	if err != nil {
		return Value{}, err
	}
	f, err := Parse(x.Call)
	if err != nil {
		return Value{}, err
	}
	if _, err := f.Check(given, functions); err != nil {
		return Value{}, err
	}
	return f.Eval(given)
}

// ExampleValues are the givens of an Example.
type ExampleValues map[string]Value

func (g ExampleValues) Type(name string) (Type, bool) {
	v, ok := g[name]
	t := Type{Kind: v.Kind, Unit: v.Number.Unit}
	switch {
	case v.Kind == Text:
		t.Choices = []string{v.Text}
	case len(v.List) > 0:
		t.Unit = v.List[0].Unit
	}
	return t, ok
}

func (g ExampleValues) Value(name string) (Value, error) {
	v, ok := g[name]
	if !ok {
		return v, &MissingError{name}
	}
	return v, nil
}

// Values reads the givens.
func (x Example) Values() (ExampleValues, error) {
	given := x.Given
	names := make([]string, 0, len(given))
	for n := range given {
		names = append(names, n)
	}
	sort.Strings(names)
	out := make(ExampleValues, len(given))
	for _, n := range names {
		v, err := readValue(given[n])
		if err != nil {
			return nil, fmt.Errorf("given %s: %w", n, err)
		}
		out[n] = v
	}
	return out, nil
}

// readValue reads "2.19 mL", a list "1 g; 2 g", a series "0 min 14.8 Cel; 0.5 min 15.8 Cel" or a text.
func readValue(text string) (Value, error) {
	if strings.Trim(text, " ") != "" && !strings.ContainsAny(text[:1], "0123456789+-.") {
		return Value{Kind: Text, Text: text}, nil
	}
	parts := strings.Split(text, ";")
	if len(parts) == 1 && len(strings.Fields(text)) < 4 {
		q, err := quantity.ParseQuantity(text)
		return Of(q), err
	}
	v := Value{Kind: List}
	for _, p := range parts {
		fields := strings.Fields(p)
		if len(fields) == 4 { // time and value
			v.Kind = Series
			t, err := quantity.ParseQuantity(fields[0] + " " + fields[1])
			if err != nil {
				return v, err
			}
			v.Times = append(v.Times, t)
			p = fields[2] + " " + fields[3]
		}
		q, err := quantity.ParseQuantity(p)
		if err != nil {
			return v, err
		}
		v.List = append(v.List, q)
	}
	return v, nil
}
