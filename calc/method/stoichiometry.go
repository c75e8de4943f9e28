package method

import (
	"math"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

const byFormula = "worked by hand with the formula; no outside example"

var stoichiometry = []formula.Function{
	{
		Name: "theoretical_ester", Title: "Ester from complete conversion",
		Says:    "Gives the mass of ester that the oil yields when every triglyceride turns into three esters.",
		Formula: "m_ester = 3·m_oil·M_ester/M_oil",
		Params:  []formula.Param{number("oil_mass", "g", "mass of the oil"), oilRow(), alcoholRow()},
		Unit:    quantity.MustUnit("g"),
		Valid:   pureOil + " Alcohol in excess.",
		Source:  "Stoichiometry of transesterification, any general chemistry text (from memory)",
		Example: formula.Example{Call: "theoretical_ester(oil, palm, methanol)", Given: map[string]string{"oil": "1000 g"}, Want: 1005, Unit: "g", Within: 2,
			Source: "textbook exercise on tripalmitin, 1.005 kg of methyl ester per kg; palm oil comes close"},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			m := c.positive(a, 0, "oil_mass")
			p, ester := c.profile(a, 1), c.esterMass(a, 1, 2)
			return c.value(c.div(c.mul(times(3, m), ester), p.Triglyceride()), "g")
		},
	}, {
		Name: "theoretical_glycerol", Title: "Glycerol from complete conversion",
		Says:    "Gives the mass of glycerol that the oil sets free when every triglyceride reacts.",
		Formula: "m_glycerol = m_oil·M_glycerol/M_oil",
		Params:  []formula.Param{number("oil_mass", "g", "mass of the oil"), oilRow()},
		Unit:    quantity.MustUnit("g"),
		Valid:   pureOil + " Glycerol added as a seed is not in it.",
		Source:  "Stoichiometry of transesterification, any general chemistry text (from memory)",
		Example: formula.Example{Call: "theoretical_glycerol(oil, rapeseed)", Given: map[string]string{"oil": "100 g"}, Want: 10.468, Unit: "g", Within: 0.001,
			Source: byHand},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			m := c.positive(a, 0, "oil_mass")
			return c.value(c.div(c.mul(m, molarMass("glycerol")), c.profile(a, 1).Triglyceride()), "g")
		},
	}, {
		Name: "alcohol_limit", Title: "Highest conversion that the alcohol allows",
		Says:    "Gives the conversion at which the alcohol is used up, from the molar ratio of alcohol to oil.",
		Formula: "X_max = min(1, r/3)",
		Params:  []formula.Param{number("ratio", "1", "moles of alcohol for each mole of oil")},
		Unit:    quantity.MustUnit("%"),
		Valid:   "Stoichiometry alone: equilibrium and mixing leave less. Below 3 the alcohol limits; 6 to 12 is good practice for ethanol (common practice, no source).",
		Source:  "Stoichiometry of transesterification, any general chemistry text (from memory)",
		Example: formula.Example{Call: "alcohol_limit(ratio)", Given: map[string]string{"ratio": "1.5"}, Want: 50, Unit: "%", Within: 1e-9,
			Source: byFormula},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			r := c.counted(a, 0, "ratio")
			q := c.keep(r.Map(quantity.MustUnit("%"), func(x float64) (float64, float64) {
				if x >= 3 {
					return 100, 0
				}
				return math.Min(100, 100*x/3), 100. / 3
			}))
			return c.value(q, "%")
		},
	},
}
