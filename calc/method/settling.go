package method

import (
	"fmt"
	"math"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

const settlingForm = "V(t) = V∞·(1 − e^(−(t − t₀)/τ)) for t > t₀, least squares"

var settlingValid = fmt.Sprintf("At least %d readings over at least %g time constants, otherwise the end is a guess and is refused. A lower layer that grows; readings of nothing at the beginning are left out. An empirical curve."+fitDoubt, leastSettling, leastSpan)

const settlingSource = "First-order approach to a final volume, common practice, no source"

var (
	interfaceSeries = readings("interface", "mL", "volume of the lower layer")
	settlingSince   = since("since", "when the vessel was set down, since the run began")
	settlingParams  = []formula.Param{interfaceSeries, settlingSince}
	settlingGiven   = map[string]string{"layer": "2 min 3.625 mL; 4 min 9.024 mL; 6 min 12.642 mL; 8 min 15.068 mL; 10 min 16.694 mL; 15 min 18.784 mL; 20 min 19.553 mL", "down": "0 min"}
)

const exactCurve = "an exact curve of 20 mL, 1 min and 5 min, rounded to 0.001 mL"

var settling = []formula.Function{
	{
		Name: "settled_volume", Title: "Volume of the lower layer when all has settled",
		Says:    "Fits how the lower layer grows and gives the volume that it tends to.",
		Formula: settlingForm + "; V∞",
		Params:  settlingParams, Unit: quantity.MustUnit("mL"), Valid: settlingValid, Source: settlingSource,
		Example: formula.Example{Call: "settled_volume(layer, down)", Given: settlingGiven, Want: 20, Unit: "mL", Within: 0.005, Source: exactCurve},
		Work:    settlingWork,
		Finish: func(done any, _ []formula.Value) (formula.Value, error) {
			c, s := settled(done)
			return c.value(s.volume, "mL")
		},
	}, {
		Name: "settling_delay", Title: "Delay before the lower layer grows",
		Says:    "Fits how the lower layer grows and gives the time after which it begins to.",
		Formula: settlingForm + "; t₀",
		Params:  settlingParams, Unit: quantity.MustUnit("min"), Valid: settlingValid, Source: settlingSource,
		Example: formula.Example{Call: "settling_delay(layer, down)", Given: settlingGiven, Want: 1, Unit: "min", Within: 0.005, Source: exactCurve},
		Work:    settlingWork,
		Finish: func(done any, _ []formula.Value) (formula.Value, error) {
			c, s := settled(done)
			return c.value(s.delay, "min")
		},
	}, {
		Name: "settling_time_constant", Title: "Time constant of settling",
		Says:    "Fits how the lower layer grows and gives the time in which what is left to settle falls to 37 %.",
		Formula: settlingForm + "; τ",
		Params:  settlingParams, Unit: quantity.MustUnit("min"), Valid: settlingValid, Source: settlingSource,
		Example: formula.Example{Call: "settling_time_constant(layer, down)", Given: settlingGiven, Want: 5, Unit: "min", Within: 0.005, Source: exactCurve},
		Work:    settlingWork,
		Finish: func(done any, _ []formula.Value) (formula.Value, error) {
			c, s := settled(done)
			return c.value(s.constant, "min")
		},
	}, {
		Name: "settling_rms", Title: "Scatter of the readings about the settling curve",
		Says:    "Gives the standard deviation of the readings from the fitted curve; more than a division of the scale means that the curve does not fit.",
		Formula: "s = √(Σ(V − V(t))²/(n − 3))",
		Params:  settlingParams, Unit: quantity.MustUnit("mL"), Valid: settlingValid, Source: settlingSource,
		Example: formula.Example{Call: "settling_rms(layer, down)", Given: settlingGiven, Want: 0, Unit: "mL", Within: 0.001, Source: exactCurve},
		Work:    settlingWork,
		Finish: func(done any, _ []formula.Value) (formula.Value, error) {
			c, s := settled(done)
			return c.value(s.scatter, "mL")
		},
	}, {
		Name: "settled_at", Title: "When less than a given volume is left to settle",
		Says:    "Tells how long after the vessel was set down less than the given volume is still to come.",
		Formula: "t = t₀ + τ·ln(V∞/V_left)",
		Params:  []formula.Param{interfaceSeries, settlingSince, number("remaining", "mL", "volume still to come that will do, such as half a division")},
		Unit:    quantity.MustUnit("min"), Valid: settlingValid, Source: settlingSource,
		Example: formula.Example{Call: "settled_at(layer, down, left)", Given: with(settlingGiven, "left", "0.5 mL"), Want: 1 + 5*math.Log(40), Unit: "min", Within: 0.01, Source: exactCurve},
		Work:    settlingWork,
		Finish: func(done any, a []formula.Value) (formula.Value, error) {
			c, s := settled(done)
			left := c.positive(a, 2, "remaining")
			c.refuse(left.Value < s.volume.Value, "remaining is not less than the settled volume")
			if c.err != nil {
				return formula.Value{}, c.err
			}
			ln := c.keep(c.div(s.volume, left).Map(quantity.One, func(x float64) (float64, float64) { return math.Log(x), 1 / x }))
			return c.value(c.add(s.delay, c.mul(s.constant, ln)), "min")
		},
	},
}

// settlingWork is the fit that all functions of settling share.
var settlingWork = &formula.Work{Name: "settling", Args: 2, Do: func(a []formula.Value) any {
	var c chain
	s := c.settle(a, 0)
	return settlementOrError{s, c.err}
}, Again: func(a []formula.Value, first any) any {
	var c chain
	near, _ := first.(settlementOrError)
	s := c.settle(a, near.constant.Value)
	return settlementOrError{s, c.err}
}}

type settlementOrError struct {
	settlement
	err error
}

// settled takes up what settlingWork left.
func settled(done any) (chain, settlement) {
	s, ok := done.(settlementOrError)
	if !ok {
		return chain{&quantity.RangeError{Msg: "the settling was not fitted"}}, settlement{}
	}
	return chain{s.err}, s.settlement
}

// with returns a copy of given with one more entry.
func with(given map[string]string, name, text string) map[string]string {
	out := map[string]string{name: text}
	for k, v := range given {
		out[k] = v
	}
	return out
}

// A settlement is a fitted settling curve: V∞ and scatter in mL, t₀ since the vessel was set down and τ in min.
type settlement struct{ volume, delay, constant, scatter quantity.Quantity }

const (
	leastSettling = 5   // readings that a settling fit needs
	leastSpan     = 1.5 // time constants that they must span
)

// settle fits the arguments interface and since. With a time constant of a fit to nearly the same readings, other than
// 0, it begins there, and tells values alone.
func (c *chain) settle(a arguments, near float64) settlement {
	series, down := c.curve(a, 0, "interface"), c.minutes(a, 1, "since")
	if c.err != nil {
		return settlement{}
	}
	series = series.from(down)
	for len(series) > 0 && series[0].q.Value <= 0 {
		series = series[1:]
	}
	if len(series) < leastSettling {
		c.refuse(false, fmt.Sprintf("the settling has %d readings of a layer: it needs %d or more", len(series), leastSettling))
	}
	if c.err != nil {
		return settlement{}
	}
	t, v, inputs := make([]float64, len(series)), make([]float64, len(series)), make([]quantity.Quantity, len(series))
	for i, p := range series {
		t[i], v[i], inputs[i] = p.t-down, p.q.Value, p.q
		c.refuse(v[i] >= 0, "the lower layer has a negative volume")
	}
	if c.err != nil {
		return settlement{}
	}
	mL, minute, dof := quantity.MustUnit("mL"), quantity.MustUnit("min"), float64(len(v)-3)
	if near > 0 {
		if p, found := refitSettling(t, v, near); found {
			volume, delay, scatter := p.values(t[0])
			return settlement{quantity.Exact(volume, mL), quantity.Exact(delay, minute), quantity.Exact(p.tau, minute), quantity.Exact(scatter, mL)}
		}
	}
	f, err := fitSettling(t, v)
	if err != nil {
		c.keep(quantity.Quantity{}, err)
		return settlement{}
	}
	sc := quantity.Scatter{Name: quantity.Fits + "settling/" + series.series(), S: f.scatter, DoF: dof}
	q := quantity.Observe(inputs, []quantity.Outcome{{Value: f.volume, Unit: mL, By: f.byVolume}, {Value: f.delay, Unit: minute, By: f.byDelay}, {Value: f.constant, Unit: minute, By: f.byConstant}},
		sc)
	return settlement{q[0], q[1], q[2], sc.Deviation(quantity.Combine(f.scatter, mL, inputs, f.byScatter), inputs, 1)}
}
