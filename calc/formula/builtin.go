package formula

import (
	"fmt"
	"maps"
	"math"

	"example.org/meniscus/calc/quantity"
)

// Builtins returns the plain functions of the formula language, as a set of its own that may be added to. The
// functions themselves are shared and must not be changed.
func Builtins() Functions { return maps.Clone(builtins) }

var builtins = func() Functions {
	functions := Functions{}
	for _, group := range [][]*Function{scalarFunctions, listFunctions, controlFunctions} {
		for _, fn := range group {
			functions[fn.Name] = fn
		}
	}
	return functions
}()

const symbolsStandard = "ISO 80000-2:2019 for the symbol, from memory; the uncertainty by JCGM 100:2008, 5.1.2"

var scalarFunctions = []*Function{
	{
		Name: "sqrt", Title: "Square root", Says: "The number whose square is x. Every exponent in the unit of x must be even.",
		Formula: "√x", Params: []Param{{Name: "x", Any: true, Says: "zero or more"}},
		Valid: "x ≥ 0; an uncertain x above 0", Source: symbolsStandard,
		Example:     Example{Call: "sqrt(x)", Given: map[string]string{"x": "2.25 mm2"}, Want: 1.5, Unit: "mm", Within: 1e-12, Source: "1.5 × 1.5 = 2.25, by hand"},
		TypeOf:      func(args []Type) (Type, error) { u, err := args[0].Unit.Root(); return Type{Unit: u}, err },
		Call:        squareRoot,
		Plain:       func(x []float64) float64 { return math.Sqrt(x[0]) },
		Elementwise: true,
	},
	ratioFunction("exp", "Exponential", "e raised to x.", "e^x", "up to about 709, where the outcome grows out of range",
		Example{Want: 2.718281828459045, Given: map[string]string{"x": "1"}, Source: "Euler's number, from memory"},
		func(x float64) (float64, float64) { e := math.Exp(x); return e, e }),
	ratioFunction("ln", "Natural logarithm", "The power to which e is raised to give x.", "ln x", "x > 0",
		Example{Want: 0.6931471805599453, Given: map[string]string{"x": "2"}, Source: "ln 2, from memory"},
		func(x float64) (float64, float64) { return logarithm(math.Log(x), x), 1 / x }),
	ratioFunction("log10", "Common logarithm", "The power to which 10 is raised to give x.", "lg x", "x > 0",
		Example{Want: 0.3010299956639812, Given: map[string]string{"x": "2"}, Source: "lg 2, from memory"},
		func(x float64) (float64, float64) { return logarithm(math.Log10(x), x), 1 / (x * math.Ln10) }),
	{
		Name: "abs", Title: "Magnitude", Says: "x without its sign.",
		Formula: "|x|", Params: []Param{{Name: "x", Any: true, Says: "any number but a temperature"}},
		Valid: "everywhere; the uncertainty is that of x, also at 0", Source: symbolsStandard,
		Example: Example{Call: "abs(x)", Given: map[string]string{"x": "-2.5 g"}, Want: 2.5, Unit: "g", Within: 1e-12, Source: "by definition"},
		TypeOf: func(args []Type) (Type, error) {
			if args[0].Unit.IsTemperature() {
				return Type{}, fmt.Errorf("a temperature has no magnitude: take a difference first")
			}
			return args[0], nil
		},
		Call:        magnitude,
		Plain:       func(x []float64) float64 { return math.Abs(x[0]) },
		Elementwise: true,
	}, {
		Name: "uncertainty", Title: "Expanded uncertainty", Says: "What is printed behind the ± of x: a verdict that needs it says nothing that x leaves open.",
		Formula: "U = k·u", Params: []Param{{Name: "x", Any: true, Says: "any number"}},
		Valid: "coverage 95 %; 0 for an exact number", Source: "JCGM 100:2008, 6.2 and G.4",
		Example: Example{Call: "uncertainty(x)", Given: map[string]string{"x": "2.5 g"}, Want: 0, Unit: "g", Within: 1e-12, Source: "an exact number has none"},
		TypeOf: func(args []Type) (Type, error) {
			args[0].Unit = args[0].Unit.Interval()
			return args[0], nil
		},
		Call: func(args []Value) (Value, error) {
			x := args[0].Number
			expanded, _ := x.Expanded()
			return Of(quantity.Exact(expanded, x.Unit.Interval())), nil
		},
		Elementwise: true,
	},
}

// ratioFunction describes a function of a bare number that gives a bare number.
func ratioFunction(name, title, says, symbol, valid string, ex Example, f func(float64) (y, dy float64)) *Function {
	ex.Call, ex.Unit, ex.Within = name+"(x)", "1", 1e-15
	return &Function{
		Name: name, Title: title, Says: says, Formula: symbol, Valid: valid, Source: symbolsStandard, Example: ex,
		Params: []Param{{Name: "x", Says: "a bare number"}},
		Call: func(args []Value) (Value, error) {
			q, err := args[0].Number.Map(quantity.One, f)
			return named(name, q, err)
		},
		Plain: func(x []float64) float64 {
			y, _ := f(x[0])
			return y
		},
		Elementwise: true,
	}
}

// logarithm returns y, or no number where x has no logarithm: the limit at 0 is no value.
func logarithm(y, x float64) float64 {
	if x <= 0 {
		return math.NaN()
	}
	return y
}

func named(name string, q quantity.Quantity, err error) (Value, error) {
	if err = finite(q, err, name); err != nil {
		return Value{}, err
	}
	return Of(q), nil
}

func squareRoot(args []Value) (Value, error) {
	x := args[0].Number
	unit, err := x.Unit.Root()
	if err != nil {
		return Value{}, err
	}
	q, err := x.Map(unit, func(x float64) (float64, float64) { r := math.Sqrt(x); return r, 0.5 / r })
	return named("sqrt", q, err)
}

func magnitude(args []Value) (Value, error) {
	x := args[0].Number
	if x.Value >= 0 {
		return Of(x), nil
	}
	q, err := quantity.Neg(x)
	return named("abs", q, err)
}

var controlFunctions = []*Function{
	{
		Name: "if", Title: "One of two", Says: "a where the condition holds, b where it does not. Only the one that is taken is worked out, so the other may lack a reading.",
		Formula: "a if condition, else b",
		Params: []Param{
			{Name: "condition", Kind: Truth, Says: "a comparison"},
			{Name: "a", Any: true, Says: "a number, a list, a text or a condition"},
			{Name: "b", Any: true, Says: "of the same kind, in a unit that fits"},
		},
		Valid: "a and b are of one kind and their units fit", Source: "plain logic",
		Example: Example{Call: "if(x > limit, x, limit)", Given: map[string]string{"x": "3 g", "limit": "5000 mg"}, Want: 5, Unit: "g", Within: 1e-12, Source: "5000 mg = 5 g, by hand"},
	},
	{
		Name: "across", Title: "One value from each vessel", Says: `The list of x over the vessels of a run for which the condition holds; vessels that have no x are left out. Only for a result with of = "run".`,
		Formula: "(x of A, x of B, …)",
		Params: []Param{
			{Name: "x", Any: true, Says: "a number of each vessel"},
			{Name: "condition", Kind: Truth, Optional: true, Says: `which vessels count, such as fuel == "ethanol"; all when left out`},
		},
		Valid: "at least one vessel remains", Source: "plain logic",
	},
}
