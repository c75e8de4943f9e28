package method

import (
	"testing"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

// Demonstration readings are invented: these figures say that the same readings give the same results, worked apart from
// this program with the same formulas. They check no method.
const demo = "demo data, worked by hand"

func TestDemoEster(t *testing.T) {
	oil, ethanol := bench(t), text("ethanol")
	near(t, "theoretical ester", call(t, "theoretical_ester", num(50.05, "g"), oil, ethanol).Value, 52.67, 0.005, demo)
	near(t, "theoretical glycerol", call(t, "theoretical_glycerol", num(50.05, "g"), oil).Value, 5.23, 0.005, demo)
	near(t, "effective dose", call(t, "effective_dose", num(50.05, "g"), num(0.4556, "g"), num(0.14, "mg/g"), text("KOH")).Value, 0.896, 0.0005, demo)
	near(t, "soap", call(t, "soap_made", num(50.05, "g"), num(0.14, "mg/g")).Value, 0.040, 0.0005, demo)
	rho := call(t, "pycnometer_density", num(24.318, "g"), num(34.272, "g"), num(33.031, "g"), num(21.4, "Cel"))
	near(t, "density", rho.Value, 873.6, 0.05, demo)
	rho15 := call(t, "density_at_15", formula.Of(rho), num(21.4, "Cel"))
	near(t, "density at 15 °C", rho15.Value, 878.3, 0.05, demo)
	near(t, "ester by density", call(t, "ester_by_density", formula.Of(rho15), num(876, "kg/m3"), num(919.5, "kg/m3")).Value, 94.5, 0.1, demo+" from a density rounded to 0.1")
	nu := call(t, "capillary_viscosity", num(0.03018, "mm2/s2"), num((183.2+183.6+182.9)/3, "s"))
	near(t, "viscosity", nu.Value, 5.53, 0.005, demo)
	near(t, "ester by viscosity", call(t, "ester_by_viscosity", formula.Of(nu), num(4.9, "mm2/s"), num(35, "mm2/s")).Value, 93.8, 0.05, demo)
	dry := 17.24 * (44.384 - 41.285) / (46.412 - 41.285)
	near(t, "conversion", call(t, "conversion_by_glycerol", num(dry, "g"), num(5.06, "g"), num(0.4556, "g"), num(50.05, "g"), oil).Value, 93.8, 0.05, demo)
	near(t, "acid value", call(t, "acid_value", num(0.64, "mL"), num(0.06, "mL"), num(0.0493, "mol/L"), num(10.02, "g")).Value, 0.16, 0.005, demo)
}

func TestDemoTitration(t *testing.T) {
	c := call(t, "titrant_concentration", num(0.2043, "g"), text("KHP"), num(10.14, "mL"))
	near(t, "titrant", c.Value, 0.09866, 5e-6, demo)
	for _, tt := range []struct{ m, v, want float64 }{{5.02, 2.19, 2.349}, {4.97, 2.18, 2.361}, {5.05, 2.22, 2.368}} {
		av := call(t, "acid_value", num(tt.v, "mL"), num(0.06, "mL"), formula.Of(c), num(tt.m, "g"))
		near(t, "acid value", av.Value, tt.want, 0.0005, demo)
	}
	av := num(2.36, "mg/g")
	near(t, "free fatty acid", call(t, "free_fatty_acid", av).Value, 1.19, 0.005, demo)
	near(t, "pellets", call(t, "pellets", num(50, "g"), num(0.9, "%"), av, num(86, "%"), text("KOH")).Value, 0.660, 0.0005, demo)
	near(t, "NaOH pellets", call(t, "pellets", num(50, "g"), num(0.9*39.997/56.105, "%"), av, num(98, "%"), text("NaOH")).Value, 0.413, 0.0005, demo)
	near(t, "soap", call(t, "soap_made", num(50, "g"), av).Value, 0.67, 0.005, demo)
	near(t, "water", call(t, "water_made", num(50, "g"), av).Value, 0.04, 0.005, demo)
	near(t, "assay check", call(t, "alkali_content", num(9.43, "mL"), num(0.1, "mol/L"), num(2.011, "g"), text("KOH")).Value, 2.631, 0.0005, demo)
	near(t, "fresh oil", call(t, "acid_value", num(0.57, "mL"), num(0.06, "mL"), formula.Of(c), num(20.03, "g")).Value, 0.141, 0.0005, demo)
}

func half(from float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = from + float64(i)/2
	}
	return out
}

// ethanolBurn and esterBurn return the arguments burn, post, ambient, lit and settled_from, for a run in which the flame
// was lit at the given minute.
func ethanolBurn(lit float64) []formula.Value {
	return []formula.Value{
		run("Cel", half(lit, 10), []float64{14.8, 15.8, 17.7, 19.7, 21.8, 23.9, 25.9, 28.0, 30.0, 32.0}),
		run("Cel", half(lit+5, 15), []float64{34.0, 35.0, 35.2, 35.1, 35.1, 35.0, 34.9, 34.9, 34.8, 34.7, 34.6, 34.5, 34.5, 34.4, 34.3}),
		num(21.8, "Cel"), num(lit, "min"), num(lit+5+1.5, "min"),
	}
}

func esterBurn(lit float64) []formula.Value {
	return []formula.Value{
		run("Cel", half(lit, 15), []float64{15.1, 15.7, 16.9, 18.2, 19.5, 20.7, 22.0, 23.3, 24.6, 25.8, 27.1, 28.3, 29.6, 30.8, 32.0}),
		run("Cel", half(lit+7.5, 15), []float64{33.3, 33.8, 33.9, 33.9, 33.8, 33.7, 33.7, 33.7, 33.5, 33.5, 33.4, 33.4, 33.2, 33.2, 33.2}),
		num(21.9, "Cel"), num(lit, "min"), num(lit+7.5+1.5, "min"),
	}
}

