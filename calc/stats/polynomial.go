package stats

import (
	"math"
	"math/big"
)

// A Fit holds parameters by least squares.
type Fit struct {
	B  []float64 // parameters
	U  []float64 // their standard uncertainties from the scatter
	S  float64   // standard deviation about the curve
	SS float64   // sum of squared residuals
}

// precision is the number of bits in which the normal equations are solved. They square the condition of the problem,
// and a polynomial of degree ten has one of 1e15; with this many bits nothing is lost but the last bit of the inputs.
const precision = 512

// Polynomial fits y = Σ b[i]·x^powers[i] by the normal equations in long arithmetic. It needs more points than powers;
// powers are from 0 to 20.
func Polynomial(x, y []float64, powers ...int) (Fit, error) {
	n, p := len(x), len(powers)
	for _, v := range [][]float64{x, y} {
		if err := sound("a polynomial", v, p+1); err != nil {
			return Fit{}, err
		}
	}
	if len(y) != n || p == 0 {
		return Fit{}, refuse("a polynomial of %d powers through %d x and %d y: it needs powers, and points in pairs", p, n, len(y))
	}
	for _, k := range powers {
		if k < 0 || k > 20 {
			return Fit{}, refuse("a polynomial with the power %d: it takes powers from 0 to 20", k)
		}
	}
	b, inverse, err := solve(normal(x, y, powers))
	if err != nil {
		return Fit{}, err
	}
	var fit Fit
	ss := long(0)
	for i := range x {
		r := long(y[i])
		for j, k := range powers {
			r.Sub(r, long(0).Mul(b[j], raise(x[i], k)))
		}
		ss.Add(ss, r.Mul(r, r))
	}
	fit.SS, _ = ss.Float64()
	fit.S = math.Sqrt(fit.SS / float64(n-p))
	for j := range b {
		value, _ := b[j].Float64()
		variance, _ := inverse[j].Float64()
		fit.B, fit.U = append(fit.B, value), append(fit.U, fit.S*math.Sqrt(variance))
		if err := bounded(value, fit.U[j]); err != nil {
			return Fit{}, err
		}
	}
	return fit, nil
}

func long(x float64) *big.Float { return new(big.Float).SetPrec(precision).SetFloat64(x) }

func raise(x float64, n int) *big.Float {
	out, by := long(1), long(x)
	for range n {
		out.Mul(out, by)
	}
	return out
}

// normal returns the rows of the normal equations: their matrix, its identity beside it, and the right-hand side.
func normal(x, y []float64, powers []int) [][]*big.Float {
	p := len(powers)
	rows := make([][]*big.Float, p)
	for j := range rows {
		rows[j] = make([]*big.Float, 2*p+1)
		for k := range rows[j] {
			rows[j][k] = long(0)
		}
		rows[j][p+j] = long(1)
	}
	a := make([]*big.Float, p)
	for i := range x {
		for j, k := range powers {
			a[j] = raise(x[i], k)
		}
		for j := range a {
			for k := range a {
				rows[j][k].Add(rows[j][k], long(0).Mul(a[j], a[k]))
			}
			rows[j][2*p].Add(rows[j][2*p], long(0).Mul(a[j], long(y[i])))
		}
	}
	return rows
}

// solve reduces the rows to the solution and the diagonal of the inverse (Gauss and Jordan, the largest pivot first).
func solve(rows [][]*big.Float) (b, inverse []*big.Float, err error) {
	p := len(rows)
	for j := range rows {
		best := j
		for i := j + 1; i < p; i++ {
			if long(0).Abs(rows[i][j]).Cmp(long(0).Abs(rows[best][j])) > 0 {
				best = i
			}
		}
		rows[j], rows[best] = rows[best], rows[j]
		pivot := rows[j][j]
		if long(0).Abs(pivot).Cmp(long(0).SetMantExp(scaleOf(rows, j), -dustBits)) <= 0 {
			return nil, nil, refuse("the points do not fix the polynomial: more of them, farther apart, or fewer powers")
		}
		for k := len(rows[j]) - 1; k >= j; k-- {
			rows[j][k] = long(0).Quo(rows[j][k], pivot)
		}
		for i := range rows {
			if i == j {
				continue
			}
			f := rows[i][j]
			for k := j; k < len(rows[i]); k++ {
				rows[i][k] = long(0).Sub(rows[i][k], long(0).Mul(f, rows[j][k]))
			}
		}
	}
	for j := range rows {
		b, inverse = append(b, rows[j][2*p]), append(inverse, rows[j][p+j])
	}
	return b, inverse, nil
}

// dustBits is how far below the largest right part of its row a pivot counts as zero.
const dustBits = 400

// scaleOf returns the largest number that stands right of the pivot in row j.
func scaleOf(rows [][]*big.Float, j int) *big.Float {
	largest := long(0)
	for _, v := range rows[j][j:] {
		if a := long(0).Abs(v); a.Cmp(largest) > 0 {
			largest = a
		}
	}
	return largest
}
