package method

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/stats"
)

func list(unit string, x ...float64) formula.Value {
	v := formula.Value{Kind: formula.List}
	for _, y := range x {
		v.List = append(v.List, quantity.Exact(y, quantity.MustUnit(unit)))
	}
	return v
}

// correlation returns that of two results that share sources.
func correlation(a, b quantity.Quantity) float64 {
	var sum float64
	for _, e := range a.By {
		for _, f := range b.By {
			if e.Source == f.Source {
				sum += e.Amount * f.Amount
			}
		}
	}
	return sum / (a.U() * b.U())
}

func TestThermometerCalibration(t *testing.T) {
	const source = "JCGM 100:2008, H.3, from memory: y1 -0.1712 s 0.0029, y2 0.00218 s 0.00067, r -0.930, s 0.0035, b(30) -0.1494 u 0.0041, nu 9"
	at := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	for i := range at {
		at[i] -= 20
	}
	x, y := list("K", at...), list("K", -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160)
	a, b := call(t, "intercept", x, y), call(t, "slope", x, y)
	near(t, "y1", a.Value, -0.1712, 0.00005, source)
	near(t, "s(y1)", a.U(), 0.0029, 0.00005, source)
	near(t, "y2", b.Value, 0.00218, 0.000005, source)
	near(t, "s(y2)", b.U(), 0.00067, 0.000005, source)
	near(t, "r(y1, y2)", correlation(a, b), -0.930, 0.0005, source)
	near(t, "s", call(t, "spread", x, y).Value, 0.0035, 0.00005, source)
	there := call(t, "line_at", x, y, num(10, "K"))
	near(t, "b(30)", there.Value, -0.1494, 0.00005, source)
	near(t, "u of b(30)", there.U(), 0.0041, 0.00005, source)
	for _, q := range []quantity.Quantity{a, b, there} {
		near(t, "degrees of freedom", q.DoF(), 9, 1e-9, source)
	}
	ten := quantity.Exact(10, quantity.MustUnit("K"))
	up, err := quantity.Mul(b, ten)
	if err != nil {
		t.Fatal(err)
	}
	sum, err := quantity.Add(a, up)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u of y1 + 10 K·y2", sum.U(), there.U(), 1e-12, "the covariance of the two, JCGM 100:2008, H.3.4")
}

func TestLineAgainstNorris(t *testing.T) {
	var x, y []float64
	for _, r := range outside(t, "norris.csv") {
		x, y = append(x, parse(t, r["x"])), append(y, parse(t, r["y"]))
	}
	const source = "NIST StRD, Norris, certified values"
	near(t, "sd of the slope", call(t, "slope", list("1", x...), list("1", y...)).U(), 4.29796848199937e-4, 1e-15, source)
	near(t, "sd of the intercept", call(t, "intercept", list("1", x...), list("1", y...)).U(), 0.232818234301153, 1e-12, source)
	near(t, "residual sd", call(t, "spread", list("1", x...), list("1", y...)).Value, 0.884796396144373, 1e-12, source)
}

