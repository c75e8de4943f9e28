package quantity

import (
	"math"
	"testing"
)

// Tolerance: half of the last digit that the table prints.
func TestCoverageFactor(t *testing.T) {
	const table = "JCGM 100:2008, Table G.2, column 95 %, from memory"
	tests := []struct {
		dof, want, half float64
		source          string
	}{
		{1, 12.71, 0.005, table}, {2, 4.30, 0.005, table}, {3, 3.18, 0.005, table}, {4, 2.78, 0.005, table}, {5, 2.57, 0.005, table},
		{10, 2.23, 0.005, table}, {20, 2.09, 0.005, table}, {50, 2.01, 0.005, table}, {Known(), 1.960, 0.0005, table},
		{10.9, 2.2035, 0.0015, table + ", interpolated between 10 and 11, 2.228 and 2.201 to three decimals (G.4.1)"}, {1 / (1 / 49.0), 2.01, 0.005, "between the rows 45 and 50 of " + table},
		{0.4, 12.71, 0.005, table + ", never below one"}, {1e15, 1.960, 0.0005, table + ", infinitely many"}, {math.NaN(), 1.960, 0.0005, "no degrees of freedom are known ones"},
	}
	for _, tt := range tests {
		if got := CoverageFactor(tt.dof); !near(got, tt.want, tt.half) {
			t.Errorf("CoverageFactor(%g) = %.4f, want %g (%s)", tt.dof, got, tt.want, tt.source)
		}
	}
}

func TestEndGaugeDegreesOfFreedom(t *testing.T) {
	const source = "JCGM 100:2008, H.1: uc = 32 nm, nu_eff = 16; components as printed there"
	d := Exact(215, unit(t, "nm")).With(Source{Name: "repeat", DoF: 24}, 5.8).With(Source{Name: "random", DoF: 5}, 3.9).With(Source{Name: "systematic", DoF: 8}, 6.7)
	if !near(d.U(), 9.7, 0.05) || !near(d.DoF(), 25.6, 0.2) { // the guide rounds u to 9.7 before it takes the fourth power
		t.Errorf("comparison: u = %.2f, nu = %.2f, want 9.7 and 25.6 (%s)", d.U(), d.DoF(), source)
	}
	l := d.With(Source{Name: "standard", DoF: 18}, 25).With(Source{Name: "expansion", DoF: 50}, 2.9).With(Source{Name: "temperature", DoF: 2}, 16.6)
	if !near(l.U(), 31.67, 0.1) || math.Floor(l.DoF()) != 16 || !near(l.DoF(), 16.8, 0.2) {
		t.Errorf("length: uc = %.2f, nu_eff = %.2f, want 31.7 and 16.8, cut to 16 (%s)", l.U(), l.DoF(), source)
	}
}

func TestRelativeDegreesOfFreedom(t *testing.T) {
	const source = "JCGM 100:2008, G.4.1, example, from memory: uc/y = 1.03 %, nu_eff = 19.0, U/y = 2.2 %"
	must := must(t)
	x1 := Ratio(2).With(Source{Name: "x1", DoF: 9}, 2*0.0025)
	x2 := Ratio(3).With(Source{Name: "x2", DoF: 4}, 3*0.0057)
	x3 := Ratio(5).With(Source{Name: "x3", DoF: 14}, 5*0.0082)
	y := must(Mul(must(Mul(x1, x2)), x3))
	expanded, k := y.Expanded()
	if !near(100*y.U()/y.Value, 1.03, 0.005) || !near(y.DoF(), 19.0, 0.05) || !near(k, 2.09, 0.015) || !near(100*expanded/y.Value, 2.2, 0.05) {
		t.Errorf("uc %.4f %%, nu_eff %.3f, k %.3f, U %.3f %% (%s)", 100*y.U()/y.Value, y.DoF(), k, 100*expanded/y.Value, source)
	}
}

func TestCalibrationStandard(t *testing.T) {
	const source = "Eurachem/CITAC QUAM, 3rd ed. 2012, A1: 1002.7 mg/L, u 0.835; V 0.667, m 0.500, P 0.058; u(V) 0.066 mL"
	must := must(t)
	mL := unit(t, "mL")
	m := Exact(100.28, unit(t, "mg")).With(normal("m"), 0.05)
	p := Ratio(0.9999).With(normal("P"), Rectangular.HalfWidth(0.0001))
	v := Exact(100, mL).With(normal("V/flask"), Triangular.HalfWidth(0.1)).With(normal("V/repeat"), 0.02).With(normal("V/temperature"), Rectangular.HalfWidth(0.084))
	c := must(must(Div(must(Mul(m, p)), v)).To(unit(t, "mg/L")))
	if !near(v.U(), 0.066, 0.0005) || !near(c.Value, 1002.7, 0.05) || !near(c.U(), 0.835, 0.001) {
		t.Errorf("u(V) = %.4f, c = %.3f, u = %.4f (%s)", v.U(), c.Value, c.U(), source)
	}
	contribution(t, c, 0.667, 0.001, source, "V/flask", "V/repeat", "V/temperature")
	contribution(t, c, 0.500, 0.0005, source, "m")
	contribution(t, c, 0.058, 0.0005, source, "P")
}

