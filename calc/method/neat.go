package method

import (
	"math"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/reference"
)

const (
	composed = "Mean acids of 12 to 20.5 carbon atoms and at most 2.5 double bonds; nothing is known beyond. "
	ethyl    = composed + "Ethyl esters only."
)

// neat holds what pure oil and pure ester are like, by rules from the mean fatty acid: one for all oils, also for a
// profile of the protocol. The tests hold each rule against published values and redo the fits.
var neat = []formula.Function{
	{
		Name: "oil_density", Title: "Density of an oil from its profile",
		Says:    "Estimates the density of a liquid oil at a temperature, 15 °C when left out.",
		Formula: "ρ = (0.8475 + 0.00030·SV + 0.00014·IV)·ρ_water(15 °C) − β·(θ − 15 °C), SV in mg/g, IV in g/100 g",
		Params:  []formula.Param{oilRow(), optional(number("temperature", "Cel", "of the oil; 15 °C when left out"))},
		Unit:    quantity.MustUnit("kg/m3"), Valid: "0 to 60 °C; a fat below its melting point is seen as a liquid all the same.",
		Source: "Lund's relation, quoted in Journal of the American Oil Chemists' Society 76 (1999) 1415-1419; β 0.64 kg/m3/K there, 0.68 kg/m3/K by common practice",
		Example: formula.Example{Call: "oil_density(linseed, lab)", Given: map[string]string{"lab": "25 Cel"}, Want: 930 * 0.9982, Unit: "kg/m3", Within: 5,
			Source: "Codex CXS 210-1999, Table 2: 0.925 to 0.935 at 25 °C against water at 20 °C"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			p := c.profile(a, 0)
			sv := c.saponification(3, p.Triglyceride())
			iv := c.iodine(times(3, p.DoubleBonds()), p.Triglyceride())
			relative := quantity.Combine(0.8475+0.00030*sv.Value+0.00014*iv.Value, quantity.One, []quantity.Quantity{sv, iv}, []float64{0.00030, 0.00014})
			water := c.keep(reference.WaterDensity(standardTemperature()))
			return c.warmed(c.add(c.mul(relative, water), assumed(0, 3, "kg/m3", "density/oil")), a, 1, assumed(0.68, 0.04, "kg/m3/K", "density_coefficient/oil"))
		},
	}, {
		Name: "ester_density", Title: "Density of an oil's ethyl esters",
		Says:    "Estimates the density of the pure esters of the oil's acids at a temperature, 15 °C when left out.",
		Formula: "ρ = M_ester/(64.56 + 16.521·C − 6.917·D) − 1.2 kg/m3 − β·(θ − 15 °C), molar volume in mL/mol, C carbon atoms and D double bonds of the mean acid",
		Params:  []formula.Param{oilRow(), alcoholRow(), optional(number("temperature", "Cel", "of the ester; 15 °C when left out"))},
		Unit:    quantity.MustUnit("kg/m3"), Valid: "0 to 60 °C. " + ethyl,
		Source: "Group contributions of Sustainability 14 (2022) 6804, appendix B, at 15 °C; less half of what rapeseed ester in use, 876 kg/m3 (from memory), lies below them",
		Example: formula.Example{Call: "ester_density(rapeseed, ethanol)", Want: 876, Unit: "kg/m3", Within: 2.4,
			Source: "value in use for rapeseed ethyl ester at 15 °C (from memory)"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			p := c.composed(a, 0)
			m := c.ethylMass(a, 0, 1)
			rho := c.to(c.div(m, meanAcid(p, "mL/mol", 64.56+18*16.521, 16.521, -6.917)), "kg/m3")
			return c.warmed(c.add(rho, assumed(-1.2, 2.4, "kg/m3", "density/ester")), a, 2, esterExpansion())
		},
	}, {
		Name: "oil_viscosity", Title: "Viscosity of an oil at 40 °C from its profile",
		Says:    "Estimates the kinematic viscosity of an oil at 40 °C.",
		Formula: "ln(ν/(mm2/s)) = 4.005 + 0.119·(C − 18) − 0.365·D, C carbon atoms and D double bonds of the mean acid",
		Params:  []formula.Param{oilRow()},
		Unit:    quantity.MustUnit("mm2/s"), Valid: "40 °C, fresh oil. " + composed + "Good to 6.5 % (one standard deviation).",
		Source: "Logarithmic mixing, fitted by least squares to 33 published oils, brought from 38 to 40 °C with 3 % for each kelvin (common practice, no source)",
		Example: formula.Example{Call: "oil_viscosity(rapeseed)", Want: 35, Unit: "mm2/s", Within: 2,
			Source: "value in use for rapeseed oil at 40 °C (from memory)"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.exponential(meanAcid(c.composed(a, 0), "1", 4.005, 0.119, -0.365), "viscosity/oil", 0.065, 30)
		},
	}, {
		Name: "ester_viscosity", Title: "Viscosity at 40 °C of an oil's ethyl esters",
		Says:    "Estimates the kinematic viscosity of the pure esters of the oil's acids at 40 °C.",
		Formula: "ln(ν/(mm2/s)) = 1.806 + 0.148·(C − 18) − 0.192·D, C carbon atoms and D double bonds of the mean acid",
		Params:  []formula.Param{oilRow(), alcoholRow()},
		Unit:    quantity.MustUnit("mm2/s"), Valid: "40 °C. " + ethyl + " Good to 4 % (one standard deviation).",
		Source: "Logarithmic mixing, fitted by least squares to the ethyl esters of Fuel 84 (2005) 1059-1065 (from memory)",
		Example: formula.Example{Call: "ester_viscosity(rapeseed, ethanol)", Want: 4.9, Unit: "mm2/s", Within: 0.4,
			Source: "value in use for rapeseed ethyl ester at 40 °C (from memory)"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			p := c.composed(a, 0)
			c.ethylMass(a, 0, 1)
			return c.exponential(meanAcid(p, "1", 1.806, 0.148, -0.192), "viscosity/ester", 0.042, 6)
		},
	},
}

