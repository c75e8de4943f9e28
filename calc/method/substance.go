package method

import (
	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/reference"
)

func allSubstances() []string { return reference.SubstanceIDs(nil) }

func withDensity() []string {
	return reference.SubstanceIDs(func(s reference.Substance) bool { return s.Density != nil || s.ID == "water" })
}

func withHeat() []string {
	return reference.SubstanceIDs(func(s reference.Substance) bool { return s.Heat != nil })
}

var substances = []formula.Function{
	{
		Name: "molar_mass", Title: "Molar mass of a substance",
		Says:    "Adds up the standard atomic weights of the substance's chemical formula.",
		Formula: "M = Σ nᵢ·Aᵢ",
		Params:  []formula.Param{row("substance", allSubstances, "a substance of the table")},
		Unit:    quantity.MustUnit("g/mol"),
		Valid:   "Pure substance of natural isotopic composition.",
		Source:  "IUPAC standard atomic weights 2021, abridged (from memory)",
		Example: formula.Example{Call: "molar_mass(KHP)", Want: 204.2212, Unit: "g/mol", Within: 0.0038,
			Source: "Eurachem/CITAC QUAM 3rd ed. 2012, A2; older atomic weights, hence within its uncertainty"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			return c.value(c.substance(a, 0, "").MolarMass(), "g/mol")
		},
	}, {
		Name: "density", Title: "Density of a pure liquid",
		Says:    "Gives the density of a liquid of the table at a temperature: that of air-free water by its formula, of the others from 20 °C by a constant expansion.",
		Formula: "water: ρ = a₅·(1 − (θ+a₁)²·(θ+a₂)/(a₃·(θ+a₄))); others: ρ = ρ₂₀·(1 − α·(θ − 20 °C))",
		Params:  []formula.Param{row("substance", withDensity, "a liquid of the table"), number("temperature", "Cel", "of the liquid")},
		Unit:    quantity.MustUnit("g/mL"),
		Valid:   "0 to 40 °C, pure liquid: alcohol that has drawn water is denser.",
		Source:  "Water: Metrologia 38 (2001) 301-309, equation 1. Others: CRC Handbook, physical constants of organic compounds; expansions from memory",
		Example: formula.Example{Call: "density(water, room)", Given: map[string]string{"room": "15 Cel"}, Want: 0.9991026, Unit: "g/mL", Within: 5e-8,
			Source: "Chemistry 2e (2019), Appendix E"},
		Elementwise: true,
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			s := c.substance(a, 0, "")
			if c.err != nil {
				return formula.Value{}, c.err
			}
			return c.value(c.keep(s.DensityAt(arguments(a).number(1))), "g/mL")
		},
	}, {
		Name: "heat_capacity", Title: "Specific heat capacity of a material",
		Says:    "Gives the heat that warms one gram of the material by one kelvin, from the table.",
		Formula: "c, tabulated",
		Params:  []formula.Param{row("material", reference.MaterialIDs, "a material of the table")},
		Unit:    quantity.MustUnit("J/K/g"),
		Valid:   "Near room temperature; water: mean from 15 to 35 °C.",
		Source:  "Water: IAPWS-95. Metals: Chemistry 2e (2019), Table 5.1. Steels, glass, oils: handbook values, from memory",
		Example: formula.Example{Call: "heat_capacity(copper)", Want: 0.3852, Unit: "J/K/g", Within: 0.0005,
			Source: "CRC Handbook, heat capacity of solids at 300 K, 24.48 J/(mol K)"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			id := ""
			if len(a) > 0 {
				id = a[0].Text
			}
			m, err := reference.FindMaterial(id)
			return c.value(c.keep(m.HeatCapacity, err), "J/K/g")
		},
	}, {
		Name: "heat_of_combustion", Title: "Gross heat of combustion of a pure substance",
		Says:    "Divides the tabulated molar heat of combustion, with liquid water formed, by the molar mass.",
		Formula: "H = −ΔcH°/M",
		Params:  []formula.Param{row("substance", withHeat, "a substance of the table")},
		Unit:    quantity.MustUnit("kJ/g"),
		Valid:   "25 °C, gross (upper) value. An open burner lets the water vapour go, so that a can sees the net value at most: net_heat_of_combustion.",
		Source:  "Chemistry 2e (2019), Table 5.2, for ethanol and methanol; CRC Handbook for the others, from memory",
		Example: formula.Example{Call: "heat_of_combustion(ethanol)", Want: 1367.0 / 46.069, Unit: "kJ/g", Within: 0.4 / 46.069,
			Source: "NIST Chemistry WebBook, ethanol, liquid: −1367.0 ± 0.4 kJ/mol"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			s := c.substance(a, 0, "")
			if c.err != nil {
				return formula.Value{}, c.err
			}
			return c.value(c.keep(s.HeatPerGram()), "kJ/g")
		},
	}, {
		Name: "net_heat_of_combustion", Title: "Net heat of combustion of a substance, pure or with water",
		Says:    "Takes from the gross heat what the water formed needs to stay vapour. With a purity the heat is for a gram of the moist substance: its own water burns not, and needs heat too." + netSays,
		Formula: "H_net = w·(H − 2.442 kJ/g · n_H/2·M_water/M) − (1 − w)·2.442 kJ/g, w the purity, or else 1; H as in heat_of_combustion",
		Params: []formula.Param{row("substance", withHeat, "a substance of the table"),
			optional(number("purity", "%", "the substance in what burns, by mass; the rest is water"))},
		Unit:   quantity.MustUnit("kJ/g"),
		Valid:  "25 °C. Spirit of 96 % by volume is 93.8 % by mass. A denaturant is taken for the substance.",
		Source: "as heat_of_combustion; " + netSource,
		Example: formula.Example{Call: "net_heat_of_combustion(ethanol)", Want: 26.806, Unit: "kJ/g", Within: 0.4 / 46.069,
			Source: "CRC Handbook enthalpies of formation, 1366.9 kJ/mol less 44.0 kJ for each of 3 mol of water"},
		Call: func(a []formula.Value) (formula.Value, error) {
			var c chain
			s, purity := c.substance(a, 0, ""), quantity.Exact(1, quantity.One)
			if arguments(a).has(1) {
				purity = c.to(c.counted(a, 1, "purity"), "1")
				c.refuse(purity.Value <= 1, "purity is more than 100 %")
			}
			if c.err != nil {
				return formula.Value{}, c.err
			}
			atoms, _ := reference.Composition(s.Formula)
			pure := c.mul(purity, c.netHeat(c.keep(s.HeatPerGram()), atoms))
			moist := c.mul(c.sub(quantity.Ratio(1), purity), quantity.Exact(vaporHeat, quantity.MustUnit("kJ/g")))
			return c.value(c.sub(pure, moist), "kJ/g")
		},
	},
}