// Cadmium by atomic absorption: five levels, each read three times, against a sample read twice.
func TestCalibrationReadBackwards(t *testing.T) {
	const source = "Eurachem/CITAC QUAM 3rd ed. 2012, A5, data and results from memory: B1 0.2410, B0 0.0087, S 0.005486, u(c0) 0.018 mg/L at c0 = 0.26 mg/L"
	x := list("mg/L", 0.1, 0.1, 0.1, 0.3, 0.3, 0.3, 0.5, 0.5, 0.5, 0.7, 0.7, 0.7, 0.9, 0.9, 0.9)
	y := list("1", 0.028, 0.029, 0.029, 0.084, 0.083, 0.081, 0.135, 0.131, 0.133, 0.180, 0.181, 0.183, 0.215, 0.230, 0.216)
	near(t, "B1", call(t, "slope", x, y).Value, 0.2410, 0.00005, source)
	near(t, "B0", call(t, "intercept", x, y).Value, 0.0087, 0.00005, source)
	near(t, "S", call(t, "spread", x, y).Value, 0.005486, 0.0000005, source)
	sample := list("1", 0.0712, 0.0716) // they agree by chance: their own scatter would give 0.0002
	y0 := meanOf(t, sample)
	c0 := call(t, "x_at", x, y, formula.Of(y0))
	near(t, "c0", c0.Value, 0.2602, 0.00005, source)
	near(t, "u(c0)", c0.U(), 0.018, 0.0005, source)
	near(t, "u(c0)", c0.U(), 0.0178446, 5e-8, "a public uncertainty library on the same example: 0.01784461112558")
	near(t, "degrees of freedom", c0.DoF(), 13, 1e-6, "the same library")
	want := 0.005486 / 0.2410 * math.Sqrt(1+1.0/15+0.24*0.24/1.2)
	for name, one := range map[string]quantity.Quantity{
		"without an instrument": quantity.Ratio(y0.Value),
		"with a fine scale":     quantity.Ratio(y0.Value).With(quantity.Source{Name: "step"}, 1e-4),
	} {
		got := call(t, "x_at", x, y, formula.Of(one))
		near(t, "u by one reading "+name, got.U(), want, 1e-5, "the same with p = 1")
		near(t, "degrees of freedom", got.DoF(), 13, 0.02, "those of the line")
	}
	coarse := call(t, "x_at", x, y, formula.Of(quantity.Ratio(y0.Value).With(quantity.Source{Name: "step"}, 0.02)))
	near(t, "u by a coarse reading", coarse.U(), math.Hypot(0.02/0.2410, 0.005486/0.2410*math.Sqrt(1.0/15+0.24*0.24/1.2)), 1e-4, "by hand")
	restless := list("1", 0.0514, 0.0914)
	got := call(t, "x_at", x, y, formula.Of(meanOf(t, restless))).U() * 0.2410
	if least := 0.02 * 0.8; got < least || got > 0.02*1.1 {
		t.Errorf("a sample that scatters five times as much as the points: u(y0) = %g, want nearly s/√2 = 0.02 (by hand)", got)
	}
}

func meanOf(t *testing.T, readings formula.Value) quantity.Quantity {
	t.Helper()
	v, err := formula.Builtins()["mean"].Call([]formula.Value{readings})
	if err != nil {
		t.Fatal(err)
	}
	return v.Number
}

// 95 % of the intervals hold the x that was read, for one reading and for the mean of several: errors are normal and alike
// for points and readings, x is drawn anew for each line, the seed is fixed.
func TestReadBackwardsHoldsWhatItClaims(t *testing.T) {
	const trials = 8000 // the share is known to 0.25 %
	draw, xAt, mean := rand.New(rand.NewPCG(8466, 1)), Named()["x_at"], formula.Builtins()["mean"]
	for _, n := range []int{5, 15} {
		for _, p := range []int{1, 2, 5} {
			held := 0
			for range trials {
				xs, ys, sample := make([]float64, n), make([]float64, n), make([]float64, p)
				for i := range xs {
					xs[i] = float64(i)
					ys[i] = 3 + 20*xs[i] + draw.NormFloat64()
				}
				at := float64(n-1) * draw.Float64()
				for i := range sample {
					sample[i] = 3 + 20*at + draw.NormFloat64()
				}
				y0, _ := mean.Call([]formula.Value{list("1", sample...)})
				got, err := xAt.Call([]formula.Value{list("1", xs...), list("1", ys...), y0})
				if err != nil {
					t.Fatal(err)
				}
				if e, _ := got.Number.Expanded(); math.Abs(got.Number.Value-at) <= e {
					held++
				}
			}
			if share := float64(held) / trials; share < 0.94 || share > 0.96 {
				t.Errorf("a line of %d points, the mean of %d readings: %.3f of the intervals hold x, want 0.94 to 0.96", n, p, share)
			}
		}
	}
}

