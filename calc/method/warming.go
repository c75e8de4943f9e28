package method

import (
	"fmt"
	"math"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

const leastWarming = 3 // readings that a warming fit needs, the start among them

const warmingValid = "Three readings or more, the start among them; readings before since and readings not below the bath are left out. The vessel must be swirled: still oil warms unevenly and the first minutes promise too much. Readings close to the bath weigh heavily." + fitDoubt

var (
	warmingSeries = readings("series", "Cel", "temperature of the vessel's content")
	warmingSince  = since("since", "when the vessel went into the bath, since the run began")
	bath          = number("bath", "Cel", "temperature of the bath")
	warmingStart  = optional(number("start", "Cel", "temperature of the content when it went in; a reading of the fit like the others"))
)

var warming = []formula.Function{
	{
		Name: "warming_time_constant", Title: "Time constant of warming in a bath",
		Says:    "Fits how the content nears the temperature of the bath: after one time constant 63 % of the difference is gone.",
		Formula: "ln(θ_b − θ) = const − t/τ, least squares",
		Params:  []formula.Param{warmingSeries, warmingSince, bath, warmingStart},
		Unit:    quantity.MustUnit("min"), Valid: warmingValid,
		Source: "Lumped body in a bath of constant temperature, heat-transfer texts (from memory)",
		Example: formula.Example{Call: "warming_time_constant(oil, begun, bath)",
			Given: map[string]string{"oil": "4 min 42.124 Cel; 8 min 50.263 Cel; 12 min 53.257 Cel", "begun": "0 min", "bath": "55 Cel"}, Want: 4, Unit: "min", Within: 0.001,
			Source: "an exact exponential from 20 °C with 4 min, rounded to 0.001 °C"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			w := c.warm(a, 3)
			return c.value(w.constant, "min")
		},
	}, {
		Name: "warm_at", Title: "When the content is within reach of the bath",
		Says:    "Tells how long after it went in the content comes within a given interval of the bath; 0 min when it was from the start.",
		Formula: "t = τ·ln((θ_b − θ₀)/δ), θ₀ the start where it is given, otherwise that of the fitted curve",
		Params:  []formula.Param{warmingSeries, warmingSince, bath, number("within", "K", "the interval from the bath that will do"), warmingStart},
		Unit:    quantity.MustUnit("min"), Valid: warmingValid,
		Source: "Lumped body in a bath of constant temperature, heat-transfer texts (from memory)",
		Example: formula.Example{Call: "warm_at(oil, begun, bath, near)",
			Given: map[string]string{"oil": "4 min 42.124 Cel; 8 min 50.263 Cel; 12 min 53.257 Cel", "begun": "0 min", "bath": "55 Cel", "near": "1 K"}, Want: 14.221, Unit: "min", Within: 0.005,
			Source: "an exact exponential from 20 °C with 4 min, rounded to 0.001 °C: 4 min·ln 35"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			w := c.warm(a, 4)
			near := c.positive(a, 3, "within")
			if c.err != nil {
				return formula.Value{}, c.err
			}
			ln := c.keep(near.Map(quantity.One, func(x float64) (float64, float64) { return math.Log(x), 1 / x }))
			t := c.mul(w.constant, c.sub(w.logStart, ln))
			if c.err == nil && t.Value < 0 {
				t = quantity.Exact(0, t.Unit)
			}
			return c.value(t, "min")
		},
	},
}

// A warmth is a fitted warming.
type warmth struct {
	constant quantity.Quantity // min
	logStart quantity.Quantity // ln of the difference to the bath at the start, in K
}

// warm reads the arguments series, since, bath and, at index start, the optional start.
func (c *chain) warm(a arguments, start int) warmth {
	series, begun, bath := c.curve(a, 0, "series"), c.minutes(a, 1, "since"), a.number(2)
	most := len(series) + 1
	t, d, used := make([]float64, 0, most), make([]quantity.Quantity, 0, most), make(curve, 0, most)
	take := func(at float64, q quantity.Quantity) {
		if diff := c.sub(bath, q); diff.Value > 0 && finite(diff.Value) {
			t, d, used = append(t, at), append(d, diff), append(used, point{at, q})
		}
	}
	first := begun
	if a.has(start) {
		take(0, a.number(start))
		c.refuse(len(d) == 1, "the content was not colder than the bath at the start")
		first += 2 * onTime // a reading of the series at the start would count twice
	}
	for _, p := range series.from(first) {
		take(p.t-begun, p.q)
	}
	if len(d) < leastWarming {
		c.refuse(false, fmt.Sprintf("the warming has %d readings below the bath: it needs %d or more", len(d), leastWarming))
	}
	slope, intercept := c.decay("warming/"+used.series(), t, d)
	c.refuse(slope.Value < 0, "the content did not near the bath: are the temperatures right?")
	if c.err != nil {
		return warmth{}
	}
	w := warmth{logStart: intercept}
	w.constant = c.keep(slope.Map(quantity.MustUnit("min"), func(x float64) (float64, float64) { return -1 / x, 1 / (x * x) }))
	if a.has(start) {
		w.logStart = c.keep(d[0].Map(quantity.One, func(x float64) (float64, float64) { return math.Log(x), 1 / x }))
	}
	return w
}
