package method

import (
	"fmt"
	"math"

	"example.org/meniscus/calc/quantity"
)

// points is a line through points, in the units ux and uy, with what each y and each x (in that order in inputs) moves.
type points struct {
	line
	ux, uy  quantity.Unit
	level   float64 // y at the mean of x
	s, dof  float64 // scatter of y about the line, in uy
	inputs  []quantity.Quantity
	bySlope []float64
	byLevel []float64
	n       int
	name    string
}

// points fits a line to the arguments x and y.
func (c *chain) points(a arguments) (p points) {
	var xs, ys []quantity.Quantity
	if a.has(1) {
		xs, ys = a[0].List, a[1].List
	}
	c.refuse(len(xs) == len(ys), fmt.Sprintf("x has %d values and y %d: a line needs them in pairs", len(xs), len(ys)))
	c.refuse(len(xs) >= leastLine, fmt.Sprintf("the line has %d points: it needs %d or more", len(xs), leastLine))
	if c.err != nil {
		return p
	}
	p = points{n: len(xs), ux: xs[0].Unit, uy: ys[0].Unit, inputs: make([]quantity.Quantity, 0, 2*len(xs))}
	p.inputs = append(append(p.inputs, ys...), xs...)
	buffer := make([]float64, 6*p.n)
	x, y := buffer[:p.n], buffer[p.n:2*p.n]
	for i := range xs {
		x[i], y[i] = xs[i].Value, ys[i].Value
		c.refuse(finite(x[i]) && finite(y[i]), "a point of the line is no number")
	}
	if c.err != nil {
		return p
	}
	var ok bool
	p.line, ok = fitLine(x, y)
	c.refuse(ok, "the points do not differ in x, or differ too much for a number: they give no line")
	if c.err == nil {
		p.derive(x, y, buffer[2*p.n:4*p.n], buffer[4*p.n:])
		c.refuse(finite(p.s), "the points are too far apart for a number")
	}
	return p
}

// derive completes a fit: the scatter, and how far each y and each x moves slope and level.
func (p *points) derive(x, y, bySlope, byLevel []float64) {
	p.level = p.intercept + p.slope*p.mean
	p.dof = float64(p.n - 2)
	for i := range x {
		dx := (x[i] - p.mean) / p.sxx
		r := y[i] - p.level - p.slope*(x[i]-p.mean)
		p.s += r * r
		bySlope[i], byLevel[i] = dx, 1/float64(p.n)
		bySlope[p.n+i] = r/p.sxx - p.slope*dx // with y at rest
	}
	p.s = math.Sqrt(p.s / p.dof)
	p.bySlope, p.byLevel = bySlope, byLevel
	p.name = quantity.Fits + "line/" + quantity.Digest(p.inputs)
}

// outcome returns slope, level and one more value, whose derivatives are by, with the larger of the scatter and the
// points' own uncertainty. Slope and level come first each time, so that all results of one line are correlated as they
// should be. Errors of x are in the scatter too, by the slope.
func (p *points) outcome(value float64, u quantity.Unit, by []float64) quantity.Quantity {
	all := []quantity.Outcome{{Value: p.slope, By: p.bySlope}, {Value: p.level, By: p.byLevel}, {Value: value, Unit: u, By: by}}
	return quantity.Observe(p.inputs, all, quantity.Scatter{Name: p.name, S: p.s, DoF: p.dof, Seen: p.seen(), N: p.n})[2]
}

// seen returns how far each input moves its own residual.
func (p *points) seen() []float64 {
	out := make([]float64, len(p.inputs))
	for i := range out {
		out[i] = 1
		if i >= p.n {
			out[i] = p.slope
		}
	}
	return out
}

// step returns how many units of an interval one step of u is: 5/9 K for a degree Fahrenheit.
func step(u quantity.Unit) float64 {
	d, err := quantity.Sub(quantity.Exact(1, u), quantity.Exact(0, u))
	if err != nil {
		return 1
	}
	return d.Value
}

func (p points) slopeOf(c *chain) quantity.Quantity {
	if c.err != nil {
		return quantity.Quantity{}
	}
	unit, err := p.uy.Interval().Per(p.ux.Interval())
	c.keep(quantity.Quantity{}, err)
	f := step(p.uy) / step(p.ux)
	by := make([]float64, len(p.bySlope))
	for i, d := range p.bySlope {
		by[i] = f * d
	}
	return p.outcome(f*p.slope, unit, by)
}

// lineAt returns y at x0, which is in the unit of x.
func (p points) lineAt(c *chain, x0 quantity.Quantity) quantity.Quantity {
	if c.err != nil {
		return quantity.Quantity{}
	}
	d := x0.Value - p.mean
	return p.carry(p.outcome(p.level+p.slope*d, p.uy, p.byLine(d)), x0, p.slope)
}

// byLine returns how far each input moves the line at the distance d from the mean of x.
func (p points) byLine(d float64) []float64 {
	by := make([]float64, len(p.inputs))
	for i := range by {
		by[i] = p.byLevel[i] + d*p.bySlope[i]
		if i >= p.n { // the mean of x moves too
			by[i] -= p.slope / float64(p.n)
		}
	}
	return by
}

// carry adds to q what the uncertainty of x brings, of which q has the derivative d.
func (p points) carry(q, x quantity.Quantity, d float64) quantity.Quantity {
	return quantity.Combine(q.Value, q.Unit, []quantity.Quantity{q, x}, []float64{1, d})
}

// clear is how many standard uncertainties the slope must be away from zero before a line is read backwards.
const clear = 3

// xAt returns the x at which the line reaches y0, which is in the unit of y.
func (p points) xAt(c *chain, y0 quantity.Quantity) quantity.Quantity {
	if c.err != nil {
		return quantity.Quantity{}
	}
	b := p.slope
	u := p.outcome(b, quantity.One, p.bySlope).U()
	c.refuse(b != 0 && math.Abs(b) >= clear*u, fmt.Sprintf("the slope is %.3g with a standard uncertainty of %.2g: too near zero to tell x from y", b, u))
	if c.err != nil {
		return quantity.Quantity{}
	}
	y0 = quantity.Scatter{Name: p.name + "/reading-" + quantity.Digest([]quantity.Quantity{y0}), S: p.s, DoF: p.dof}.AsOneOf(y0)
	d := (y0.Value - p.level) / b
	by := p.byLine(d)
	for i := range by {
		by[i] /= -b
	}
	return p.carry(p.outcome(p.mean+d, p.ux, by), y0, 1/b)
}

func (p points) spread(c *chain) quantity.Quantity {
	if c.err != nil {
		return quantity.Quantity{}
	}
	unit, f := p.uy.Interval(), step(p.uy)
	by := make([]float64, len(p.inputs))
	if p.s > 0 {
		for i := range by {
			r := p.residual(i % p.n)
			if by[i] = f * r / (p.dof * p.s); i >= p.n {
				by[i] *= -p.slope
			}
		}
	}
	q := quantity.Combine(f*p.s, unit, p.inputs, by)
	return quantity.Scatter{Name: p.name, DoF: p.dof, Seen: p.seen(), N: p.n}.Deviation(q, p.inputs, f)
}

func (p points) residual(i int) float64 {
	return p.inputs[i].Value - p.level - p.slope*(p.inputs[p.n+i].Value-p.mean)
}
