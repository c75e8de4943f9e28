package method

import (
	"fmt"
	"math"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

const (
	leastLine   = 3 // points that a line needs: two have no scatter
	lineValid   = "Three points or more that differ in x, one line with the same scatter throughout. x is known better than y scatters; how far its own uncertainty moves the line is in the result." + fitDoubt
	lineSource  = "NIST/SEMATECH e-Handbook of Statistical Methods, 4.1.4.1, from memory; JCGM 100:2008, H.3 for the covariance"
	lineFormula = "y = a + b·x, least squares; s² = Σ(yᵢ − a − b·xᵢ)²/(n − 2); "
	beyond      = " Beyond the points it is an extrapolation, and nothing in the scatter warns of a bend."
)

var (
	lineX    = formula.Param{Name: "x", Kind: formula.List, Any: true, Says: "a list or a series: what was set or known"}
	lineY    = formula.Param{Name: "y", Kind: formula.List, Any: true, Says: "a list or a series of equal length: what was read"}
	lineData = map[string]string{"x": "1 g; 2 g; 3 g; 4 g", "y": "3 mL; 5 mL; 7 mL; 9 mL"}
)

const lineByHand = "by hand: the points lie on y = 1 mL + 2 mL/g · x"

var lines = []formula.Function{
	{
		Name: "slope", Title: "Slope of a line",
		Says:    "Lays a straight line through points and gives how far y goes for one step of x.",
		Formula: lineFormula + "b = Σ(xᵢ − x̄)(yᵢ − ȳ)/Σ(xᵢ − x̄)²; u(b) = s/√Σ(xᵢ − x̄)²",
		Params:  []formula.Param{lineX, lineY}, Unit: quantity.One, Valid: lineValid, Source: lineSource,
		Example: formula.Example{Call: "slope(x, y)", Given: lineData, Want: 2, Unit: "mL/g", Within: 1e-12, Source: lineByHand},
		TypeOf: func(t []formula.Type) (formula.Type, error) {
			u, err := t[1].Unit.Interval().Per(t[0].Unit.Interval())
			return formula.Type{Unit: u}, err
		},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			p := c.points(a)
			return c.only(p.slopeOf(&c))
		},
	}, {
		Name: "intercept", Title: "Intercept of a line",
		Says:    "Lays a straight line through points and gives its y at x = 0, in the unit that x is written in.",
		Formula: lineFormula + "a = ȳ − b·x̄; u²(a) = s²·(1/n + x̄²/Σ(xᵢ − x̄)²)",
		Params:  []formula.Param{lineX, lineY}, Unit: quantity.One, Valid: lineValid + beyond, Source: lineSource,
		Example: formula.Example{Call: "intercept(x, y)", Given: lineData, Want: 1, Unit: "mL", Within: 1e-12, Source: lineByHand},
		TypeOf:  func(t []formula.Type) (formula.Type, error) { return formula.Type{Unit: t[1].Unit}, nil },
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			p := c.points(a)
			return c.only(p.lineAt(&c, quantity.Exact(0, p.ux)))
		},
	}, {
		Name: "line_at", Title: "Value of a line at a given x",
		Says:    "Lays a straight line through points and gives its y at x₀: where the line runs, not how far one more reading would scatter about it.",
		Formula: lineFormula + "y₀ = ȳ + b·(x₀ − x̄); u²(y₀) = s²·(1/n + (x₀ − x̄)²/Σ(xᵢ − x̄)²) + b²·u²(x₀)",
		Params:  []formula.Param{lineX, lineY, {Name: "x0", Any: true, Says: "where, in a unit that fits x"}}, Unit: quantity.One,
		Valid: lineValid + beyond, Source: lineSource,
		Example: formula.Example{Call: "line_at(x, y, here)", Given: with(lineData, "here", "2500 mg"), Want: 6, Unit: "mL", Within: 1e-12, Source: lineByHand},
		TypeOf: func(t []formula.Type) (formula.Type, error) {
			return formula.Type{Unit: t[1].Unit}, fits(t[2].Unit, t[0].Unit, "x0", "x")
		},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			p := c.points(a)
			return c.only(p.lineAt(&c, c.inUnit(a, 2, p.ux, "x0")))
		},
	}, {
		Name: "x_at", Title: "Where a line reaches a given y",
		Says:    "Lays a straight line through points and gives the x at which it reaches y₀, as a calibration line is used. y₀ is one reading, or the mean of p: it scatters like the points, also where it has no instrument or its repeats agree by chance. For a mark that is no reading write (y₀ − intercept(x, y)) / slope(x, y).",
		Formula: lineFormula + "x₀ = x̄ + (y₀ − ȳ)/b; u²(x₀) = s²/b²·(1/p + 1/n + (x₀ − x̄)²/Σ(xᵢ − x̄)²), and more where y₀ is more uncertain than s/√p by its instrument, or its repeats scatter more than chance makes of s",
		Params:  []formula.Param{lineX, lineY, {Name: "y0", Any: true, Says: "the y to be reached, in a unit that fits y"}}, Unit: quantity.One,
		Valid:   lineValid + " The slope stands clear of zero: three standard uncertainties or more, otherwise it is refused." + beyond,
		Source:  "Eurachem/CITAC QUAM 3rd ed. 2012, A5 and appendix E.4; ISO 8466-1:1990; both from memory",
		Example: formula.Example{Call: "x_at(x, y, there)", Given: with(lineData, "there", "6 mL"), Want: 2.5, Unit: "g", Within: 1e-12, Source: lineByHand},
		TypeOf: func(t []formula.Type) (formula.Type, error) {
			return formula.Type{Unit: t[0].Unit}, fits(t[2].Unit, t[1].Unit, "y0", "y")
		},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			p := c.points(a)
			return c.only(p.xAt(&c, c.inUnit(a, 2, p.uy, "y0")))
		},
	}, {
		Name: "spread", Title: "Scatter about a line",
		Says:    "Lays a straight line through points and gives the standard deviation of y about it.",
		Formula: lineFormula + "s; u(s) = s/√(2(n − 2))",
		Params:  []formula.Param{lineX, lineY}, Unit: quantity.One, Valid: lineValid, Source: lineSource + "; E.4.3 for u(s)",
		Example: formula.Example{Call: "spread(x, y)", Given: map[string]string{"x": "0 g; 1 g; 2 g", "y": "0 mL; 2 mL; 1 mL"}, Want: math.Sqrt(1.5), Unit: "mL", Within: 1e-12,
			Source: "by hand: y = 0.5 + 0.5 x, residuals −0.5, 1, −0.5"},
		TypeOf: func(t []formula.Type) (formula.Type, error) { return formula.Type{Unit: t[1].Unit.Interval()}, nil },
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			p := c.points(a)
			return c.only(p.spread(&c))
		},
	},
}

// fits tells whether two units may stand for one another; a temperature and an interval may not.
func fits(u, v quantity.Unit, a, b string) error {
	if u.Fits(v) && u.IsTemperature() == v.IsTemperature() {
		return nil
	}
	return fmt.Errorf("%s is in %s and %s in %s: they must fit", a, u, b, v)
}

// inUnit returns argument i in the unit u.
func (c *chain) inUnit(a arguments, i int, u quantity.Unit, name string) quantity.Quantity {
	if c.err != nil {
		return quantity.Quantity{}
	}
	q := c.keep(a.number(i).To(u))
	c.refuse(finite(q.Value), name+" is no number")
	return q
}

// only ends a method whose unit depends on its arguments.
func (c *chain) only(q quantity.Quantity) (formula.Value, error) {
	c.refuse(finite(q.Value) && finite(q.U()), "these readings give no finite value")
	return formula.Of(q), c.err
}
