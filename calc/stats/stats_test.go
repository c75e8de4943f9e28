package stats

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"example.org/meniscus/calc/quantity"
)

var (
	oilA = []float64{92.4, 90.9, 93.3}
	oilB = []float64{86.2, 88.7, 84.9}
	oilC = []float64{89.6, 91.2, 90.1}
)

// The yields are invented; what comes of them was worked apart from this program with the formulas of the handbook.
const yields = "invented yields, worked by hand with NIST/SEMATECH e-Handbook formulas"

func near(t *testing.T, what string, got, want, within float64, source string) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %.8g, want %g ± %g (%s)", what, got, want, within, source)
	}
}

func refused(t *testing.T, what string, err error, want string) {
	t.Helper()
	var r *quantity.RangeError
	if !errors.As(err, &r) || r.Msg != want {
		t.Errorf("%s: %v, want the refusal %q", what, err, want)
	}
}

func TestMeansOfYields(t *testing.T) {
	for _, tt := range []struct {
		x              []float64
		mean, sd, half float64
	}{{oilA, 92.2, 1.212, 3.01}, {oilB, 86.6, 1.931, 4.80}} {
		m, err := MeanOf(tt.x)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "mean", m.Mean, tt.mean, 0.005, yields)
		near(t, "s", m.SD, tt.sd, 0.0005, yields)
		near(t, "half interval", m.Half, tt.half, 0.005, yields)
	}
}

func TestWelchOfYields(t *testing.T) {
	d, err := Welch(oilA, oilB)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "difference", d.Difference, 5.60, 0.005, yields)
	near(t, "t", d.T, 4.254, 0.0005, yields)
	near(t, "degrees of freedom", d.DoF, 3.364, 0.0005, yields)
	near(t, "p", d.P, 0.0189, 0.00005, yields)
	near(t, "half interval", d.Half, 3.94, 0.005, yields)
}

func TestVarianceOfYields(t *testing.T) {
	v, err := ANOVA([][]float64{oilA, oilB, oilC}, nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "SS between", v.Between.SS, 48.66, 0.005, yields)
	near(t, "SS within", v.Within.SS, 11.74, 0.005, yields)
	near(t, "F", v.F, 12.43, 0.005, yields)
	near(t, "p", v.P, 0.0073, 0.00005, yields)
	if v.Between.DoF != 2 || v.Within.DoF != 6 {
		t.Errorf("degrees of freedom %d and %d, want 2 and 6 (%s)", v.Between.DoF, v.Within.DoF, yields)
	}
}

func TestEffectsOfRatioAndHold(t *testing.T) {
	x, err := EffectsOf([]string{"ratio", "hold"}, [][]float64{{82.1, 83.5}, {89.8, 88.6}, {86.9, 85.5}, {94.3, 93.1}}, nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "pooled s", x.SD, 0.922, 0.0005, yields)
	near(t, "u", x.LeastSure, 0.652, 0.0005, yields)
	for i, want := range []struct {
		name string
		e    float64
	}{{"ratio", 6.95}, {"hold", 3.95}, {"ratio × hold", 0.55}} {
		e := x.Effects[i]
		if e.Name != want.name || x.DoF != 4 {
			t.Errorf("effect %d is %q with %d degrees of freedom, want %q with 4 (%s)", i, e.Name, x.DoF, want.name, yields)
		}
		near(t, want.name, e.E, want.e, 1e-9, yields)
		near(t, "half interval", e.Half, 1.81, 0.005, yields)
	}
	near(t, "p of both", x.Effects[2].P, 0.45, 0.005, yields)
}

func TestOutlier(t *testing.T) {
	const uranium = "NIST/SEMATECH e-Handbook 1.3.5.17.1, uranium example, from memory: G 2.47, critical 2.03"
	o, err := Grubbs([]float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "G", o.G, 2.47, 0.005, uranium)
	near(t, "critical", o.Critical, 2.13, 0.005, "two-sided at 5 % for n = 8: 2.1266, Technometrics 14 (1972) 847-854, from memory; the one-sided value is 2.03")
	if o.Index != 7 || !o.Marked {
		t.Errorf("value %d, marked %v: want 7, marked (%s)", o.Index, o.Marked, uranium)
	}
	if o, err := Grubbs([]float64{1, 2, 3, 4, 5}); err != nil || o.Marked {
		t.Errorf("even steps: %+v, %v: none is an outlier", o, err)
	}
}

