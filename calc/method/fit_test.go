package method

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

func TestLine(t *testing.T) {
	var x, y []float64
	for _, r := range outside(t, "norris.csv") {
		x, y = append(x, parse(t, r["x"])), append(y, parse(t, r["y"]))
	}
	l, ok := fitLine(x, y)
	if !ok {
		t.Fatal("no line")
	}
	const source = "NIST StRD, Norris, certified values"
	near(t, "intercept", l.intercept, -0.262323073774029, 1e-11, source)
	near(t, "slope", l.slope, 1.00211681802045, 1e-13, source)
	bySlope, byIntercept := l.by(x)
	var slope, intercept float64 // a least-squares line is linear in y
	for i := range y {
		slope += bySlope[i] * y[i]
		intercept += byIntercept[i] * y[i]
	}
	near(t, "slope from its sensitivities", slope, l.slope, 1e-12, source)
	near(t, "intercept from its sensitivities", intercept, l.intercept, 1e-9, source)
}

func TestSettlingFindsExactCurves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		volume := rapid.Float64Range(1, 200).Draw(t, "volume")
		tau := rapid.Float64Range(0.5, 60).Draw(t, "tau")
		delay := rapid.Float64Range(0, 10).Draw(t, "delay")
		n := rapid.IntRange(5, 20).Draw(t, "n")
		spans := rapid.Float64Range(1.6, 8).Draw(t, "spans")
		at, v := make([]float64, n), make([]float64, n)
		for i := range at {
			at[i] = delay + 0.1*tau + spans*tau*float64(i)/float64(n-1)
			v[i] = -volume * math.Expm1(-(at[i]-delay)/tau)
		}
		f, err := fitSettling(at, v)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(f.volume/volume-1) > 1e-8 || math.Abs(f.constant/tau-1) > 1e-8 || math.Abs(f.delay-delay) > 1e-8*tau {
			t.Errorf("volume %.12g, tau %.12g, delay %.12g", f.volume, f.constant, f.delay)
		}
	})
}

// The effects of each reading are checked by moving it a little and fitting anew.
func TestSettlingSensitivities(t *testing.T) {
	at, v := []float64{2, 4, 6, 8, 10, 12, 15, 20, 25, 30, 35}, []float64{3, 7, 10, 12, 13.5, 14.5, 15.5, 16.5, 17, 17, 17}
	f, err := fitSettling(at, v)
	if err != nil {
		t.Fatal(err)
	}
	const h = 1e-4
	for i := range v {
		moved := func(d float64) settlingFit {
			w := append([]float64{}, v...)
			w[i] += d
			g, err := fitSettling(at, w)
			if err != nil {
				t.Fatal(err)
			}
			return g
		}
		up, down := moved(h), moved(-h)
		const source = "difference quotient over fits anew"
		near(t, "volume", f.byVolume[i], (up.volume-down.volume)/(2*h), 1e-6, source)
		near(t, "time constant", f.byConstant[i], (up.constant-down.constant)/(2*h), 1e-6, source)
		near(t, "delay", f.byDelay[i], (up.delay-down.delay)/(2*h), 1e-6, source)
		near(t, "scatter", f.byScatter[i], (up.scatter-down.scatter)/(2*h), 1e-6, source)
	}
}

func TestSettlingStandsStill(t *testing.T) {
	at, v := []float64{2, 4, 6, 8, 10, 12, 15, 20, 25, 30, 35}, []float64{3, 7, 10, 12, 13.5, 14.5, 15.5, 16.5, 17, 17, 17}
	f, err := fitSettling(at, v)
	if err != nil {
		t.Fatal(err)
	}
	sum := func(volume, delay, tau float64) (s float64) {
		for i := range at {
			r := v[i] + volume*math.Expm1(-(at[i]-delay)/tau)
			s += r * r
		}
		return s
	}
	best := sum(f.volume, f.delay, f.constant)
	for _, d := range []float64{-1e-3, 1e-3} { // no step away is better
		if sum(f.volume+d, f.delay, f.constant) < best || sum(f.volume, f.delay+d, f.constant) < best || sum(f.volume, f.delay, f.constant+d) < best {
			t.Errorf("a step of %g makes the fit better", d)
		}
	}
}

