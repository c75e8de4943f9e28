package method

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/stat"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

// A point is one reading of a series: q at t minutes since the run began.
type point struct {
	t float64
	q quantity.Quantity
}

// A curve is a series in time order. Its times are taken as exact: a second matters to none of the fits.
type curve []point

// fitDoubt says on a page what the uncertainty of a fit is made of (quantity.Observe).
const fitDoubt = " The uncertainty takes the larger of the readings' own (step, tolerance) and their scatter about the curve, never both, and what the readings share (an offset) beside it."

// onTime is how early, in minutes, a reading may come and still count as taken at its due time: one second.
const onTime = 1.0 / 60

// curve returns argument i as a curve; two readings at one time are refused, and so is a series without readings.
func (c *chain) curve(a arguments, i int, name string) curve {
	out := c.inOrder(a, i, name)
	for j := 1; j < len(out); j++ {
		if !(out[j].t > out[j-1].t) { // the sentence is made only when it is needed
			c.refuse(false, fmt.Sprintf("%s has two readings at %.4g min: give each its own time; an empty one is that of the reading before", name, out[j].t))
		}
	}
	return out
}

// inOrder returns argument i in the order of time, for what needs no time of its own for each reading.
func (c *chain) inOrder(a arguments, i int, name string) curve {
	if !a.has(i) || len(a[i].List) == 0 {
		c.refuse(false, name+" has no readings")
		return nil
	}
	v := a[i]
	if len(v.Times) != len(v.List) {
		c.refuse(false, name+" has readings without a time: it must be a series")
	}
	if c.err != nil {
		return nil
	}
	out := make(curve, len(v.List))
	for j := range v.List {
		t := c.to(v.Times[j], "min")
		out[j] = point{t.Value, v.List[j]}
		if !finite(t.Value) || !finite(v.List[j].Value) {
			c.refuse(false, name+" has a reading that is no number")
		}
	}
	slices.SortStableFunc(out, func(a, b point) int { return cmp.Compare(a.t, b.t) })
	return out
}

// from returns the points taken at t or later, a second early at most.
func (p curve) from(t float64) curve {
	i := sort.Search(len(p), func(i int) bool { return p[i].t >= t-onTime })
	return p[i:]
}

// series names the readings of p for the sources that their fit makes.
func (p curve) series() string {
	if len(p) > 0 && p[0].q.Drawn {
		return "" // no source will be named after them
	}
	q := make([]quantity.Quantity, len(p))
	for i := range p {
		q[i] = p[i].q
	}
	return cmp.Or(quantity.SeriesOf(q), quantity.Digest(q))
}

// A line is y = intercept + slope·x by least squares.
type line struct {
	slope, intercept float64
	mean, sxx        float64 // of x: its mean, and its squared distances from that
}

// fitLine fits a line to points of which at least two differ in x; otherwise ok is false.
func fitLine(x, y []float64) (l line, ok bool) {
	if len(x) < 2 || len(x) != len(y) {
		return line{}, false
	}
	l.mean = stat.Mean(x, nil)
	for _, v := range x {
		l.sxx += (v - l.mean) * (v - l.mean)
	}
	if !(l.sxx > 0) || math.IsInf(l.sxx, 0) {
		return line{}, false
	}
	l.intercept, l.slope = stat.LinearRegression(x, y, nil, false)
	return l, finite(l.slope) && finite(l.intercept)
}

// by returns how far each y moves the slope and the intercept.
func (l line) by(x []float64) (slope, intercept []float64) {
	both := make([]float64, 2*len(x))
	slope, intercept = both[:len(x)], both[len(x):]
	for i, v := range x {
		slope[i] = (v - l.mean) / l.sxx
		intercept[i] = 1/float64(len(x)) - slope[i]*l.mean
	}
	return slope, intercept
}

// decay fits ln d = intercept + slope·t to differences of temperature d in K, which must be more than zero, at times in
// minutes. The slope is in 1/min; the intercept is ln(d/K) at time zero. The scatter is that of d about the curve, in
// K, and taken as the same for all readings. name is that of the fit and its readings.
func (c *chain) decay(name string, t []float64, d []quantity.Quantity) (slope, intercept quantity.Quantity) {
	if c.err != nil {
		return slope, intercept
	}
	y := make([]float64, len(d))
	for i, q := range d {
		y[i] = math.Log(q.Value)
	}
	l, ok := fitLine(t, y)
	c.refuse(ok, "the readings give no line: they need two times or more and temperatures away from the final one")
	if c.err != nil {
		return slope, intercept
	}
	perMinute := quantity.MustUnit("/min")
	if d[0].Drawn { // then nobody asks how far each reading moves them
		return quantity.Quantity{Value: l.slope, Unit: perMinute, Drawn: true}, quantity.Quantity{Value: l.intercept, Drawn: true}
	}
	bySlope, byIntercept := l.by(t)
	var squares float64
	for i, q := range d {
		bySlope[i] /= q.Value
		byIntercept[i] /= q.Value
		r := q.Value - math.Exp(l.intercept+l.slope*t[i])
		squares += r * r
	}
	dof := float64(len(d) - 2)
	q := quantity.Observe(d, []quantity.Outcome{{Value: l.slope, Unit: perMinute, By: bySlope}, {Value: l.intercept, Unit: quantity.One, By: byIntercept}},
		quantity.Scatter{Name: quantity.Fits + name, S: math.Sqrt(squares / dof), DoF: dof})
	return q[0], q[1]
}

// minutes returns argument i, a time, as a number of minutes.
func (c *chain) minutes(a arguments, i int, name string) float64 {
	q := c.to(a.number(i), "min")
	c.refuse(finite(q.Value), name+" is no time")
	return q.Value
}

func since(name, says string) formula.Param { return number(name, "min", says) }
