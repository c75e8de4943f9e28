package method

import (
	"math"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

const blind = "An estimate, not chromatography: the mixing rule is good to 3 to 5 % of the whole (common practice, no source), and the half-width of 4 % is in the uncertainty. Alcohol or water left in the sample falsifies it: dry the sample before. Outside 0 to 100 % the three values do not belong together."

var conversion = []formula.Function{
	{
		Name: "ester_by_density", Title: "Ester in the product, from densities",
		Says:    "Estimates the ester in a mixture with oil, by mass, from the densities of the mixture and of both parts at one temperature.",
		Formula: "1/ρ = w/ρ_ester + (1 − w)/ρ_oil",
		Params: []formula.Param{
			number("density_15", "kg/m3", "of the product at 15 °C"),
			number("ester_density", "kg/m3", "of pure ester at 15 °C"),
			number("oil_density", "kg/m3", "of the oil at 15 °C"),
		},
		Unit: quantity.MustUnit("%"), Valid: blind + " 1 kg/m3 in the density is about 2.4 % of ester.",
		Source:      "Volumes taken as additive, common practice, no source",
		Example:     formula.Example{Call: "ester_by_density(product, ester, oil)", Given: map[string]string{"product": "880 kg/m3", "ester": "875 kg/m3", "oil": "920 kg/m3"}, Want: 88.384, Unit: "%", Within: 5e-4, Source: byFormula},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			mixed, ester, oil := c.positive(a, 0, "density_15"), c.positive(a, 1, "ester_density"), c.positive(a, 2, "oil_density")
			c.refuse(ester.Value != oil.Value, "ester and oil have the same density: nothing can be told from it")
			return c.value(c.estimated(c.between(mixed, ester, oil, func(x float64) (float64, float64) { return 1 / x, -1 / (x * x) }), "density"), "%")
		},
	}, {
		Name: "ester_by_viscosity", Title: "Ester in the product, from viscosities",
		Says:    "Estimates the ester in a mixture with oil, by mass, from the kinematic viscosities of the mixture and of both parts at one temperature.",
		Formula: "ln ν = w·ln ν_ester + (1 − w)·ln ν_oil",
		Params: []formula.Param{
			number("viscosity", "mm2/s", "of the product"),
			number("ester_viscosity", "mm2/s", "of pure ester"),
			number("oil_viscosity", "mm2/s", "of the oil"),
		},
		Unit: quantity.MustUnit("%"), Valid: blind,
		Source:      "Logarithmic mixing rule, common practice, no source",
		Example:     formula.Example{Call: "ester_by_viscosity(product, ester, oil)", Given: map[string]string{"product": "10 mm2/s", "ester": "5 mm2/s", "oil": "20 mm2/s"}, Want: 50, Unit: "%", Within: 1e-9, Source: byFormula},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			mixed, ester, oil := c.positive(a, 0, "viscosity"), c.positive(a, 1, "ester_viscosity"), c.positive(a, 2, "oil_viscosity")
			c.refuse(ester.Value != oil.Value, "ester and oil have the same viscosity: nothing can be told from it")
			return c.value(c.estimated(c.between(mixed, ester, oil, func(x float64) (float64, float64) { return math.Log(x), 1 / x }), "viscosity"), "%")
		},
	}, {
		Name: "conversion_by_glycerol", Title: "Conversion, from the glycerol set free",
		Says:    "Estimates the conversion of the oil from the dry lower layer, less the glycerol added as a seed and the alkali.",
		Formula: "X = (m_dry − m_seed − m_alkali)/(m_oil·M_glycerol/M_oil)",
		Params: []formula.Param{
			number("lower_dry", "g", "dry residue of the whole lower layer"),
			number("seed", "g", "glycerol that was added"),
			number("alkali", "g", "pure alkali that was added"),
			number("oil_mass", "g", "mass of the oil"),
			oilRow(),
		},
		Unit:        quantity.MustUnit("%"),
		Valid:       "An estimate that is too high by the ester and soap dissolved in the lower layer, and too low by glycerol that stayed in the upper one. Negative when less was found than was added.",
		Source:      "Mass balance of glycerol, common practice, no source",
		Example:     formula.Example{Call: "conversion_by_glycerol(dry, seed, alkali, oil, rapeseed)", Given: map[string]string{"dry": "15.5 g", "seed": "5 g", "alkali": "1 g", "oil": "100 g"}, Want: 90.75, Unit: "%", Within: 0.01, Source: byHand},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			made := c.sub(c.sub(c.positive(a, 0, "lower_dry"), c.counted(a, 1, "seed")), c.counted(a, 2, "alkali"))
			oil := c.positive(a, 3, "oil_mass")
			p := c.profile(a, 4)
			return c.value(c.div(made, c.div(c.mul(oil, molarMass("glycerol")), p.Triglyceride())), "%")
		},
	},
}

// estimated returns a part of the whole with the doubt about its mixing rule: products hold mono- and diglycerides too.
func (c *chain) estimated(part quantity.Quantity, by string) quantity.Quantity {
	return c.add(part, assumed(0, 0.04, "1", "mixing_rule/"+by))
}

// between returns how far x stands from oil towards ester, as a ratio, on the scale of f (value and derivative).
func (c *chain) between(x, ester, oil quantity.Quantity, f func(float64) (float64, float64)) quantity.Quantity {
	if c.err != nil {
		return x
	}
	fx, fe, fo := c.keep(x.Map(quantity.One, f)), c.keep(ester.Map(quantity.One, f)), c.keep(oil.Map(quantity.One, f))
	return c.div(c.sub(fx, fo), c.sub(fe, fo))
}