func TestWarmingFindsExactCurves(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		tau := rapid.Float64Range(0.5, 30).Draw(rt, "tau")
		start := rapid.Float64Range(-5, 30).Draw(rt, "start")
		bath := rapid.Float64Range(40, 90).Draw(rt, "bath")
		since := rapid.Float64Range(0, 500).Draw(rt, "since")
		var at, x []float64
		for i := 1; i < 6; i++ {
			at = append(at, since+float64(i)*tau/2)
			x = append(x, bath-(bath-start)*math.Exp(-float64(i)/2))
		}
		got := call(t, "warming_time_constant", run("Cel", at, x), num(since, "min"), num(bath, "Cel"))
		if math.Abs(got.Value/tau-1) > 1e-9 {
			rt.Errorf("time constant %.12g, want %.12g", got.Value, tau)
		}
		near := call(t, "warm_at", run("Cel", at, x), num(since, "min"), num(bath, "Cel"), num(1, "K"))
		if math.Abs(near.Value-tau*math.Log(bath-start)) > 1e-8*tau {
			rt.Errorf("within 1 K at %.12g min", near.Value)
		}
	})
}

// Uncertainties of a fit against differences taken over whole evaluations.
func TestRiseSensitivities(t *testing.T) {
	args := ethanolBurn(0)
	args[2].Number = args[2].Number.With(quantity.Source{Name: "ambient", DoF: quantity.Known()}, 1)
	args[1].List[6] = args[1].List[6].With(quantity.Source{Name: "post", DoF: quantity.Known()}, 1)
	by := call(t, "corrected_rise", args...).InstrumentsAlone().By
	const h = 1e-5
	shifted := func(ambient, post float64) float64 {
		a := ethanolBurn(0)
		a[2].Number.Value += ambient
		a[1].List[6].Value += post
		return call(t, "corrected_rise", a...).Value
	}
	near(t, "effect of the room", by[0].Amount, (shifted(h, 0)-shifted(-h, 0))/(2*h), 1e-7, "difference quotient")
	near(t, "effect of a reading", by[1].Amount, (shifted(0, h)-shifted(0, -h))/(2*h), 1e-7, "difference quotient")
}

