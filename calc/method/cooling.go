package method

import (
	"fmt"
	"slices"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

const (
	leastCooling = 3    // readings that a cooling constant needs
	promptStart  = 0.25 // minutes after the flame was lit within which a reading is that of the start
	lateStart    = 1.0  // minutes after the flame was lit by which the first reading of the burn must be taken where nothing else tells the start
	leastBefore  = 4    // readings that the line of a pre-period needs
	farBefore    = 2.0  // minutes that this line is followed at most beyond its last reading
	newton       = "Newton's law of cooling, as in calorimetry after ISO 1928 (from memory)"
)

var (
	burnSeries = readings("burn", "Cel", "temperature of the water from the moment the flame was lit")
	postSeries = readings("post", "Cel", "temperature of the water from the moment the flame was put out")
	ambient    = number("ambient", "Cel", "temperature of the room")
	litAt      = since("lit", "when the flame was lit, since the run began")
	startParam = number("start", "Cel", "temperature of the water when the flame was lit, as start_temperature gives it")
	settledAt  = since("settled_from", "from when the water cools steadily, since the run began: when the flame was put out and about 1.5 min on")
)

var cooling = []formula.Function{
	{
		Name: "cooling_constant", Title: "Cooling constant of the can",
		Says:    "Fits how the stirred water cools after the burn and gives the rate of loss for each kelvin above the room.",
		Formula: "ln(θ − θ_a) = const − k·t, least squares over the readings from settled_from on",
		Params:  []formula.Param{postSeries, ambient, optional(settledAt)},
		Unit:    quantity.MustUnit("/min"),
		Valid:   "Three readings or more, all above the room; ten over five minutes are good. Readings before the can has settled make k too small." + fitDoubt,
		Source:  newton,
		Example: formula.Example{Call: "cooling_constant(post, room)",
			Given: map[string]string{"post": "0 min 40 Cel; 2 min 39.604 Cel; 4 min 39.216 Cel; 6 min 38.835 Cel; 8 min 38.462 Cel; 10 min 38.097 Cel", "room": "20 Cel"}, Want: 0.01, Unit: "1/min", Within: 1e-5,
			Source: "an exact exponential of 0.01 per minute, rounded to 0.001 °C"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			post, room := c.curve(a, 0, "post"), c.room(a, 1)
			if arguments(a).has(2) {
				post = post.from(c.minutes(a, 2, "settled_from"))
			}
			return c.value(c.coolingConstant(post, room), "/min")
		},
	}, {
		Name: "start_temperature", Title: "Temperature of the water when the flame was lit",
		Says:    "Takes the first reading of the burn where it came as the flame did, within a quarter of a minute. Otherwise it follows the line of the readings before to the moment of lighting, and a late first reading stands for the start only where that line cannot be followed.",
		Formula: "θ_i = θ̄ + b·(t_lit − t̄) over the readings before, least squares; u(θ_i) as in line_at",
		Params:  []formula.Param{burnSeries, litAt, readings("before", "Cel", "temperature of the water before the flame was lit")},
		Unit:    quantity.MustUnit("Cel"),
		Valid:   "The line: four readings or more before the flame was lit, the last no more than 2 min before it and no further from it than the readings reach back. Without a line: the first reading of the burn no later than a minute after the flame was lit; the water may be some kelvin warmer by then." + fitDoubt,
		Source:  lineSource + "; the initial period of a calorimeter extrapolated to the ignition, as in ISO 1928 (from memory)",
		Example: formula.Example{Call: "start_temperature(burn, lit, before)",
			Given: map[string]string{"burn": "4 min 18 Cel; 5 min 22 Cel", "lit": "2.5 min", "before": "0 min 14.0 Cel; 0.5 min 14.1 Cel; 1 min 14.2 Cel; 1.5 min 14.3 Cel"}, Want: 14.5, Unit: "Cel", Within: 1e-9,
			Source: byFormula + ": a line of 0.2 K/min, a minute on"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.start(a), "Cel")
		},
	}, {
		Name: "drift", Title: "Drift of a series before a moment",
		Says:    "Lays a line through the readings before the moment and gives how fast they go: what the water does of itself, with no flame under it.",
		Formula: "b = Σ(tᵢ − t̄)(θᵢ − θ̄)/Σ(tᵢ − t̄)², least squares; u(b) as in slope",
		Params:  []formula.Param{readings("before", "Cel", "temperature of the water before the flame was lit"), litAt},
		Unit:    quantity.MustUnit("K/min"),
		Valid:   "Four readings or more before the moment." + fitDoubt,
		Source:  lineSource,
		Example: formula.Example{Call: "drift(before, lit)",
			Given: map[string]string{"before": "0 min 14.0 Cel; 0.5 min 14.1 Cel; 1 min 14.2 Cel; 1.5 min 14.3 Cel; 3 min 20 Cel", "lit": "2 min"}, Want: 0.2, Unit: "K/min", Within: 1e-9,
			Source: byFormula + ": a line of 0.2 K/min; what came after the flame is left out"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			before, lit := c.curve(a, 0, "before"), c.minutes(a, 1, "lit")
			before = before[:len(before)-len(before.from(lit))]
			c.refuse(len(before) >= leastBefore, fmt.Sprintf("there are %d readings before the flame: a drift takes %d", len(before), leastBefore))
			if c.err != nil {
				return formula.Value{}, c.err
			}
			return c.value(before.fit(&c).slopeOf(&c), "K/min")
		},
	}, {
		Name: "loss_integral", Title: "Excess of temperature over the room, summed over a burn",
		Says:    "Integrates the water's temperature above the room from the first reading of the burn to the first one after the can has settled.",
		Formula: "I = ∫(θ − θ_a)·dt, trapezia between the readings",
		Params:  []formula.Param{burnSeries, postSeries, ambient, litAt, settledAt, optional(startParam)},
		Unit:    quantity.MustUnit("K.min"),
		Valid:   pathValid + " Below the room the excess counts negative.",
		Source:  newton + "; trapezoidal rule",
		Example: formula.Example{Call: "loss_integral(burn, post, room, lit, settled)",
			Given: map[string]string{"burn": "0 min 20 Cel; 1 min 22 Cel", "post": "2 min 24 Cel; 4 min 24 Cel", "room": "20 Cel", "lit": "0 min", "settled": "3 min"}, Want: 12, Unit: "K.min", Within: 1e-9,
			Source: byFormula},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			b := c.burn(a)
			return c.value(b.integral, "K.min")
		},
	}, {
		Name: "corrected_rise", Title: "Temperature rise of a burn, corrected for heat loss",
		Says:    "Adds to the observed rise what the can lost to the room on the way, or takes off what it gained. Heat that went past the can is not in it: compare with a reference burn for that.",
		Formula: "ΔT = θ_f − θ_i + k·∫(θ − θ_a)·dt; θ_i the start, or else the first reading of the burn; θ_f the first from settled_from on, k as in cooling_constant from settled_from on, integral as in loss_integral",
		Params:  []formula.Param{burnSeries, postSeries, ambient, litAt, settledAt, optional(startParam)},
		Unit:    quantity.MustUnit("K"),
		Valid:   "As cooling_constant and loss_integral. Stirred water; rise between 10 and 40 K (common practice, no source)." + fitDoubt,
		Source:  newton + "; the correction after Regnault and Pfaundler has the same aim",
		Example: formula.Example{Call: "corrected_rise(burn, post, room, lit, settled)",
			Given: map[string]string{"burn": "0 min 20 Cel; 1 min 30 Cel", "post": "2 min 40 Cel; 4 min 39.604 Cel; 6 min 39.216 Cel; 8 min 38.835 Cel", "room": "20 Cel", "lit": "0 min", "settled": "2 min"}, Want: 20.2, Unit: "K", Within: 0.001,
			Source: byFormula + ": 20 K and 0.01 per minute times 20 K·min"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			b := c.burn(a)
			if c.err != nil {
				return formula.Value{}, c.err
			}
			k := c.coolingConstant(b.settled, b.room)
			rise := c.sub(b.settled[0].q, b.first)
			return c.value(c.add(rise, c.to(c.mul(k, b.integral), "K")), "K")
		},
	}, {
		Name: "rise_so_far", Title: "Temperature rise of a burn that goes on, corrected for heat loss",
		Says:    "Adds to the rise so far what the can has lost to the room by now, or takes off what it gained, with a cooling constant that is known from before. It is for the time of the burn; afterwards corrected_rise takes the constant from the burn itself.",
		Formula: "ΔT = θ_n − θ_i + k·∫(θ − θ_a)·dt; θ_i the start, or else the first reading from lit on; θ_n the newest, trapezia between the readings",
		Params:  []formula.Param{burnSeries, ambient, litAt, number("cooling", "/min", "cooling constant of the can"), optional(startParam)},
		Unit:    quantity.MustUnit("K"),
		Valid:   pathValid,
		Source:  newton + "; the correction after Regnault and Pfaundler has the same aim",
		Example: formula.Example{Call: "rise_so_far(burn, room, lit, cooling)",
			Given: map[string]string{"burn": "0 min 20 Cel; 1 min 30 Cel; 2 min 40 Cel", "room": "20 Cel", "lit": "0 min", "cooling": "0.01 /min"}, Want: 20.2, Unit: "K", Within: 1e-9,
			Source: byFormula + ": 20 K and 0.01 per minute times 20 K·min"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			burn, room := c.litBurn(a, 2, 4), c.room(a, 1)
			c.refuse(len(burn) != 1, "burn has one reading: a rise takes two")
			if c.err != nil {
				return formula.Value{}, c.err
			}
			rise := c.sub(burn[len(burn)-1].q, burn[0].q)
			return c.value(c.add(rise, c.to(c.mul(arguments(a).number(3), excess(burn, room)), "K")), "K")
		},
	},
}