// A mark that is no reading is reached where the line alone says.
func TestMarkIsReached(t *testing.T) {
	given := map[string]string{"x": "1 g; 2 g; 3 g; 4 g", "y": "3 mL; 5.1 mL; 6.9 mL; 9 mL", "there": "6 mL"}
	get := func(text string) quantity.Quantity {
		v, err := formula.Example{Call: text, Given: given}.Eval(All())
		if err != nil {
			t.Fatal(err)
		}
		return v.Number
	}
	mark, reading, s := get("(there - intercept(x, y)) / slope(x, y)"), get("x_at(x, y, there)"), get("spread(x, y)")
	near(t, "x", mark.Value, reading.Value, 1e-12, "one line")
	near(t, "u", math.Hypot(mark.U(), s.Value/get("slope(x, y)").Value), reading.U(), 1e-9, "QUAM E.4: the terms of the line and of one reading")
}

// Effects of every point, x and y, against fits anew.
func TestLineSensitivities(t *testing.T) {
	xs, ys := []float64{1, 2, 3.5, 4, 6}, []float64{2.1, 3.9, 7.2, 7.7, 12.4}
	known := func(name string) quantity.Source { return quantity.Source{Name: name} }
	for name, third := range map[string][]formula.Value{"slope": nil, "intercept": nil, "line_at": {num(8, "1")}, "x_at": {num(9, "1")}, "spread": nil} {
		for i := range 2 * len(xs) {
			at := func(d, u float64) quantity.Quantity {
				x, y := list("1", xs...), list("1", ys...)
				p := &x.List[i%len(xs)]
				if i < len(ys) {
					p = &y.List[i]
				}
				p.Value += d
				*p = p.With(known("moved"), u)
				return call(t, name, append([]formula.Value{x, y}, third...)...)
			}
			const h = 1e-5
			got := at(0, 1e-6).InstrumentsAlone().By[0].Amount / 1e-6
			near(t, name, got, (at(h, 0).Value-at(-h, 0).Value)/(2*h), 1e-7, "difference quotient over fits anew")
		}
	}
}

func TestLinesRefuse(t *testing.T) {
	good, flat := list("g", 1, 2, 3), list("mL", 1, 1, 1)
	for _, tt := range []struct {
		name string
		args []formula.Value
		want string
	}{
		{"slope", []formula.Value{list("g", 1, 2), list("mL", 1, 2)}, "the line has 2 points: it needs 3 or more"},
		{"slope", []formula.Value{good, list("mL", 1, 2)}, "x has 3 values and y 2: a line needs them in pairs"},
		{"slope", []formula.Value{list("g", 2, 2, 2), flat}, "the points do not differ in x, or differ too much for a number: they give no line"},
		{"slope", []formula.Value{list("g", 1, 2, math.NaN()), flat}, "a point of the line is no number"},
		{"slope", []formula.Value{list("g", 1e300, -1e300, 0), flat}, "the points do not differ in x, or differ too much for a number: they give no line"},
		{"spread", []formula.Value{good, list("mL", 1e300, -1e300, 1e300)}, "the points are too far apart for a number"},
		{"x_at", []formula.Value{good, flat, num(1, "mL")}, "the slope is 0 with a standard uncertainty of 0: too near zero to tell x from y"},
		{"x_at", []formula.Value{good, list("mL", 1, 3, 1.5), num(1, "mL")}, "the slope is 0.25 with a standard uncertainty of 1: too near zero to tell x from y"},
	} {
		_, err := Named()[tt.name].Call(tt.args)
		if r, ok := err.(*quantity.RangeError); !ok || r.Msg != tt.want {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
		}
	}
}