func TestFitsRefuse(t *testing.T) {
	at, layer := []float64{2, 4, 6, 8, 10, 12}, []float64{3, 7, 10, 12, 13.5, 14.5}
	zero := num(0, "min")
	burn := ethanolBurn(0)
	tests := []struct {
		name string
		args []formula.Value
		want string
	}{
		{"settled_volume", []formula.Value{{Kind: formula.Series}, zero}, "interface has no readings"},
		{"settled_volume", []formula.Value{run("mL", at[:4], layer), zero}, "the settling has 4 readings of a layer: it needs 5 or more"},
		{"settled_volume", []formula.Value{run("mL", at[:5], layer), zero}, "the readings span 8 min, the time constant is about 5.96 min: go on reading for 1.5 time constants before the end can be told"},
		{"settled_volume", []formula.Value{run("mL", at, []float64{5, 5, 5, 5, 5, 5}), zero}, "the lower layer shows no growth that levels off: go on reading"},
		{"settled_volume", []formula.Value{run("mL", at, []float64{1, 2, 3, 4, 5, 6}), zero}, "the lower layer shows no growth that levels off: go on reading"},
		{"settled_volume", []formula.Value{run("mL", at, []float64{14.5, 11, 8.6, 7.1, 6.2, 5.7}), zero}, "the lower layer does not grow: read its volume, not that of the upper layer"},
		{"settled_volume", []formula.Value{run("mL", []float64{2, 4, 4, 8, 10, 12}, layer), zero}, "interface has two readings at 4 min: give each its own time; an empty one is that of the reading before"},
		{"settled_at", []formula.Value{run("mL", at, layer), zero, num(20, "mL")}, "remaining is not less than the settled volume"},
		{"warm_at", []formula.Value{run("Cel", at[:2], []float64{34, 43}), zero, num(55, "Cel"), num(1, "K")}, "the warming has 2 readings below the bath: it needs 3 or more"},
		{"warming_time_constant", []formula.Value{run("Cel", at[:3], []float64{50, 49, 48}), zero, num(55, "Cel")}, "the content did not near the bath: are the temperatures right?"},
		{"warming_time_constant", []formula.Value{run("Cel", at[:3], []float64{34, 43, 48}), zero, num(55, "Cel"), num(56, "Cel")}, "the content was not colder than the bath at the start"},
		{"cooling_constant", []formula.Value{run("Cel", at[:2], []float64{34, 33}), num(20, "Cel")}, "the cooling has 2 readings: it needs 3 or more"},
		{"cooling_constant", []formula.Value{run("Cel", at[:3], []float64{34, 33, 19}), num(20, "Cel")}, "the water at 6 min is not above the room: it tells nothing of its cooling"},
		{"cooling_constant", []formula.Value{run("Cel", at[:3], []float64{34, 35, 36}), num(20, "Cel")}, "the water did not cool after the burn: is the flame out, and the room's temperature right?"},
		{"corrected_rise", []formula.Value{burn[0], burn[1], burn[2], burn[3], num(20, "min")}, "post has no reading after settled_from: go on reading until the water cools steadily"},
		{"corrected_rise", []formula.Value{burn[0], burn[1], burn[2], num(-3, "min"), burn[4]}, "the first reading of the burn was taken 3 min after the flame was lit: the start temperature is not known"},
		{"rise_so_far", []formula.Value{burn[0], burn[2], num(-1.1, "min"), num(0.012, "/min")}, "the first reading of the burn was taken 1.1 min after the flame was lit: the start temperature is not known"},
		{"corrected_rise", []formula.Value{burn[1], burn[0], burn[2], num(5, "min"), num(3, "min")}, "burn has a reading taken after post began"},
		{"acid_value", []formula.Value{num(0.05, "mL"), num(0.06, "mL"), num(0.1, "mol/L"), num(5, "g")}, "the sample used less titrant than the blank"},
		{"theoretical_glycerol", []formula.Value{num(0, "g"), text("palm")}, "oil_mass is 0 g: it must be more than zero"},
	}
	for _, tt := range tests {
		_, err := Named()[tt.name].Call(tt.args)
		var refused *quantity.RangeError
		if !errors.As(err, &refused) || refused.Msg != tt.want {
			t.Errorf("%s: %v, want %s", tt.name, err, tt.want)
		}
	}
}

// A fit that begins at that of readings close by comes to the same curve as one that searches all over.
func TestSettlingFromACloseFit(t *testing.T) {
	at, v := []float64{2, 4, 6, 8, 10, 12, 15, 20, 25, 30, 35}, []float64{3, 7, 10, 12, 13.5, 14.5, 15.5, 16.5, 17, 17, 17}
	first, err := fitSettling(at, v)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		moved := append([]float64{}, v...)
		for i := range moved {
			moved[i] += rapid.Float64Range(-0.6, 0.6).Draw(t, "error")
		}
		want, err := fitSettling(at, moved)
		p, found := refitSettling(at, moved, first.constant)
		if found != (err == nil) {
			t.Fatalf("found %v where the whole search says %v", found, err)
		}
		if err != nil {
			return
		}
		volume, delay, scatter := p.values(at[0])
		for _, c := range [][2]float64{{p.tau, want.constant}, {volume, want.volume}, {delay, want.delay}, {scatter, want.scatter}} {
			if math.Abs(c[0]-c[1]) > 1e-7*math.Max(1, math.Abs(c[1])) {
				t.Fatalf("%g from a close fit, %g from the whole search", c[0], c[1])
			}
		}
	})
}