const (
	noBurn       = "burn has no reading after the flame was lit"
	startUnknown = ": the start temperature is not known"
	pathValid    = "Readings each half minute. The first no later than a minute after the flame was lit, unless the start is given; a straight line joins the start to a first reading that came later than a quarter of a minute."
)

func lateBurn(by float64) string {
	return fmt.Sprintf("the first reading of the burn was taken %.2g min after the flame was lit", by)
}

// start reads the arguments burn, lit and before, and gives the temperature when the flame was lit.
func (c *chain) start(a arguments) quantity.Quantity {
	lit := c.minutes(a, 1, "lit")
	burn := c.inOrder(a, 0, "burn").from(lit)
	c.refuse(len(burn) > 0, noBurn)
	if c.err != nil || burn[0].t <= lit+promptStart {
		return burn.first()
	}
	before := c.curve(a, 2, "before")
	before = before[:len(before)-len(before.from(lit))]
	fault := before.unfit(lit)
	switch {
	case c.err != nil:
		return quantity.Quantity{}
	case fault == "":
		return c.lineOf(before, lit)
	}
	c.refuse(burn[0].t <= lit+lateStart, lateBurn(burn[0].t-lit)+", and "+fault+startUnknown)
	return burn.first()
}

// unfit says why the line of a pre-period is not followed to the moment of lighting; "" where it is.
func (p curve) unfit(lit float64) string {
	if len(p) < leastBefore {
		return fmt.Sprintf("before it there are %d readings where a line takes %d", len(p), leastBefore)
	}
	last := p[len(p)-1].t
	if gap := lit - last; gap > min(farBefore, last-p[0].t) {
		return fmt.Sprintf("the last one before it %.2g min before, too far for a line", gap)
	}
	return ""
}