func TestAlkaliStandardisation(t *testing.T) {
	const source = "Eurachem/CITAC QUAM, 3rd ed. 2012, A2: 0.102136 mol/L, u 0.000101; V 7.47e-5, repeatability 5.11e-5, m 3.22e-5, P 2.95e-5, M 1.9e-6"
	must := must(t)
	g, mL, gmol := unit(t, "g"), unit(t, "mL"), unit(t, "g/mol")
	weighing := Rectangular.HalfWidth(0.00015)
	m := Exact(0.3888, g).With(normal("m/tare"), weighing).With(normal("m/gross"), weighing)
	p := Ratio(1).With(normal("P"), Rectangular.HalfWidth(0.0005))
	v := Exact(18.64, mL).With(normal("V/burette"), Triangular.HalfWidth(0.03)).With(normal("V/temperature"), 0.006)
	repeat := Ratio(1).With(normal("repeat"), 0.0005)
	molar := Exact(0, gmol)
	for _, e := range []struct {
		symbol          string
		n, weight, half float64
	}{{"C", 8, 12.0107, 0.0008}, {"H", 5, 1.00794, 0.00007}, {"O", 4, 15.9994, 0.0003}, {"K", 1, 39.0983, 0.0001}} {
		atom := Exact(e.weight, gmol).With(normal("M/"+e.symbol), Rectangular.HalfWidth(e.half))
		molar = must(Add(molar, must(Mul(Ratio(e.n), atom))))
	}
	if !near(molar.Value, 204.2212, 0.00005) || !near(molar.U(), 0.0038, 0.00005) {
		t.Errorf("M = %.4f, u = %.5f, want 204.2212 and 0.0038 (%s)", molar.Value, molar.U(), source)
	}
	c := must(Mul(must(Div(must(Mul(m, p)), must(Mul(molar, v)))), repeat))
	c = must(c.To(unit(t, "mol/L")))
	if !near(c.Value, 0.102136, 5e-7) || !near(c.U(), 0.000101, 7e-7) {
		t.Errorf("c = %.7f, u = %.7f (%s)", c.Value, c.U(), source)
	}
	contribution(t, c, 7.47e-5, 1e-7, source, "V/burette", "V/temperature")
	contribution(t, c, 5.11e-5, 1e-7, source, "repeat")
	contribution(t, c, 3.22e-5, 1.5e-7, source, "m/gross", "m/tare")
	contribution(t, c, 2.95e-5, 1e-7, source, "P")
	contribution(t, c, 1.9e-6, 0.5e-7, source, "M/C", "M/H", "M/O", "M/K")
	if b := c.Budget(); b[0].Source != "V/burette" || !near(sumOfShares(b), 1, 1e-12) {
		t.Errorf("budget %v: want the burette first and shares that make 1", b)
	}
}

// contribution checks the joint contribution of some sources to q.
func contribution(t *testing.T, q Quantity, want, tolerance float64, source string, names ...string) {
	t.Helper()
	var squares float64
	for _, s := range q.Budget() {
		for _, n := range names {
			if s.Source == n {
				squares += s.Contribution * s.Contribution
			}
		}
	}
	if got := math.Sqrt(squares); !near(got, want, tolerance) {
		t.Errorf("contribution of %v = %.4g, want %g (%s)", names, got, want, source)
	}
}

func sumOfShares(shares []Share) float64 {
	var sum float64
	for _, s := range shares {
		sum += s.Share
	}
	return sum
}

func TestNoUncertainty(t *testing.T) {
	q := Exact(5, unit(t, "g")).With(normal("a"), 0)
	if u, k := q.Expanded(); u != 0 || !near(k, 1.960, 0.0005) || !math.IsInf(q.DoF(), 1) || q.Budget() != nil {
		t.Errorf("U = %g, k = %g, nu = %g, budget %v", u, k, q.DoF(), q.Budget())
	}
	if q := Ratio(1).With(Source{Name: "a"}, 0.1); !math.IsInf(q.DoF(), 1) || q.By[0].Source != normal("a") {
		t.Errorf("degrees of freedom that are not set: %v", q.By)
	}
}

func TestHalfWidth(t *testing.T) {
	for _, tt := range []struct {
		shape  Shape
		want   float64
		source string
	}{
		{Rectangular, 0.5774, "JCGM 100:2008, 4.3.7: a/sqrt(3)"}, {Triangular, 0.4082, "JCGM 100:2008, 4.3.9: a/sqrt(6)"}, {Normal, 1, "by definition"},
	} {
		if got := tt.shape.HalfWidth(1); !near(got, tt.want, 0.00005) {
			t.Errorf("HalfWidth of shape %d = %.5f, want %g (%s)", tt.shape, got, tt.want, tt.source)
		}
	}
}
