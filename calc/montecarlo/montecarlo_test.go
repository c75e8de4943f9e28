package montecarlo_test

import (
	"math"
	"runtime"
	"slices"
	"testing"

	"example.org/meniscus/calc/montecarlo"
	"example.org/meniscus/calc/quantity"
)

// input is an estimate with a standard uncertainty and a shape.
type input struct {
	x, u  float64
	shape quantity.Shape
}

// propagate runs a model of inputs and returns the outcome and the values.
func propagate(t testing.TB, trials int, seed uint64, inputs []input, f func(x []float64) float64) (montecarlo.Outcome, []float64) {
	t.Helper()
	sources := make([]quantity.Source, len(inputs))
	for i, in := range inputs {
		sources[i] = quantity.Source{Shape: in.shape, DoF: quantity.Known()}
	}
	newModel := func() montecarlo.Model {
		x := make([]float64, len(inputs))
		return func(z, out []float64) {
			for i, in := range inputs {
				x[i] = in.x + in.u*z[i]
			}
			out[0] = f(x)
		}
	}
	values, err := montecarlo.Run(sources, 1, newModel, montecarlo.Options{Trials: trials, Seed: seed})
	if err != nil {
		t.Fatal(err)
	}
	o, ok := montecarlo.Summarise(values[0])
	if !ok {
		t.Fatalf("no outcome: %+v", o)
	}
	return o, values[0]
}

func sum(x []float64) float64 { return x[0] + x[1] + x[2] + x[3] }

// loss is what a power meter's calibration loses by mismatch: JCGM 101:2008, 9.4.
func loss(x []float64) float64 { return x[0]*x[0] + x[1]*x[1] }

// massDeviation is the conventional mass of a weight less its nominal 100 g, in mg: JCGM 101:2008, 9.3, with the masses
// in mg and the densities in kg/m3.
func massDeviation(x []float64) float64 {
	reference, extra, air, weight, standard := x[0], x[1], x[2], x[3], x[4]
	return (reference+extra)*(1+(air-1.2)*(1/weight-1/standard)) - 100000
}

func rectangle(low, high float64) input {
	return input{(low + high) / 2, (high - low) / 2 / math.Sqrt(3), quantity.Rectangular}
}

func four(u [4]float64, shape quantity.Shape) []input {
	out := make([]input, 4)
	for i := range out {
		out[i] = input{0, u[i], shape}
	}
	return out
}

func TestExamplesOfTheSupplement(t *testing.T) {
	const fromMemory = " (from memory)"
	tests := []struct {
		name                         string
		inputs                       []input
		f                            func([]float64) float64
		mean, u, low, high           float64
		meanWithin, uWithin, withinI float64 // half the last printed digit, and what the trials scatter by
		source                       string
	}{
		{"four normals", four([4]float64{1, 1, 1, 1}, quantity.Normal), sum, 0, 2.00, -3.92, 3.92, 0.01, 0.006, 0.03,
			"JCGM 101:2008, 9.2.2, Table 2" + fromMemory},
		{"four rectangles", four([4]float64{1, 1, 1, 1}, quantity.Rectangular), sum, 0, 2.00, -3.88, 3.88, 0.01, 0.006, 0.03,
			"JCGM 101:2008, 9.2.3, Table 3" + fromMemory},
		{"one rectangle ten times as wide", four([4]float64{1, 1, 1, 10}, quantity.Rectangular), sum, 0, 10.1, -17.0, 17.0, 0.04, 0.06, 0.12,
			"JCGM 101:2008, 9.2.4, Table 4" + fromMemory},
		{"mass calibration", []input{{100000, 0.050, quantity.Normal}, {1.234, 0.020, quantity.Normal}, rectangle(1.10, 1.30),
			rectangle(7000, 9000), rectangle(7950, 8050)}, massDeviation, 1.2341, 0.0754, 1.0834, 1.3825, 0.0003, 0.0002, 0.003,
			"JCGM 101:2008, 9.3, Table 6" + fromMemory},
		{"comparison loss at 0", []input{{0, 0.005, quantity.Normal}, {0, 0.005, quantity.Normal}}, loss, 50e-6, 50e-6, 0, 150e-6, 0.5e-6, 0.5e-6, 1e-6,
			"JCGM 101:2008, 9.4, Table 7" + fromMemory + "; by hand 50 and 50 ln 20 = 149.8"},
		{"comparison loss at 0.010", []input{{0.010, 0.005, quantity.Normal}, {0, 0.005, quantity.Normal}}, loss, 150e-6, 112e-6, 0, 367e-6, 0.6e-6, 0.7e-6, 2.5e-6,
			"JCGM 101:2008, 9.4, Table 7" + fromMemory + "; by hand the mean is 100 + 25 + 25"},
		{"comparison loss at 0.050", []input{{0.050, 0.005, quantity.Normal}, {0, 0.005, quantity.Normal}}, loss, 2551e-6, 502e-6, 1590e-6, 3543e-6, 2.5e-6, 2e-6, 15e-6,
			"JCGM 101:2008, 9.4, Table 7" + fromMemory + "; by hand the mean is 2500 + 25 + 25"},
	}
	for _, tt := range tests {
		o, _ := propagate(t, 400_000, 1, tt.inputs, tt.f)
		for _, c := range []struct {
			what              string
			got, want, within float64
		}{{"mean", o.Mean, tt.mean, tt.meanWithin}, {"u", o.U, tt.u, tt.uWithin}, {"low", o.Low, tt.low, tt.withinI}, {"high", o.High, tt.high, tt.withinI}} {
			if math.Abs(c.got-c.want) > c.within {
				t.Errorf("%s: %s = %.6g, want %g within %g (%s)", tt.name, c.what, c.got, c.want, c.within, tt.source)
			}
		}
	}
}

