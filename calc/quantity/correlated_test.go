package quantity

import (
	"math"
	"testing"
)

// correlated returns the means of simultaneous readings with the covariance of the means, laid on independent sources
// "1", "2", "3" by its Cholesky factor.
func correlated(units []Unit, x [][]float64) []Quantity {
	n, p := float64(len(x[0])), len(x)
	mean, l := make([]float64, p), make([][]float64, p)
	for i := range x {
		for _, v := range x[i] {
			mean[i] += v / n
		}
	}
	out := make([]Quantity, p)
	for i := range x {
		l[i] = make([]float64, p)
		out[i] = Exact(mean[i], units[i])
		for k := 0; k <= i; k++ {
			var c float64
			for j := range x[i] {
				c += (x[i][j] - mean[i]) * (x[k][j] - mean[k]) / (n * (n - 1))
			}
			for j := 0; j < k; j++ {
				c -= l[i][j] * l[k][j]
			}
			if l[i][k] = math.Sqrt(math.Max(c, 0)); k < i {
				l[i][k] = c / l[k][k]
			}
			out[i] = out[i].With(Source{Name: string(rune('1' + k)), DoF: n - 1}, l[i][k])
		}
	}
	return out
}

func correlation(a, b Quantity) (r float64) {
	for _, e := range a.By {
		for _, f := range b.By {
			if e.Source == f.Source {
				r += e.Amount * f.Amount / (a.U() * b.U())
			}
		}
	}
	return r
}

// Means that are correlated, through R = V cos φ/I, X = V sin φ/I, Z = V/I.
func TestSimultaneousReadings(t *testing.T) {
	const source = "JCGM 100:2008, H.2, approach 1: r(V,I) -0.36, r(V,phi) 0.86, r(I,phi) -0.65; R 127.732 u 0.071, X 219.847 u 0.295, Z 254.260 u 0.236; r(R,X) -0.588, r(R,Z) -0.485, r(X,Z) 0.993"
	must := must(t)
	q := correlated([]Unit{unit(t, "V"), unit(t, "mA"), One}, [][]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999}, {19.663, 19.639, 19.640, 19.685, 19.678}, {1.0456, 1.0438, 1.0468, 1.0428, 1.0433},
	})
	v, i, phi := q[0], q[1], q[2]
	z := must(must(Div(v, i)).To(unit(t, "Ohm")))
	cos := must(phi.Map(One, func(x float64) (float64, float64) { return math.Cos(x), -math.Sin(x) }))
	sin := must(phi.Map(One, func(x float64) (float64, float64) { return math.Sin(x), math.Cos(x) }))
	r, x := must(Mul(z, cos)), must(Mul(z, sin))
	for _, tt := range []struct {
		what              string
		got, want, within float64
	}{
		{"r(V,I)", correlation(v, i), -0.36, 0.005}, {"r(V,phi)", correlation(v, phi), 0.86, 0.005}, {"r(I,phi)", correlation(i, phi), -0.65, 0.005},
		{"R", r.Value, 127.732, 0.0005}, {"X", x.Value, 219.847, 0.0005}, {"Z", z.Value, 254.260, 0.0005},
		{"u(R)", r.U(), 0.071, 0.0005}, {"u(X)", x.U(), 0.2956, 0.0005}, {"u(Z)", z.U(), 0.236, 0.0005}, // X is 0.2956, printed 0.295
		{"r(R,X)", correlation(r, x), -0.588, 0.0005}, {"r(R,Z)", correlation(r, z), -0.485, 0.0005}, {"r(X,Z)", correlation(x, z), 0.993, 0.0006},
	} {
		if !near(tt.got, tt.want, tt.within) {
			t.Errorf("%s = %.5f, want %g (%s)", tt.what, tt.got, tt.want, source)
		}
	}
}