// Units of a line, and a temperature as y.
func TestLineUnits(t *testing.T) {
	functions := All()
	x := map[string]string{"at": "0 min; 2 min; 4 min", "theta": "20 Cel; 21 Cel; 22 Cel", "f": "68 [degF]; 69.8 [degF]; 71.6 [degF]", "start": "0 min", "mid": "60 s", "k": "293 K"}
	for _, tt := range []struct {
		call, unit string
		want       float64
	}{
		{"slope(at, theta)", "K/min", 0.5}, {"slope(at, f)", "K/min", 0.5}, {"line_at(at, theta, mid)", "Cel", 20.5}, {"intercept(at, f)", "Cel", 20},
		{"spread(at, theta)", "K", 0}, {"x_at(at, theta, first(theta))", "min", 0},
	} {
		v, err := formula.Example{Call: tt.call, Given: x}.Eval(functions)
		if err != nil {
			t.Errorf("%s: %v", tt.call, err)
			continue
		}
		q, err := v.Number.To(quantity.MustUnit(tt.unit))
		if err != nil || math.Abs(q.Value-tt.want) > 1e-12 {
			t.Errorf("%s = %g %s, %v, want %g (by hand)", tt.call, q.Value, tt.unit, err, tt.want)
		}
	}
	const want = "x_at(at, theta, mid): y0 is in s and y in Cel: they must fit"
	if _, err := (formula.Example{Call: "x_at(at, theta, mid)", Given: x}).Eval(functions); err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

// The scatter's part of a settling curve against another algorithm for the same curve.
func TestSettlingCovariance(t *testing.T) {
	at, v := []float64{2, 4, 6, 8, 10, 12, 15, 20, 25, 30, 35}, []float64{3, 7, 10, 12, 13.5, 14.5, 15.5, 16.5, 17, 17, 17}
	fit, err := stats.Curve(func(t float64, b []float64) float64 { return -b[0] * math.Expm1(-(t-b[1])/b[2]) }, at, v, []float64{15, 1, 5})
	if err != nil {
		t.Fatal(err)
	}
	args := []formula.Value{run("mL", at, v), num(0, "min")}
	const source = "damped least squares from a start nearby"
	for i, name := range []string{"settled_volume", "settling_delay", "settling_time_constant"} {
		q := call(t, name, args...)
		near(t, name, q.Value, fit.B[i], 1e-7, source)
		near(t, "u of "+name, q.U(), fit.U[i], 0.03*fit.U[i], source+"; without second derivatives")
		near(t, "degrees of freedom", q.DoF(), 8, 1e-9, "11 readings, 3 parameters")
	}
	near(t, "scatter", call(t, "settling_rms", args...).Value, fit.S, 1e-9, source)
	volume, constant := call(t, "settled_volume", args...), call(t, "settling_time_constant", args...)
	if r := correlation(volume, constant); r < 0.5 || r > 1 {
		t.Errorf("volume and time constant of one fit are correlated by %.3f: a slower curve ends higher", r)
	}
	for i := range args[0].List { // a step that explains the scatter
		args[0].List[i] = args[0].List[i].With(quantity.Source{Name: "reading:layer." + string(rune('a'+i)) + "/step"}, 0.5)
	}
	if q := call(t, "settled_volume", args...); math.Abs(q.U()/q.InstrumentsAlone().U()-1) > 1e-12 || q.U() <= volume.U() || q.DoF() < 1000 {
		t.Errorf("u = %g, %g by the steps, %g degrees of freedom: want the steps', which the scatter hardly has a part in", q.U(), q.InstrumentsAlone().U(), q.DoF())
	}
}

// The parts of a burn's fit carry the scatter about it, and a fit of the same readings shares it.
func TestCoolingCarriesItsScatter(t *testing.T) {
	args := ethanolBurn(0)
	k := call(t, "cooling_constant", args[1], args[2], args[4])
	rise := call(t, "corrected_rise", args...)
	integral := call(t, "loss_integral", args...).Value
	near(t, "u of the rise", rise.U(), integral*k.U(), 1e-12, "exact readings: the fit alone is uncertain, by hand")
	near(t, "correlation", correlation(k, rise), 1, 1e-12, "one fit, one source")
	near(t, "degrees of freedom", k.DoF(), 10, 1e-9, "12 readings after settling, 2 parameters")
}
