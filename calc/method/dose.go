package method

import (
	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

const neutralised = "Free acid and alkali neutralise each other at once and fully. KOH in alcohol makes a little water on top."

var doses = []formula.Function{
	{
		Name: "pellets", Title: "Alkali to weigh out, with the oil's acid",
		Says:    "Gives the mass of pellets that leaves the wanted dose of active alkali after the free acid of the oil has taken its part.",
		Formula: "m = m_oil·(w + AV·M_alkali/M_KOH)/p",
		Params: []formula.Param{
			number("oil_mass", "g", "mass of the oil"),
			number("dose", "%", "active alkali that is wanted, by mass of the oil"),
			number("acid_value", "mg/g", "of the oil, as KOH"),
			number("assay", "%", "alkali in the pellets, by mass"),
			alkaliRow(),
		},
		Unit:    quantity.MustUnit("g"),
		Valid:   neutralised + " Usual doses are 0.5 to 1.2 % KOH or 0.35 to 0.9 % NaOH (common practice, no source).",
		Source:  "Stoichiometry of neutralisation, any general chemistry text (from memory)",
		Example: formula.Example{Call: "pellets(oil, dose, av, assay, KOH)", Given: map[string]string{"oil": "50 g", "dose": "0.9 %", "av": "1 mg/g", "assay": "86 %"}, Want: 0.5814, Unit: "g", Within: 5e-5, Source: byFormula},

		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			m, w, av, p := c.positive(a, 0, "oil_mass"), c.counted(a, 1, "dose"), c.counted(a, 2, "acid_value"), c.positive(a, 3, "assay")
			c.refuse(p.Value <= 100, "the assay is above 100 %: write the part of the pellets that is alkali")
			return c.value(c.div(c.mul(m, c.add(w, c.alkaliForAcid(a, 4, av))), p), "g")
		},
	}, {
		Name: "effective_dose", Title: "Active alkali left after the oil's acid",
		Says:    "Gives the alkali that is left for the reaction, by mass of the oil; negative when the free acid takes more than there is.",
		Formula: "w_eff = m_alkali/m_oil − AV·M_alkali/M_KOH",
		Params: []formula.Param{
			number("oil_mass", "g", "mass of the oil"),
			number("alkali_mass", "g", "pure alkali that went in"),
			number("acid_value", "mg/g", "of the oil, as KOH"),
			alkaliRow(),
		},
		Unit: quantity.MustUnit("%"), Valid: neutralised,
		Source:      "Stoichiometry of neutralisation, any general chemistry text (from memory)",
		Example:     formula.Example{Call: "effective_dose(oil, alkali, av, KOH)", Given: map[string]string{"oil": "50 g", "alkali": "0.5 g", "av": "1 mg/g"}, Want: 0.9, Unit: "%", Within: 1e-9, Source: byFormula},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			m, alkali, av := c.positive(a, 0, "oil_mass"), c.counted(a, 1, "alkali_mass"), c.counted(a, 2, "acid_value")
			return c.value(c.sub(c.to(c.div(alkali, m), "%"), c.alkaliForAcid(a, 3, av)), "%")
		},
	}, {
		Name: "soap_made", Title: "Soap from the oil's free acid",
		Says:    "Gives the mass of soap that the free acid turns into, as potassium oleate.",
		Formula: "m_soap = m_oil·AV·M_soap/M_KOH",
		Params:  []formula.Param{number("oil_mass", "g", "mass of the oil"), number("acid_value", "mg/g", "of the oil, as KOH")},
		Unit:    quantity.MustUnit("g"),
		Valid:   "Oleic acid stands for all free acid. Soap from water and alkali attacking the oil is not in it.",
		Source:  "Stoichiometry of neutralisation; oleic acid by the convention of ISO 660",
		Example: formula.Example{Call: "soap_made(oil, av)", Given: map[string]string{"oil": "50 g", "av": "2 mg/g"}, Want: 0.5714, Unit: "g", Within: 5e-5, Source: byFormula},

		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.perFreeAcid(a, "potassium_oleate"), "g")
		},
	}, {
		Name: "water_made", Title: "Water from neutralising the oil's free acid",
		Says:    "Gives the mass of water that one mole of alkali and one mole of free acid make.",
		Formula: "m_water = m_oil·AV·M_water/M_KOH",
		Params:  []formula.Param{number("oil_mass", "g", "mass of the oil"), number("acid_value", "mg/g", "of the oil, as KOH")},
		Unit:    quantity.MustUnit("g"),
		Valid:   "Water that came in with oil, alcohol or pellets is not in it.",
		Source:  "Stoichiometry of neutralisation, any general chemistry text (from memory)",
		Example: formula.Example{Call: "water_made(oil, av)", Given: map[string]string{"oil": "50 g", "av": "2 mg/g"}, Want: 0.03211, Unit: "g", Within: 5e-6, Source: byFormula},

		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.perFreeAcid(a, "water"), "g")
		},
	},
}

// alkaliForAcid returns the alkali, argument i, that an acid value takes up, in % of the oil's mass.
func (c *chain) alkaliForAcid(a arguments, i int, av quantity.Quantity) quantity.Quantity {
	s := c.substance(a, i, "alkali")
	if c.err != nil {
		return av
	}
	return c.to(c.mul(av, c.div(s.MolarMass(), molarMass("KOH"))), "%")
}

// perFreeAcid returns the mass of a substance, one mole for each mole of free acid in the oil of arguments 0 and 1.
func (c *chain) perFreeAcid(a arguments, id string) quantity.Quantity {
	m, av := c.positive(a, 0, "oil_mass"), c.counted(a, 1, "acid_value")
	return c.mul(m, av, c.div(molarMass(id), molarMass("KOH")))
}
