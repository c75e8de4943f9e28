package method

import (
	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/reference"
)

var density = []formula.Function{
	{
		Name: "pycnometer_density", Title: "Density by pycnometer",
		Says:    "Gives the density of a liquid from three weighings of the same vessel at one temperature, with the buoyancy of air.",
		Formula: "ρ = (m_sample − m₀)·(ρ_w − ρ_a)/(m_water − m₀) + ρ_a",
		Params: []formula.Param{
			number("empty", "g", "dry pycnometer"),
			number("with_water", "g", "filled with water"),
			number("with_sample", "g", "filled with the sample"),
			number("temperature", "Cel", "of both fillings"),
			optional(number("air", "kg/m3", "density of the air; 1.2 kg/m3 when left out")),
		},
		Unit:   quantity.MustUnit("kg/m3"),
		Valid:  "0 to 40 °C, both fillings at one temperature, no bubble. Alcohol left in an ester lowers it by about 0.9 kg/m3 for each percent.",
		Source: "Substitution weighing with buoyancy, common practice; water: Metrologia 38 (2001) 301-309, equation 1; air 1.2 kg/m3: OIML R 111-1:2004 (from memory)",
		Example: formula.Example{Call: "pycnometer_density(empty, water, water, bath)", Given: map[string]string{"empty": "31.3910 g", "water": "82.2415 g", "bath": "25 Cel"}, Want: 997.04, Unit: "kg/m3", Within: 0.01,
			Source: "laboratory procedure: this vessel, water of 0.99704 g/mL at 25 °C weighed against itself"},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			empty := c.counted(a, 0, "empty")
			water := c.sub(c.positive(a, 1, "with_water"), empty)
			sample := c.sub(c.positive(a, 2, "with_sample"), empty)
			c.refuse(water.Value > 0, "the pycnometer with water is no heavier than empty")
			c.refuse(sample.Value > 0, "the pycnometer with the sample is no heavier than empty")
			air := labAir()
			if arguments(a).has(4) {
				air = c.counted(a, 4, "air")
			}
			rho := c.keep(reference.WaterDensity(arguments(a).number(3)))
			if c.err != nil {
				return formula.Value{}, c.err
			}
			return c.value(c.add(c.mul(c.div(sample, water), c.sub(rho, air)), air), "kg/m3")
		},
	}, {
		Name: "density_at_15", Title: "Density brought to 15 °C",
		Says:    "Brings a density to the reference temperature of fuel standards with a constant coefficient.",
		Formula: "ρ₁₅ = ρ + β·(θ − 15 °C)",
		Params: []formula.Param{
			number("density", "kg/m3", "as measured"),
			number("temperature", "Cel", "at which it was measured"),
			optional(number("coefficient", "kg/m3/K", "fall of the density per kelvin; 0.73 kg/m3/K for esters when left out")),
		},
		Unit:   quantity.MustUnit("kg/m3"),
		Valid:  "Fatty-acid esters from 0 to 60 °C; oils have about 0.68 kg/m3/K (common practice, no source).",
		Source: "EN 14214, Annex B, has this form with 0.723 kg/m3/K for methyl esters (coefficient from memory); 0.73 for ethyl esters is common practice",
		Example: formula.Example{Call: "density_at_15(measured, bath)", Given: map[string]string{"measured": "874.0 kg/m3", "bath": "20 Cel"}, Want: 877.7, Unit: "kg/m3", Within: 1,
			Source: "Journal of Chemical and Engineering Data 55 (2010) 3983-3990, methyl oleate at 20 and 15 °C (from memory, rounded)"},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			rho, t := c.positive(a, 0, "density"), arguments(a).number(1)
			c.refuse(t.Value >= 0 && t.Value <= 60, "the temperature is outside 0 to 60 °C, where the coefficient holds")
			beta := esterExpansion()
			if arguments(a).has(2) {
				beta = c.counted(a, 2, "coefficient")
			}
			dT := c.sub(t, standardTemperature())
			return c.value(c.add(rho, c.mul(beta, dT)), "kg/m3")
		},
	},
}

// labAir returns the density of air in a laboratory; the half-width takes in 950 hPa and 30 °C.
func labAir() quantity.Quantity { return assumed(1.2, 0.1, "kg/m3", "air_density") }

// esterExpansion returns how the density of an ester falls with temperature; the half-width takes in the published
// slopes, 0.70 to 0.74 kg/m3/K.
func esterExpansion() quantity.Quantity {
	return assumed(0.73, 0.03, "kg/m3/K", "density_coefficient/ester")
}

// assumed returns a value that stands in for one not measured, with a rectangular half-width.
func assumed(value, halfWidth float64, unit, name string) quantity.Quantity {
	s := quantity.Source{Name: "table:" + name, Shape: quantity.Rectangular, DoF: quantity.Known()}
	return quantity.Exact(value, quantity.MustUnit(unit)).With(s, s.Shape.HalfWidth(halfWidth))
}
