package method

import (
	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

var viscosity = []formula.Function{
	{
		Name: "capillary_viscosity", Title: "Kinematic viscosity by glass capillary",
		Says:    "Multiplies the efflux time by the constant of the capillary.",
		Formula: "ν = C·t",
		Params: []formula.Param{
			number("constant", "mm2/s2", "of the capillary, from its certificate"),
			number("time", "s", "of the efflux between the marks"),
		},
		Unit:   quantity.MustUnit("mm2/s"),
		Valid:  "Efflux time best above 200 s: the kinetic-energy term is left out. The bath must hold the temperature: 1 K is about 2 % for an ester (common practice, no source).",
		Source: "ISO 3104 and ISO 3105 (from memory)",
		Example: formula.Example{Call: "capillary_viscosity(constant, efflux)", Given: map[string]string{"constant": "0.01 mm2/s2", "efflux": "300 s"}, Want: 3, Unit: "mm2/s", Within: 1e-9,
			Source: byFormula},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.mul(c.positive(a, 0, "constant"), c.positive(a, 1, "time")), "mm2/s")
		},
	},
}
