package formula

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/meniscus/calc/quantity"
)

// numbers is the parameter of a function that looks at many values.
var numbers = Param{Name: "x", Kind: List, Any: true, Several: true, Says: "a list, a series or several numbers"}

// taken is the parameter of a function that picks from a list.
var taken = Param{Name: "x", Kind: List, Any: true, Says: "a list or a series, in the order taken"}

var listFunctions = []*Function{
	listFunction("min", "Least value", "The least of the values, with its own uncertainty.", "min(x₁ … xₙ)", "plain order", 1,
		sameUnit, least(-1), some(slices.Min[[]float64])),
	listFunction("max", "Greatest value", "The greatest of the values, with its own uncertainty.", "max(x₁ … xₙ)", "plain order", 4,
		sameUnit, least(1), some(slices.Max[[]float64])),
	listFunction("sum", "Sum", "All values added up. Errors that they share add up too. The values may differ by design, as portions do, so their scatter is not looked at.", "Σ xᵢ", "JCGM 100:2008, 5.1.2 for the uncertainty", 10,
		noTemperature, func(x []quantity.Quantity) (quantity.Quantity, error) { return weighted(x, 1), nil }, some(total)),
	{
		Name: "mean", Title: "Arithmetic mean", Formula: "x̄ = Σ xᵢ / n; u = max(s, a)/√n, where a is the readings' own uncertainty; the part s/√n has n − 1 degrees of freedom",
		Says:   "The sum of the values over their count. The values must be of one thing. What each has of its own (step, tolerance) shows in the scatter too: the scatter takes its place as far as it goes, the larger of the two stands, and what the values share (an offset) stays. So nothing counts twice, and the coverage factor follows how much of it rests on so few values.",
		Params: []Param{numbers}, Source: "JCGM 100:2008, 4.2.1 to 4.2.3, 4.3.10, 5.1.2, F.2.2.1 and G.4.1",
		Valid:   "One value or more; one shows no scatter. Readings of one thing tell nothing of the next batch: for that take the mean across vessels.",
		Example: listExample("mean", 2.5, "g"), TypeOf: sameUnit, Call: mean,
		Plain: some(func(x []float64) float64 { return total(x) * (1 / float64(len(x))) }),
	},
	{
		Name: "sd", Title: "Experimental standard deviation", Formula: "s = √(Σ (xᵢ − x̄)² / (n − 1)); u = max(s, a)/√(2(n − 1)) for values with normal errors, where a is the values' own uncertainty, or by what moves them all where that is more",
		Says:   "How far the values scatter about their mean; of temperatures in K.",
		Params: []Param{numbers}, Source: "JCGM 100:2008, 4.2.2 and E.4.3",
		Valid:   "Two values or more; from three values s itself is uncertain by half.",
		Example: listExample("sd", 1.2909944487358056, "g"), TypeOf: intervalUnit, Call: deviation,
	},
	{
		Name: "count", Title: "Count", Says: "How many values there are; none is 0.", Formula: "n",
		Params: []Param{taken}, Source: "plain counting", Valid: "everywhere", Example: listExample("count", 4, "1"),
		Call:  func(args []Value) (Value, error) { return Of(quantity.Ratio(float64(len(args[0].List)))), nil },
		Plain: func(x []float64) float64 { return float64(len(x)) },
	},
	pick("first", "First value", "The value that was taken first.", "x₁", 1, func(n int) int { return 0 }),
	pick("last", "Last value", "The value that was taken last.", "xₙ", 4, func(n int) int { return n - 1 }),
	{
		Name: "nth", Title: "A value by its number", Says: "The value that was taken as the n-th, counted from 1.", Formula: "xₙ",
		Params: []Param{taken, {Name: "n", Says: "a whole number from 1"}}, Source: "plain counting", Valid: "n from 1 to the count",
		Example: Example{Call: "nth(x, 3)", Given: fourMasses, Want: 3, Unit: "g", Within: 1e-12, Source: "by definition"},
		TypeOf:  sameUnit, Call: nth,
	},
}

