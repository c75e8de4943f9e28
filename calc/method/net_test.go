package method

import (
	"math"
	"testing"

	"example.org/meniscus/calc/formula"
)

// TestNetHeats: against net heats worked from enthalpies of formation (CRC Handbook, CODATA 1989) with 44.0 kJ for each
// mole of water, and one printed for biodiesel.
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

// TestNetHeatOfSpirit: what 96 % by volume is by mass, from the densities of ethanol and of such spirit at 20 °C, and
// what a gram of it gives.
func TestNetHeatOfSpirit(t *testing.T) {
	const byMass = 0.96 * 789.24 / 807.42 // OIML R 22 (1973), from memory
	near(t, "96 % by volume", byMass, 0.938, 0.0005, "alcoholometric tables, from memory: 93.8 % by mass")
	spirit := call(t, "net_heat_of_combustion", text("ethanol"), num(100*byMass, "%")).Value
	near(t, "spirit", spirit, 0.9384*26.806-0.0616*2.442, 0.005, "by hand")
	near(t, "pure", call(t, "net_heat_of_combustion", text("ethanol"), num(100, "%")).Value, call(t, "net_heat_of_combustion", text("ethanol")).Value, 1e-12,
		"nothing but ethanol")
	// What a denaturant that is counted as ethanol changes: butanone of 2444 kJ/mol (CRC Handbook, from memory) and
	// four of water.
	ethanol := call(t, "net_heat_of_combustion", text("ethanol")).Value
	near(t, "1 % of butanone", (2444-4*44.0)/72.107/ethanol-1, 0.2, 0.05, "the text says 0.2 % more")
	near(t, "1 % of methanol", call(t, "net_heat_of_combustion", text("methanol")).Value/ethanol-1, -0.3, 0.05, "the text says 0.3 % less")
	if _, err := Named()["net_heat_of_combustion"].Call([]formula.Value{text("ethanol"), num(101, "%")}); err == nil {
		t.Error("more than all of it is ethanol, and no word of it")
	}
}

// TestFlueDewPoint: 3 mol of water come with 2 of carbon dioxide and the nitrogen of 3 mol of oxygen when ethanol
// burns, and more air with more than it needs. The dew point by Magnus (6.112 hPa, 17.62, 243.12 °C) is the 58 °C of
// the text with no more air than needed, and its 38 °C with three times as much: the can stays below both.
func TestFlueDewPoint(t *testing.T) {
	for air, want := range map[float64]float64{1: 58, 3: 38} {
		water := 3 / (3 + 2 + 3*3.76*air + 3*(air-1))
		ln := math.Log(1013.25 * water / 6.112)
		near(t, "dew point", 243.12*ln/(17.62-ln), want, 1, "by hand")
	}
}