// composed returns the oil of argument i if the rules know its like.
func (c *chain) composed(a arguments, i int) reference.Profile {
	p := c.profile(a, i)
	n, d := p.Carbons().Value, p.DoubleBonds().Value
	c.refuse(n >= 12 && n <= 20.5 && d <= 2.5, "the density and viscosity of such an oil are not known: the rules go from 12 to 20.5 carbon atoms and to 2.5 double bonds in the mean acid")
	return p
}

// ethylMass returns the molar mass of the esters of oil argument i; alcohol argument j must be ethanol.
func (c *chain) ethylMass(a arguments, i, j int) quantity.Quantity {
	m := c.esterMass(a, i, j)
	c.refuse(a.has(j) && a[j].Text == "ethanol", "the density and viscosity of esters are known for ethyl esters only")
	return m
}

// meanAcid returns a + b·(C − 18) + d·D, C and D the carbon atoms and the double bonds of the mean acid.
func meanAcid(p reference.Profile, unit string, a, b, d float64) quantity.Quantity {
	carbons, bonds := p.Carbons(), p.DoubleBonds()
	return quantity.Combine(a+b*(carbons.Value-18)+d*bonds.Value, quantity.MustUnit(unit), []quantity.Quantity{carbons, bonds}, []float64{b, d})
}

// exponential ends a rule for ln(ν) with the scatter and the degrees of freedom of its fit.
func (c *chain) exponential(log quantity.Quantity, name string, scatter, dof float64) (formula.Value, error) {
	log = log.With(quantity.Source{Name: "table:" + name, DoF: dof}, scatter)
	return c.value(c.keep(log.Map(quantity.MustUnit("mm2/s"), func(x float64) (float64, float64) { return math.Exp(x), math.Exp(x) })), "mm2/s")
}

func standardTemperature() quantity.Quantity { return quantity.Exact(15, quantity.MustUnit("Cel")) }

// warmed ends a rule for the density at 15 °C: at the temperature of argument i, with its fall per kelvin.
func (c *chain) warmed(rho quantity.Quantity, a arguments, i int, fall quantity.Quantity) (formula.Value, error) {
	if a.has(i) {
		t := a.number(i)
		c.refuse(t.Value >= 0 && t.Value <= 60, "the temperature is outside 0 to 60 °C, where the coefficient holds")
		rho = c.sub(rho, c.mul(fall, c.sub(t, standardTemperature())))
	}
	return c.value(rho, "kg/m3")
}
