package method

import (
	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

var titration = []formula.Function{
	{
		Name: "titrant_concentration", Title: "Concentration of a titrant against a standard",
		Says:    "Gives the concentration of an alkaline titrant from a weighed monobasic standard acid.",
		Formula: "c = m/(M·(V − V_blank))",
		Params: []formula.Param{
			number("standard_mass", "g", "dry standard that was weighed in"),
			row("standard", inRole("standard"), "the standard acid"),
			number("volume", "mL", "titrant used"),
			optional(number("blank", "mL", "titrant that the solvent alone uses")),
		},
		Unit:   quantity.MustUnit("mol/L"),
		Valid:  "The standard is taken as pure and dry. Titrant with carbonate reads low at the end point of phenolphthalein.",
		Source: "Eurachem/CITAC QUAM 3rd ed. 2012, A2",
		Example: formula.Example{Call: "titrant_concentration(mass, KHP, volume)", Given: map[string]string{"mass": "0.3888 g", "volume": "18.64 mL"}, Want: 0.102136, Unit: "mol/L", Within: 5e-7,
			Source: "Eurachem/CITAC QUAM 3rd ed. 2012, A2: 0.102136 mol/L"},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			m, s, v := c.positive(a, 0, "standard_mass"), c.substance(a, 1, "standard"), c.positive(a, 2, "volume")
			if arguments(a).has(3) {
				v = c.net(v, c.known(a, 3, "blank"))
			}
			c.refuse(v.Value > 0, "the titre is no more than the blank: the standard used up nothing")
			if c.err != nil {
				return formula.Value{}, c.err
			}
			return c.value(c.div(c.div(m, s.MolarMass()), v), "mol/L")
		},
	}, {
		Name: "acid_value", Title: "Acid value by titration",
		Says:    "Gives the KOH that neutralises the free acid in one gram of the sample.",
		Formula: "AV = M_KOH·c·(V − V_blank)/m",
		Params: []formula.Param{
			number("volume", "mL", "titrant used by the sample"),
			number("blank", "mL", "titrant used by the solvent alone; 0 mL when it was neutralised before"),
			number("concentration", "mol/L", "of the titrant"),
			number("mass", "g", "of the sample"),
		},
		Unit:   quantity.MustUnit("mg/g"),
		Valid:  "End point: the first colour that stays 15 s. Mineral acid in the sample counts too. Repeat and compare.",
		Source: "EN 14104:2003, clause 10, which rounds the molar mass of KOH to 56.1; ISO 660 has the same quantity",
		Example: formula.Example{Call: "acid_value(titre, blank, titrant, sample)",
			Given: map[string]string{"titre": "1 mL", "blank": "0 mL", "titrant": "0.025 mol/L", "sample": "0.92 g"}, Want: 0.7663 * 1.99, Unit: "mg/g", Within: 0.004,
			Source: "article on acid number and free fatty acid: 0.7663 % per mL, acid value 1.99 times that"},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			v := c.net(c.counted(a, 0, "volume"), c.known(a, 1, "blank"))
			n := c.mul(v, c.positive(a, 2, "concentration"))
			return c.value(c.div(c.mul(n, molarMass("KOH")), c.positive(a, 3, "mass")), "mg/g")
		},
	}, {
		Name: "acid_value_sample", Title: "Oil for one titration, by the acid value expected",
		Says:    "Gives the sample that takes a volume of titrant which a burette reads well: the lower the acid value, the more oil.",
		Formula: "20 g below 1 mg/g, 10 g below 4, 2.5 g below 15, 0.5 g below 75, 0.1 g from there",
		Params:  []formula.Param{number("acid_value", "mg/g", "that is expected, as KOH")},
		Unit:    quantity.MustUnit("g"),
		Valid:   "Titrant of 0.1 mol/L up to 15 mg/g. The sample goes by steps: near one of them take the next larger sample if in doubt.",
		Source:  "ISO 660:2020, Table 1 (from memory)",
		Example: formula.Example{Call: "acid_value_sample(expected)", Given: map[string]string{"expected": "2 mg/g"}, Want: 10, Unit: "g", Within: 1e-9,
			Source: "ISO 660:2020, Table 1 (from memory)"},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			av := c.counted(a, 0, "acid_value")
			return c.value(quantity.Exact(sampleFor(av.Value), quantity.MustUnit("g")), "g")
		},
	}, {
		Name: "titrant_at", Title: "Titrant volume at the temperature of its standardisation",
		Says:    "Corrects a volume of ethanolic titrant for its expansion since it was standardised.",
		Formula: "V′ = V·(1 − 0.0011·(θ − θ₀))",
		Params: []formula.Param{
			number("volume", "mL", "titrant used"),
			number("temperature", "Cel", "of the titrant when it was used"),
			number("reference_temperature", "Cel", "of the titrant when it was standardised"),
		},
		Unit:   quantity.MustUnit("mL"),
		Valid:  "Ethanolic KOH near room temperature; titrant in water expands five times less.",
		Source: "EN 14104:2003, clause 10, note",
		Example: formula.Example{Call: "titrant_at(titre, now, then)", Given: map[string]string{"titre": "10 mL", "now": "25 Cel", "then": "20 Cel"}, Want: 9.945, Unit: "mL", Within: 5e-4,
			Source: "EN 14104:2003, clause 10, note, worked by hand"},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			v := c.counted(a, 0, "volume")
			dT := c.sub(arguments(a).number(1), arguments(a).number(2))
			f := quantity.Combine(1-0.0011*dT.Value, quantity.One, []quantity.Quantity{dT}, []float64{-0.0011})
			c.refuse(f.Value > 0.9 && f.Value < 1.1, "the titrant was more than 90 K from the temperature of its standardisation")
			return c.value(c.mul(v, f), "mL")
		},
	}, {
		Name: "free_fatty_acid", Title: "Free fatty acid, as oleic acid",
		Says:    "Turns an acid value into percent of free fatty acid by mass, counted as oleic acid.",
		Formula: "FFA = AV·M_oleic/M_KOH",
		Params:  []formula.Param{number("acid_value", "mg/g", "as KOH")},
		Unit:    quantity.MustUnit("%"),
		Valid:   "Oleic acid is the convention for most oils; coconut and palm kernel oil are counted as lauric, palm oil as palmitic acid.",
		Source:  "ISO 660, oleic acid convention",
		Example: formula.Example{Call: "free_fatty_acid(av)", Given: map[string]string{"av": "1.99 mg/g"}, Want: 1, Unit: "%", Within: 0.003,
			Source: "article on acid number and free fatty acid: acid value 1.99 for 1 %"},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.mul(c.counted(a, 0, "acid_value"), c.div(molarMass("oleic_acid"), molarMass("KOH"))), "%")
		},
	}, {
		Name: "alkali_content", Title: "Alkali in a solution by titration",
		Says:    "Gives the alkali in a weighed solution from the monobasic acid that neutralises it.",
		Formula: "w = V·c·M_alkali/m",
		Params: []formula.Param{
			number("volume", "mL", "acid used"),
			number("concentration", "mol/L", "of the acid"),
			number("mass", "g", "of the solution"),
			alkaliRow(),
		},
		Unit:   quantity.MustUnit("%"),
		Valid:  "All base is counted: carbonate too, once or twice by the indicator.",
		Source: "Stoichiometry of neutralisation, any general chemistry text (from memory)",
		Example: formula.Example{Call: "alkali_content(titre, acid, sample, KOH)", Given: map[string]string{"titre": "10 mL", "acid": "0.1 mol/L", "sample": "2 g"}, Want: 2.805, Unit: "%", Within: 0.001,
			Source: byFormula},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			n := c.mul(c.counted(a, 0, "volume"), c.positive(a, 1, "concentration"))
			m, s := c.positive(a, 2, "mass"), c.substance(a, 3, "alkali")
			if c.err != nil {
				return formula.Value{}, c.err
			}
			return c.value(c.div(c.mul(n, s.MolarMass()), m), "%")
		},
	},
}

// net returns volume less blank, which must not be negative.
func (c *chain) net(volume, blank quantity.Quantity) quantity.Quantity {
	v := c.sub(volume, blank)
	c.refuse(v.Value >= 0, "the sample used less titrant than the blank")
	return v
}

// sampleFor returns the grams of oil to titrate when the acid value in mg/g is expected.
func sampleFor(av float64) float64 {
	switch {
	case av < 1:
		return 20
	case av < 4:
		return 10
	case av < 15:
		return 2.5
	case av < 75:
		return 0.5
	}
	return 0.1
}
