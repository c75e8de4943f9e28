package method

import (
	"testing"

	"example.org/meniscus/calc/formula"
)

// TestNetHeats: against net heats worked from enthalpies of formation (CRC Handbook, CODATA 1989) with 44.0 kJ for each mole of
// water, and one printed for biodiesel.
func TestNetHeats(t *testing.T) {
	const source = "CRC Handbook enthalpies of formation, less 44.0 kJ per mol of water formed"
	for substance, want := range map[string]float64{"methanol": 19.910, "ethanol": 26.806, "propan_1_ol": 30.705} {
		near(t, substance, call(t, "net_heat_of_combustion", text(substance)).Value, want, 0.0005*want, source)
	}
	ratio := func(gross, net string, args ...formula.Value) float64 {
		return call(t, net, args...).Value / call(t, gross, args...).Value
	}
	near(t, "ethanol, net over gross", ratio("heat_of_combustion", "net_heat_of_combustion", text("ethanol")), 26.806/29.671, 0.0005, source)
	// C20H38O2, 310.52 g/mol: 19 mol of water of 44.0 kJ are 2.692 of 40.476 kJ/g by the elemental correlation.
	near(t, "ethyl oleate, net over gross", ratio("ester_heat", "ester_net_heat", own(t, map[string]float64{"18:1": 100}), text("ethanol")),
		1-19*44.0/310.52/40.476, 0.0002, "by hand")
	near(t, "biodiesel, net over gross", ratio("ester_heat", "ester_net_heat", text("rapeseed"), text("methanol")), 37.37/40.168, 0.005,
		"article on fuel properties: gross 40.168, net 37.37 MJ/kg")
	// 12.15 % of hydrogen makes 1.0858 g of water, which take 2.65 of 40.30 kJ/g.
	near(t, "bench ester", call(t, "ester_net_heat", bench(t), text("ethanol")).Value, 40.30-12.15/100*18.015/2.016*2.442, 0.01, "by hand")
}

// TestNetHeatOfSpirit: what 96 % by volume is by mass, from the densities of ethanol and of such spirit at 20 °C, and what a gram
// of it gives.
func TestNetHeatOfSpirit(t *testing.T) {
	const byMass = 0.96 * 789.24 / 807.42 // OIML R 22 (1973), from memory
	near(t, "96 % by volume", byMass, 0.938, 0.0005, "alcoholometric tables, from memory: 93.8 % by mass")
	spirit := call(t, "net_heat_of_combustion", text("ethanol"), num(100*byMass, "%")).Value
	near(t, "spirit", spirit, 0.9384*26.806-0.0616*2.442, 0.005, "by hand")
	near(t, "pure", call(t, "net_heat_of_combustion", text("ethanol"), num(100, "%")).Value, call(t, "net_heat_of_combustion", text("ethanol")).Value, 1e-12,
		"nothing but ethanol")
	if _, err := Named()["net_heat_of_combustion"].Call([]formula.Value{text("ethanol"), num(101, "%")}); err == nil {
		t.Error("more than all of it is ethanol, and no word of it")
	}
}