// The supplement's own verdicts on the chain rule for these examples.
func TestJudge(t *testing.T) {
	known := func(value float64, effects ...float64) quantity.Quantity {
		q := quantity.Ratio(value)
		for i, u := range effects {
			q = q.With(quantity.Source{Name: string(rune('a' + i))}, u)
		}
		return q
	}
	tests := []struct {
		name   string
		inputs []input
		f      func([]float64) float64
		linear quantity.Quantity
		want   montecarlo.Judgement
		source string
	}{
		{"four normals", four([4]float64{1, 1, 1, 1}, quantity.Normal), sum, known(0, 1, 1, 1, 1), montecarlo.Agrees, "JCGM 101:2008, 9.2.2 (from memory)"},
		{"one wide rectangle", four([4]float64{1, 1, 1, 10}, quantity.Rectangular), sum, known(0, 1, 1, 1, 10), montecarlo.Differs, "JCGM 101:2008, 9.2.4 (from memory)"},
		{"comparison loss at 0.010", []input{{0.010, 0.005, quantity.Normal}, {0, 0.005, quantity.Normal}}, loss, known(100e-6, 100e-6), montecarlo.Differs, "JCGM 101:2008, 9.4 (from memory)"},
	}
	for _, tt := range tests {
		o, _ := propagate(t, 400_000, 2, tt.inputs, tt.f)
		if got, tolerance := o.Judge(tt.linear); got != tt.want {
			t.Errorf("%s: %s with a tolerance of %g, want %s (%s)", tt.name, got, tolerance, tt.want, tt.source)
		}
	}
	o, _ := propagate(t, montecarlo.LeastTrials, 2, tests[0].inputs, sum)
	if got, _ := o.Judge(tests[0].linear); got != montecarlo.Undecided {
		t.Errorf("a thousand trials say %s, want undecided: they know an end to about 0.1 only", got)
	}
}

func TestTolerance(t *testing.T) {
	tests := []struct {
		u, want float64
		source  string
	}{
		{2.0, 0.05, "JCGM 101:2008, 9.2.2: 2.0 = 20 × 10⁻¹ (from memory)"},
		{10.1, 0.5, "JCGM 101:2008, 9.2.4: 10 × 10⁰ (from memory)"},
		{0.00035, 0.000005, "JCGM 101:2008, 7.9.2, example 1: 35 × 10⁻⁵ (from memory)"},
		{0.0996, 0.005, "by definition: 0.0996 is 0.10 to two digits, 10 × 10⁻²"},
		{0, 0, "no uncertainty, no digit"},
	}
	for _, tt := range tests {
		if got := montecarlo.Tolerance(tt.u); math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("Tolerance(%g) = %g, want %g (%s)", tt.u, got, tt.want, tt.source)
		}
	}
}

