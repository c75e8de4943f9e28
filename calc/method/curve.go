package method

import (
	"fmt"
	"math"
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

// onTime is how early, in minutes, a reading may come and still count as taken at its due time: one second.
const onTime = 1.0 / 60

// curve returns argument i as a curve; two readings at one time are refused, and so is a series without readings.
func (c *chain) curve(a arguments, i int, name string) curve {
	if !a.has(i) || len(a[i].List) == 0 {
		c.refuse(false, name+" has no readings")
		return nil
	}
	v := a[i]
	c.refuse(len(v.Times) == len(v.List), name+" has readings without a time: it must be a series")
	if c.err != nil {
		return nil
	}
	out := make(curve, len(v.List))
	for j := range v.List {
		t := c.to(v.Times[j], "min")
		out[j] = point{t.Value, v.List[j]}
		c.refuse(finite(t.Value) && finite(v.List[j].Value), name+" has a reading that is no number")
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].t < out[b].t })
	for j := 1; j < len(out); j++ {
		c.refuse(out[j].t > out[j-1].t, fmt.Sprintf("%s has two readings at %.4g min", name, out[j].t))
	}
	return out
}

// from returns the points taken at t or later, a second early at most.
func (p curve) from(t float64) curve {
	i := sort.Search(len(p), func(i int) bool { return p[i].t >= t-onTime })
	return p[i:]
}

// A line is y = intercept + slope·x by least squares, with how far each y moves both.
type line struct {
	slope, intercept     float64
	bySlope, byIntercept []float64
}

// fitLine fits a line to points of which at least two differ in x; otherwise ok is false.
func fitLine(x, y []float64) (l line, ok bool) {
	if len(x) < 2 || len(x) != len(y) {
		return line{}, false
	}
	mean := stat.Mean(x, nil)
	var sxx float64
	for _, v := range x {
		sxx += (v - mean) * (v - mean)
	}
	if !(sxx > 0) || math.IsInf(sxx, 0) {
		return line{}, false
	}
	l.intercept, l.slope = stat.LinearRegression(x, y, nil, false)
	for _, v := range x {
		w := (v - mean) / sxx
		l.bySlope = append(l.bySlope, w)
		l.byIntercept = append(l.byIntercept, 1/float64(len(x))-w*mean)
	}
	return l, finite(l.slope) && finite(l.intercept)
}

// decay fits ln d = intercept + slope·t to differences of temperature d in K, which must be more than zero, at times in
// minutes. The slope is in 1/min; the intercept is ln(d/K) at time zero.
func (c *chain) decay(t []float64, d []quantity.Quantity) (slope, intercept quantity.Quantity) {
	y := make([]float64, len(d))
	for i, q := range d {
		y[i] = math.Log(q.Value)
	}
	l, ok := fitLine(t, y)
	c.refuse(ok, "the readings give no line: they need two times or more and temperatures away from the final one")
	if c.err != nil {
		return slope, intercept
	}
	for i, q := range d {
		l.bySlope[i] /= q.Value
		l.byIntercept[i] /= q.Value
	}
	return quantity.Combine(l.slope, quantity.MustUnit("/min"), d, l.bySlope), quantity.Combine(l.intercept, quantity.One, d, l.byIntercept)
}

// minutes returns argument i, a time, as a number of minutes.
func (c *chain) minutes(a arguments, i int, name string) float64 {
	q := c.to(a.number(i), "min")
	c.refuse(finite(q.Value), name+" is no time")
	return q.Value
}

func since(name, says string) formula.Param { return number(name, "min", says) }