func (p curve) first() quantity.Quantity {
	if len(p) == 0 {
		return quantity.Quantity{}
	}
	return p[0].q
}

// lineOf returns what the line through the points of p comes to at a time.
func (c *chain) lineOf(p curve, at float64) quantity.Quantity {
	return p.fit(c).lineAt(c, quantity.Exact(at, quantity.MustUnit("min")))
}

// fit returns the line through the points of p, over the time in minutes.
func (p curve) fit(c *chain) points {
	var t, q formula.Value
	for _, x := range p {
		t.List, q.List = append(t.List, quantity.Exact(x.t, quantity.MustUnit("min"))), append(q.List, x.q)
	}
	return c.points(arguments{t, q})
}

// A burntCan is what the readings of one burn come to.
type burntCan struct {
	first    quantity.Quantity // temperature when the flame was lit
	settled  curve             // readings from the first after the can has settled; never empty without an error
	room     quantity.Quantity
	integral quantity.Quantity // K.min, from first to settled[0]
}

// burn reads the arguments burn, post, ambient, lit and settled_from.
func (c *chain) burn(a arguments) burntCan {
	post := c.curve(a, 1, "post")
	b := burntCan{room: c.room(a, 2)}
	lit, settled := c.minutes(a, 3, "lit"), c.minutes(a, 4, "settled_from")
	burn := c.litBurn(a, 3, 5)
	b.settled = post.from(settled)
	c.refuse(len(b.settled) > 0, "post has no reading after settled_from: go on reading until the water cools steadily")
	if c.err != nil {
		return b
	}
	c.refuse(burn[len(burn)-1].t <= post[0].t, "burn has a reading taken after post began")
	c.refuse(settled > lit, "settled_from lies before the flame was lit")
	b.first = burn[0].q
	path := slices.Concat(burn, post[:len(post)-len(b.settled)+1])
	b.integral = excess(path, b.room)
	return b
}