func TestRefusals(t *testing.T) {
	two, same := []float64{1, 2}, []float64{5, 5, 5}
	d, err := Welch(two, oilA)
	refused(t, "Welch", err, "groups of 2 and 3: a test needs 3 replicates or more of each; the means alone stand")
	near(t, "difference that stands", d.Difference, 1.5-92.2, 1e-9, "by hand")
	_, err = ANOVA([][]float64{two, two}, nil)
	refused(t, "ANOVA", err, "4 values in 2 groups leave 2 degrees of freedom for the scatter: a test needs 3 or more; the means alone stand")
	m, err := MeanOf(two)
	if err != nil || m.Half != 0 || m.Mean != 1.5 {
		t.Errorf("two values: %+v, %v: want a mean without an interval", m, err)
	}
	x, err := EffectsOf([]string{"ratio"}, [][]float64{{1}, {3}}, nil)
	refused(t, "EffectsOf", err, "2 values in 2 settings leave 0 degrees of freedom for the scatter: a test needs 3 or more; the effects stand without intervals")
	near(t, "effect that stands", x.Effects[0].E, 2, 1e-12, "by hand")
	_, err = EffectsOf([]string{"ratio"}, [][]float64{{1, 1, 1}, {3, 3}}, nil)
	refused(t, "EffectsOf", err, "no setting scatters at all: were the values copied, or read too coarsely?")
	_, err = EffectsOf([]string{"ratio", "hold"}, [][]float64{{1}}, nil)
	refused(t, "EffectsOf", err, "a full plan of 2 factors at two levels has 4 settings, found 1; up to 6 factors")
	_, err = MeanOf(nil)
	refused(t, "MeanOf", err, "the group has 0 of the 1 values or more that it takes")
	_, err = MeanOf([]float64{math.NaN()})
	refused(t, "MeanOf", err, "the group has a value that is no number")
	_, err = MeanOf([]float64{1e308, -1e308, 1e308})
	refused(t, "MeanOf", err, "these values give no finite outcome")
	_, err = Welch(same, same)
	refused(t, "Welch", err, "neither group scatters at all: were the values copied, or read too coarsely?")
	_, err = ANOVA([][]float64{same, same}, nil)
	refused(t, "ANOVA", err, "no group scatters at all: were the values copied, or read too coarsely?")
	_, err = ANOVA([][]float64{oilA}, nil)
	refused(t, "ANOVA", err, "an analysis of variance needs two groups or more, found 1")
	_, err = Grubbs(oilA)
	refused(t, "Grubbs", err, "a test for an outlier has 3 of the 5 values or more that it takes")
	_, err = Grubbs([]float64{5, 5, 5, 5, 5})
	refused(t, "Grubbs", err, "the values do not scatter: none is an outlier")
	_, err = ReplicatesNeeded(ByWelch, 1, 0)
	refused(t, "ReplicatesNeeded", err, "a scatter of 1 and a difference of 0: both must be more than zero, and no more than 100 times apart")
	if d := DifferenceShown(ByWelch, 1, 1); d != 0 {
		t.Errorf("without replicates a difference of %g is shown, want 0", d)
	}
	_, err = Polynomial([]float64{1, 1, 1}, oilA, 0, 1)
	refused(t, "Polynomial", err, "the points do not fix the polynomial: more of them, farther apart, or fewer powers")
	_, err = Polynomial(oilA, two, 0)
	refused(t, "Polynomial", err, "a polynomial of 1 powers through 3 x and 2 y: it needs powers, and points in pairs")
	flat := func(x float64, b []float64) float64 { return b[0] + b[1] }
	_, err = Curve(flat, oilA, oilB, []float64{1, 1})
	refused(t, "Curve", err, "the points do not fix the curve: more of them, farther apart, or a better start")
}

// Whatever the values, an outcome is finite or refused.
func TestAnyGroups(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		some := rapid.OneOf(rapid.Float64(), rapid.Float64Range(-100, 100), rapid.SampledFrom([]float64{0, 5, 5, 1e300, -1e300, 1e-300, math.NaN(), math.Inf(1)}))
		group := rapid.SliceOfN(some, 0, 6)
		a, b := group.Draw(t, "a"), group.Draw(t, "b")
		check := func(err error, x ...float64) {
			var r *quantity.RangeError
			if err != nil && !errors.As(err, &r) {
				t.Fatalf("%v is a %T", err, err)
			}
			if err == nil && bounded(x...) != nil {
				t.Fatalf("%v without a refusal", x)
			}
		}
		m, err := MeanOf(a)
		check(err, m.Mean, m.SD, m.Half)
		d, err := Welch(a, b)
		check(err, d.Difference, d.Half, d.T, d.DoF, d.P)
		v, err := ANOVA([][]float64{a, b}, nil)
		check(err, v.F, v.P, v.Between.SS, v.Within.SS)
		o, err := Grubbs(a)
		check(err, o.G, o.Critical)
		x, err := EffectsOf([]string{"f"}, [][]float64{a, b}, nil)
		check(err, x.SD, x.LeastSure)
		n := min(len(a), len(b))
		f, err := Polynomial(a[:n], b[:n], 0, 1)
		check(err, append(append(f.B, f.U...), f.S, f.SS)...)
		line := func(x float64, p []float64) float64 { return p[0] + p[1]*x }
		f, err = Curve(line, a[:n], b[:n], []float64{1, 1})
		check(err, append(append(f.B, f.U...), f.S, f.SS)...)
	})
}

func TestIntervalIsRefusedForTwo(t *testing.T) {
	m, err := MeanOf([]float64{92.4, 90.9})
	if err != nil {
		t.Fatal(err)
	}
	_, err = m.Interval()
	refused(t, "interval of two", err, "a group of 2: an interval needs 3 replicates or more; the values alone stand")
	if m, err = MeanOf([]float64{90, 90, 90}); err != nil {
		t.Fatal(err)
	}
	_, err = m.Interval()
	refused(t, "interval of copies", err, "a group that does not scatter has no interval")
	if m, err = MeanOf(oilA); err != nil {
		t.Fatal(err)
	}
	half, err := m.Interval()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "half interval", half, 3.01, 0.005, yields)
}

func TestPooled(t *testing.T) {
	var means []Mean
	for _, g := range [][]float64{{82.1, 83.5}, {89.8, 88.6}, {86.9, 85.5}, {94.3, 93.1}, {70}} { // one alone adds nothing
		m, err := MeanOf(g)
		if err != nil {
			t.Fatal(err)
		}
		means = append(means, m)
	}
	sd, dof := Pooled(means...)
	near(t, "pooled s", sd, 0.922, 0.0005, yields)
	if dof != 4 {
		t.Errorf("%d degrees of freedom, want 4 (%s)", dof, yields)
	}
	if sd, dof := Pooled(means[4]); sd != 0 || dof != 0 {
		t.Errorf("one value pools to %g with %d degrees of freedom, want nothing", sd, dof)
	}
}