func TestDemoBurn(t *testing.T) {
	for _, lit := range []float64{0, 17.3} { // when it was lit since the run began makes no difference
		for _, tt := range []struct {
			args              []formula.Value
			k, integral, rise float64
		}{
			{ethanolBurn(lit), 0.01169, 30.28, 20.65},
			{esterBurn(lit), 0.01144, 32.90, 19.18},
		} {
			near(t, "cooling constant", call(t, "cooling_constant", tt.args[1], tt.args[2], tt.args[4]).Value, tt.k, 5e-6, demo)
			near(t, "integral", call(t, "loss_integral", tt.args...).Value, tt.integral, 0.00501, demo)
			near(t, "rise", call(t, "corrected_rise", tt.args...).Value, tt.rise, 0.005, demo)
		}
	}
}

// TestRiseSoFar: over the readings up to the first one after the can has settled, and with the cooling constant of this
// burn, the rise so far is the corrected rise of the same demonstration.
func TestRiseSoFar(t *testing.T) {
	burn := ethanolBurn(0)
	path := burn[0]
	for i := range 4 { // the flame is out at 5.0 min, the can has settled by 6.5 min
		path.List = append(path.List, burn[1].List[i])
		path.Times = append(path.Times, burn[1].Times[i])
	}
	near(t, "up to the settled can", call(t, "rise_so_far", path, burn[2], burn[3], num(0.01169, "/min")).Value, 20.65, 0.005, demo)
}

func TestDemoEnergy(t *testing.T) {
	near(t, "ethanol", energy(t, 180.30, ethanolBurn(0), 1.16), 14.09, 0.005, demo)
	near(t, "ester", energy(t, 180.10, esterBurn(0), 0.98), 15.46, 0.005, demo)
	near(t, "efficiency", energy(t, 180.30, ethanolBurn(0), 1.16)/call(t, "net_heat_of_combustion", text("ethanol")).Value, 0.526, 0.0005, demo)
}

// energy returns the heat per gram of fuel, in kJ/g, into water in the copper can of the demonstration.
func energy(t *testing.T, water float64, burn []formula.Value, fuel float64) float64 {
	t.Helper()
	capacity := water*call(t, "heat_capacity", text("water")).Value + 96.42*call(t, "heat_capacity", text("copper")).Value
	return capacity * call(t, "corrected_rise", burn...).Value / 1000 / fuel
}

func TestDemoWarming(t *testing.T) {
	at, oil := []float64{2, 4, 6, 8, 10, 12}, []float64{34.5, 43.6, 48.6, 51.4, 53.0, 53.9}
	series, since, bath, start := run("Cel", at, oil), num(0, "min"), num(55, "Cel"), num(19.6, "Cel")
	near(t, "time constant", call(t, "warming_time_constant", series, since, bath, start).Value, 3.45, 0.005, demo)
	near(t, "of the first three", call(t, "warming_time_constant", run("Cel", at[:2], oil[:2]), since, bath, start).Value, 3.53, 0.005, demo)
	near(t, "within 1 K", call(t, "warm_at", series, since, bath, num(1, "K"), start).Value, 12.3, 0.05, demo)
	near(t, "at the start", call(t, "warm_at", series, since, bath, num(40, "K"), start).Value, 0, 0, "nothing is left to wait for")
}

func TestDemoSettling(t *testing.T) {
	at, layer := []float64{2, 4, 6, 8, 10, 12, 15, 20, 25, 30, 35}, []float64{3, 7, 10, 12, 13.5, 14.5, 15.5, 16.5, 17, 17, 17}
	args := []formula.Value{run("mL", at, layer), num(0, "min")}
	near(t, "volume", call(t, "settled_volume", args...).Value, 17.15, 0.005, demo)
	near(t, "delay", call(t, "settling_delay", args...).Value, 0.87, 0.005, demo)
	near(t, "time constant", call(t, "settling_time_constant", args...).Value, 5.92, 0.005, demo)
	near(t, "scatter", call(t, "settling_rms", args...).Value, 0.07, 0.005, demo)
	near(t, "0.5 mL left", call(t, "settled_at", append(args, num(0.5, "mL"))...).Value, 21.8, 0.05, demo)
	near(t, "0.25 mL left", call(t, "settled_at", append(args, num(0.25, "mL"))...).Value, 25.9, 0.05, demo)
	first := []formula.Value{run("mL", at[:6], layer[:6]), num(0, "min"), num(0.5, "mL")}
	near(t, "forecast from six readings", call(t, "settled_at", first...).Value, 21.6, 0.05, demo)
}

func TestOffsetCancelsInARise(t *testing.T) {
	offset := quantity.Source{Name: "instrument:thermometer/offset", Shape: quantity.Rectangular, DoF: quantity.Known()}
	args := ethanolBurn(0)
	for _, i := range []int{0, 1} {
		for j := range args[i].List {
			args[i].List[j] = args[i].List[j].With(offset, 0.3)
		}
	}
	args[2].Number = args[2].Number.With(offset, 0.3)
	rise := call(t, "corrected_rise", args...)
	if u := rise.InstrumentsAlone().U(); u > 1e-12 || rise.From("instrument:") > 1e-12 {
		t.Errorf("an offset that all temperatures share leaves u = %g K, want 0 (JCGM 100:2008, 5.2: it cancels in differences)", u)
	}
}