var fourMasses = map[string]string{"x": "1 g; 2 g; 3 g; 4 g"}

func listExample(name string, want float64, unit string) Example {
	return Example{Call: name + "(x)", Given: fourMasses, Want: want, Unit: unit, Within: 1e-12, Source: "by hand from the definition"}
}

func listFunction(name, title, says, symbol, source string, want float64, typeOf func([]Type) (Type, error),
	f func([]quantity.Quantity) (quantity.Quantity, error), plain func([]float64) float64) *Function {
	return &Function{
		Plain: plain, Name: name, Title: title, Says: says, Formula: symbol, Params: []Param{numbers}, Source: source,
		Valid: "one value or more", Example: listExample(name, want, "g"), TypeOf: typeOf,
		Call: func(args []Value) (Value, error) {
			if len(args[0].List) == 0 {
				return Value{}, noValues(name)
			}
			q, err := f(args[0].List)
			return named(name, q, err)
		},
	}
}

// some is f of a list that is not empty; an empty one has no value.
func some(f func([]float64) float64) func([]float64) float64 {
	return func(x []float64) float64 {
		if len(x) == 0 {
			return math.NaN()
		}
		return f(x)
	}
}

func total(x []float64) (sum float64) {
	for _, v := range x {
		sum += v
	}
	return sum
}

func noValues(name string) error {
	return &quantity.RangeError{Msg: name + ": the list is empty"}
}

func pick(name, title, says, symbol string, want float64, index func(n int) int) *Function {
	return &Function{
		Name: name, Title: title, Says: says, Formula: symbol, Params: []Param{taken}, Source: "plain order",
		Valid: "one value or more", Example: listExample(name, want, "g"), TypeOf: sameUnit,
		Call: func(args []Value) (Value, error) {
			n := len(args[0].List)
			if n == 0 {
				return Value{}, noValues(name)
			}
			return Of(args[0].List[index(n)]), nil
		},
		Plain: some(func(x []float64) float64 { return x[index(len(x))] }),
	}
}

func sameUnit(args []Type) (Type, error) { return Type{Unit: args[0].Unit}, nil }

func intervalUnit(args []Type) (Type, error) { return Type{Unit: args[0].Unit.Interval()}, nil }

func noTemperature(args []Type) (Type, error) {
	if args[0].Unit.IsTemperature() {
		return Type{}, errors.New("temperatures cannot be added up: take the mean")
	}
	return sameUnit(args)
}

// least returns the least value, the greatest when sign is 1. Of values alike it is the last that counts as the least
// and the first as the greatest, lest a range of them be the difference of one value and itself.
func least(sign float64) func([]quantity.Quantity) (quantity.Quantity, error) {
	return func(x []quantity.Quantity) (quantity.Quantity, error) {
		best := x[0]
		for _, q := range x[1:] {
			if sign*q.Value > sign*best.Value || sign < 0 && q.Value == best.Value {
				best = q
			}
		}
		return best, nil
	}
}

// weighted returns w times the sum of x, all in one unit.
func weighted(x []quantity.Quantity, w float64) quantity.Quantity {
	var sum float64
	d := make([]float64, len(x))
	for i, q := range x {
		sum += q.Value
		d[i] = w
	}
	return quantity.Combine(sum*w, x[0].Unit, x, d)
}

// scaleOf returns how many units of an interval one step of u is: 5/9 K for a degree Fahrenheit, 1 otherwise.
func scaleOf(u quantity.Unit) float64 {
	step, err := quantity.Sub(quantity.Exact(1, u), quantity.Exact(0, u))
	if err != nil {
		return 1
	}
	return step.Value
}

func nth(args []Value) (Value, error) {
	list, n := args[0].List, args[1].Number.Value
	if n != math.Trunc(n) || n < 1 || n > float64(len(list)) {
		return Value{}, &quantity.RangeError{Msg: fmt.Sprintf("nth: the list has %d values, there is no number %g", len(list), n)}
	}
	return Of(list[int(n)-1]), nil
}
