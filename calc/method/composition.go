package method

import (
	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/reference"
)

const (
	pureOil   = "Oil seen as pure triglyceride of the profile; free acid and 0.5 to 1.5 % unsaponifiable matter are left out. " + doubt
	pureEster = "Ester of the oil's whole fatty acids, fully converted. " + doubt
	doubt     = "A profile is as uncertain as its tolerance says, an oil of the table as its standard lets an oil of that name vary."
	byHand    = "worked by hand from the profile of the table and IUPAC 2021 atomic weights; no outside example"
)

var composition = []formula.Function{
	{
		Name: "oil_molar_mass", Title: "Mean molar mass of an oil",
		Says:    "Gives the mean molar mass of the triglycerides from the fatty-acid profile.",
		Formula: "M_oil = 3·M_acid + M_glycerol − 3·M_water",
		Params:  []formula.Param{oilRow()},
		Unit:    quantity.MustUnit("g/mol"), Valid: pureOil,
		Source:  "Stoichiometry of the ester bond; atomic weights IUPAC 2021 (from memory)",
		Example: formula.Example{Call: "oil_molar_mass(rapeseed)", Want: 879.73, Unit: "g/mol", Within: 0.005, Source: byHand},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.profile(a, 0).Triglyceride(), "g/mol")
		},
	}, {
		Name: "acid_molar_mass", Title: "Mean molar mass of an oil's fatty acids",
		Says:    "Gives the mean molar mass of the fatty acids; percentages by mass are turned to moles.",
		Formula: "M_acid = 1/Σ(wᵢ/Mᵢ)",
		Params:  []formula.Param{oilRow()},
		Unit:    quantity.MustUnit("g/mol"), Valid: pureOil,
		Source:  "Definition of the mean by moles; atomic weights IUPAC 2021 (from memory)",
		Example: formula.Example{Call: "acid_molar_mass(rapeseed)", Want: 280.56, Unit: "g/mol", Within: 0.005, Source: byHand},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.profile(a, 0).FattyAcid(), "g/mol")
		},
	}, {
		Name: "ester_molar_mass", Title: "Mean molar mass of an oil's esters",
		Says:    "Gives the mean molar mass of the esters of the oil's fatty acids with an alcohol.",
		Formula: "M_ester = M_acid + M_alcohol − M_water",
		Params:  []formula.Param{oilRow(), alcoholRow()},
		Unit:    quantity.MustUnit("g/mol"), Valid: pureEster,
		Source: "Stoichiometry of the ester bond; atomic weights IUPAC 2021 (from memory)",
		Example: formula.Example{Call: "ester_molar_mass(rapeseed, ethanol)", Want: 308.61, Unit: "g/mol", Within: 0.01,
			Source: byHand},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.esterMass(a, 0, 1), "g/mol")
		},
	}, {
		Name: "oil_saponification_value", Title: "Saponification value of an oil from its profile",
		Says:    "Gives the KOH that saponifies one gram of the oil.",
		Formula: "SV = 3·M_KOH/M_oil",
		Params:  []formula.Param{oilRow()},
		Unit:    quantity.MustUnit("mg/g"), Valid: pureOil,
		Source: "Definition as in ISO 3657 (clause not seen), for pure triglyceride",
		Example: formula.Example{Call: "oil_saponification_value(coconut)", Want: 256.5, Unit: "mg/g", Within: 8.5,
			Source: "Codex CXS 210-1999, Table 2: 248 to 265 mg/g"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.saponification(3, c.profile(a, 0).Triglyceride()), "mg/g")
		},
	}, {
		Name: "ester_saponification_value", Title: "Saponification value of an oil's esters",
		Says:    "Gives the KOH that saponifies one gram of the esters.",
		Formula: "SV = M_KOH/M_ester",
		Params:  []formula.Param{oilRow(), alcoholRow()},
		Unit:    quantity.MustUnit("mg/g"), Valid: pureEster,
		Source:  "Definition as in ISO 3657 (clause not seen), for pure ester",
		Example: formula.Example{Call: "ester_saponification_value(rapeseed, ethanol)", Want: 181.8, Unit: "mg/g", Within: 0.05, Source: byHand},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.saponification(1, c.esterMass(a, 0, 1)), "mg/g")
		},
	}, {
		Name: "oil_iodine_value", Title: "Iodine value of an oil from its profile",
		Says:    "Gives the iodine that the double bonds of the oil take up, in percent of its mass: 113 % is 113 g of iodine per 100 g.",
		Formula: "IV = 3·D·M_I₂/M_oil, D the mean number of double bonds in an acid",
		Params:  []formula.Param{oilRow()},
		Unit:    quantity.MustUnit("%"), Valid: pureOil,
		Source: "One iodine molecule for each double bond, as AOCS Cd 1c-85 has it",
		Example: formula.Example{Call: "oil_iodine_value(rapeseed)", Want: 113.1, Unit: "%", Within: 0.1,
			Source: "AOCS Cd 1c-85 (reapproved 2009), factors of equation 1 on the same profile"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			p := c.profile(a, 0)
			return c.value(c.iodine(times(3, p.DoubleBonds()), p.Triglyceride()), "%")
		},
	}, {
		Name: "ester_iodine_value", Title: "Iodine value of an oil's esters",
		Says:    "Gives the iodine that the double bonds of the esters take up, in percent of their mass.",
		Formula: "IV = D·M_I₂/M_ester, D the mean number of double bonds in an acid",
		Params:  []formula.Param{oilRow(), alcoholRow()},
		Unit:    quantity.MustUnit("%"), Valid: pureEster,
		Source:  "One iodine molecule for each double bond, as AOCS Cd 1c-85 has it",
		Example: formula.Example{Call: "ester_iodine_value(rapeseed, ethanol)", Want: 107.5, Unit: "%", Within: 0.1, Source: byHand},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.iodine(c.profile(a, 0).DoubleBonds(), c.esterMass(a, 0, 1)), "%")
		},
	},
}

// esterMass returns the mean molar mass in g/mol of the esters of oil argument i with alcohol argument j.
func (c *chain) esterMass(a arguments, i, j int) quantity.Quantity {
	p, alcohol := c.profile(a, i), c.substance(a, j, "alcohol")
	if c.err != nil {
		return quantity.Quantity{}
	}
	return p.Ester(alcohol)
}

// saponification returns the KOH for n ester bonds in a molar mass m, in mg/g.
func (c *chain) saponification(n float64, m quantity.Quantity) quantity.Quantity {
	return c.to(c.div(times(n, molarMass("KOH")), m), "mg/g")
}

// iodine returns the iodine for n double bonds in a molar mass m, in %.
func (c *chain) iodine(n, m quantity.Quantity) quantity.Quantity {
	return c.to(c.div(c.mul(n, molarMass("iodine")), m), "%")
}

// massPercent returns an element's part of a mean composition in % by mass.
func (c *chain) massPercent(atoms []reference.Count, symbol string) quantity.Quantity {
	var total, part quantity.Quantity
	for i, n := range atoms {
		m, _ := reference.AtomicMass(n.Symbol)
		if m = times(n.Atoms, m); i == 0 {
			total = m
		} else {
			total = c.add(total, m)
		}
		if n.Symbol == symbol {
			part = m
		}
	}
	return c.to(c.div(part, total), "%")
}