// litBurn returns argument 0, the readings of a burn, from when the flame was lit on, which is argument at. Argument
// start, where it is given, is the temperature then, and begins the path where the first reading came later. It is
// never empty without an error.
func (c *chain) litBurn(a arguments, at, start int) curve {
	lit := c.minutes(a, at, "lit")
	burn := c.curve(a, 0, "burn").from(lit)
	c.refuse(len(burn) > 0, noBurn)
	switch {
	case c.err != nil || burn[0].t <= lit+promptStart:
	case a.has(start):
		return slices.Insert(slices.Clone(burn), 0, point{lit, a.number(start)})
	case burn[0].t > lit+lateStart:
		c.refuse(false, lateBurn(burn[0].t-lit)+startUnknown)
	}
	return burn
}

// excess returns the integral of a curve above the room by trapezia, in K.min.
func excess(path curve, room quantity.Quantity) quantity.Quantity {
	inputs := make([]quantity.Quantity, 0, len(path)+1)
	weights := make([]float64, len(path), len(path)+1)
	for i := 1; i < len(path); i++ {
		half := (path[i].t - path[i-1].t) / 2
		weights[i-1] += half
		weights[i] += half
	}
	var sum, whole float64
	for i, p := range path {
		inputs = append(inputs, p.q)
		sum += weights[i] * (p.q.Value - room.Value)
		whole += weights[i]
	}
	return quantity.Combine(sum, quantity.MustUnit("K.min"), append(inputs, room), append(weights, -whole))
}

// room returns argument i, the temperature of the room.
func (c *chain) room(a arguments, i int) quantity.Quantity {
	q := a.number(i)
	c.refuse(finite(q.Value), "ambient is no number")
	return q
}

// coolingConstant fits k in 1/min.
func (c *chain) coolingConstant(post curve, room quantity.Quantity) quantity.Quantity {
	if len(post) < leastCooling {
		c.refuse(false, fmt.Sprintf("the cooling has %d readings: it needs %d or more", len(post), leastCooling))
	}
	t, d := make([]float64, len(post)), make([]quantity.Quantity, len(post))
	for i, p := range post {
		t[i], d[i] = p.t, c.sub(p.q, room)
		if !(d[i].Value > 0) {
			c.refuse(false, fmt.Sprintf("the water at %.4g min is not above the room: it tells nothing of its cooling", p.t))
		}
	}
	if c.err != nil {
		return quantity.Quantity{}
	}
	slope, _ := c.decay("cooling/"+post.series(), t, d)
	c.refuse(slope.Value < 0, "the water did not cool after the burn: is the flame out, and the room's temperature right?")
	return times(-1, slope)
}