// A source is drawn with the standard uncertainty that it has; Student's t is wider by sqrt(ν/(ν-2)).
func TestShapes(t *testing.T) {
	tests := []struct {
		name   string
		source quantity.Source
		u      float64
		half   float64 // of the 95 % interval
		says   string
	}{
		{"rectangle", quantity.Source{Shape: quantity.Rectangular}, 1, 0.95 * math.Sqrt(3), "0.95 of the half-width √3, by hand"},
		{"triangle", quantity.Source{Shape: quantity.Triangular}, 1, math.Sqrt(6) * (1 - math.Sqrt(0.05)), "√6 (1 − √0.05), by hand"},
		{"normal", quantity.Source{DoF: quantity.Known()}, 1, 1.960, "JCGM 100:2008, Table G.2 (from memory)"},
		{"t, 10 degrees of freedom", quantity.Source{DoF: 10}, math.Sqrt(10.0 / 8), 2.228, "Table A.4, row 10, column 0.025, of a handbook of statistics"},
	}
	for _, tt := range tests {
		newModel := func() montecarlo.Model { return func(z, out []float64) { out[0] = z[0] } }
		values, err := montecarlo.Run([]quantity.Source{tt.source}, 1, newModel, montecarlo.Options{Trials: 400_000, Seed: 3})
		if err != nil {
			t.Fatal(err)
		}
		o, _ := montecarlo.Summarise(values[0])
		if math.Abs(o.U-tt.u) > 0.006 || math.Abs(o.High-o.Low-2*tt.half) > 0.03 {
			t.Errorf("%s: u = %.4f and interval of %.4f, want %.4f and %.4f (%s)", tt.name, o.U, o.High-o.Low, tt.u, 2*tt.half, tt.says)
		}
	}
}

func TestSameSeedSameFiguresOnAnyNumberOfCores(t *testing.T) {
	inputs := four([4]float64{1, 2, 3, 4}, quantity.Normal)
	before := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(before)
	_, one := propagate(t, 10_007, 7, inputs, loss)
	runtime.GOMAXPROCS(5)
	_, many := propagate(t, 10_007, 7, inputs, loss)
	if !slices.Equal(one, many) {
		t.Error("one core and five give different trials for the same seed")
	}
	if _, other := propagate(t, 10_007, 8, inputs, loss); slices.Equal(one, other) {
		t.Error("two seeds give the same trials")
	}
}

func TestTrialsWithoutAValueAreCounted(t *testing.T) {
	o, _ := propagate(t, 10_000, 1, []input{{0, 1, quantity.Rectangular}}, func(x []float64) float64 { return math.Log(x[0]) })
	if o.Failed < 4700 || o.Failed > 5300 {
		t.Errorf("%d of 10000 trials failed, want about half: ln has no value below 0", o.Failed)
	}
	if got, _ := o.Judge(quantity.Ratio(0).With(quantity.Source{Name: "x"}, 1)); got != montecarlo.Differs {
		t.Errorf("the chain rule is said to be %s where half of the trials have no value", got)
	}
	if _, ok := montecarlo.Summarise(make([]float64, 10)); ok {
		t.Error("ten trials make an outcome")
	}
}

func TestOptionsAreChecked(t *testing.T) {
	for _, n := range []int{-1, 0, montecarlo.LeastTrials - 1, montecarlo.MostTrials + 1} {
		if err := (montecarlo.Options{Trials: n}).Check(); err == nil {
			t.Errorf("%d trials are accepted", n)
		}
	}
}

func BenchmarkFourRectangles(b *testing.B) {
	inputs := four([4]float64{1, 1, 1, 1}, quantity.Rectangular)
	for range b.N {
		propagate(b, 1_000_000, 1, inputs, sum)
	}
}

// An interval of the chain rule that is too wide is told from one that is wrong.
func TestInside(t *testing.T) {
	wide := quantity.Ratio(0).With(quantity.Source{Name: "x"}, 10.1) // ±19.8 against ±17.0
	o, _ := propagate(t, 100_000, 1, four([4]float64{1, 1, 1, 10}, quantity.Rectangular), sum)
	if !o.Inside(wide) {
		t.Errorf("%g to %g is said not to lie inside ±19.8 (JCGM 101:2008, 9.2.4, from memory)", o.Low, o.High)
	}
	shifted := quantity.Ratio(5).With(quantity.Source{Name: "x"}, 10.1)
	if o.Inside(shifted) {
		t.Errorf("%g to %g is said to lie inside -14.8 to 24.8", o.Low, o.High)
	}
	o.Failed = o.Trials / 10
	if o.Inside(wide) {
		t.Error("an interval that a tenth of the trials has no part in is said to be safe")
	}
}
