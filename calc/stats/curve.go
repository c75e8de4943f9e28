package stats

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Curve fits y = f(x, b) by least squares with the damped steps of Levenberg and Marquardt from the parameters start;
// derivatives are taken by central differences. It needs more points than parameters. A bad start may end in a refusal,
// or in a minimum that is not the lowest.
func Curve(f func(x float64, b []float64) float64, x, y, start []float64) (Fit, error) {
	n, p := len(x), len(start)
	for _, v := range [][]float64{x, y} {
		if err := sound("a curve", v, p+1); err != nil {
			return Fit{}, err
		}
	}
	if err := sound("the start of a curve", start, 1); err != nil {
		return Fit{}, err
	}
	if len(y) != n {
		return Fit{}, refuse("a curve through %d x and %d y: it needs points in pairs", n, len(y))
	}
	c := curve{f, x, y, append([]float64{}, start...), mat.NewVecDense(n, nil), mat.NewDense(n, p, nil), make([]float64, p)}
	if math.IsNaN(c.at(c.b)) {
		return Fit{}, refuse("the curve has no value at its start")
	}
	return c.search()
}

type curve struct {
	f    func(x float64, b []float64) float64
	x, y []float64
	b    []float64
	r    *mat.VecDense // residuals y - f at b
	jac  *mat.Dense
	size []float64 // the greatest length that each column of jac has had
}

// at returns the sum of squared residuals at b and keeps the residuals; NaN where there is none.
func (c *curve) at(b []float64) float64 {
	var sum float64
	for i, x := range c.x {
		r := c.y[i] - c.f(x, b)
		c.r.SetVec(i, r)
		sum += r * r
	}
	if math.IsInf(sum, 0) {
		return math.NaN()
	}
	return sum
}

func (c *curve) derivatives() {
	b := append([]float64{}, c.b...)
	for j := range b {
		h := 6e-6 * math.Max(math.Abs(b[j]), 1e-6) // the cube root of the rounding
		for i, x := range c.x {
			b[j] = c.b[j] + h
			up := c.f(x, b)
			b[j] = c.b[j] - h
			c.jac.Set(i, j, (up-c.f(x, b))/(2*h))
		}
		b[j] = c.b[j]
	}
}

const (
	mostSteps = 2000
	settled   = 1e-14 // relative step at which the search ends
	stiffest  = 1e25  // damping at which no step helps
)

func (c *curve) search() (Fit, error) {
	sum := c.at(c.b)
	damping := 1e-2
	for range mostSteps {
		c.at(c.b)
		c.derivatives()
		next, least, step := c.step(sum, &damping)
		if next == nil {
			break
		}
		c.b, sum = next, least
		if step < settled {
			break
		}
	}
	return c.finish()
}

// finish returns the fit at b, whose normal matrix is RᵀR of the scaled derivatives.
func (c *curve) finish() (Fit, error) {
	fit := Fit{SS: c.at(c.b)}
	c.derivatives()
	scale := c.scaled()
	n, p := c.jac.Dims()
	fit.S = math.Sqrt(fit.SS / float64(n-p))
	var qr mat.QR
	qr.Factorize(c.jac)
	var r, inverse mat.Dense
	qr.RTo(&r)
	const singular = 1e14
	if k := qr.Cond(); math.IsNaN(k) || k > singular || inverse.Inverse(r.Slice(0, p, 0, p)) != nil {
		return Fit{}, refuse("the points do not fix the curve: more of them, farther apart, or a better start")
	}
	for i, b := range c.b {
		fit.B, fit.U = append(fit.B, b), append(fit.U, fit.S*mat.Norm(inverse.RowView(i), 2)/scale[i])
		if err := bounded(b, fit.U[i]); err != nil {
			return Fit{}, err
		}
	}
	return fit, nil
}

// isCondition tells a warning about lost digits from a matrix without an inverse.
func isCondition(err error) bool {
	c, ok := err.(mat.Condition)
	return ok && !math.IsInf(float64(c), 1)
}

// scaled divides each column of the derivatives by its length, which it returns.
func (c *curve) scaled() []float64 {
	scale := make([]float64, len(c.b))
	for j := range scale {
		if scale[j] = mat.Norm(c.jac.ColView(j), 2); !(scale[j] > 0) {
			scale[j] = 1
		}
		for i := range c.x {
			c.jac.Set(i, j, c.jac.At(i, j)/scale[j])
		}
	}
	return scale
}

// step returns better parameters with their sum of squares and the relative length of the step; nil when none is better.
// The damped problem is solved by QR of the derivatives with √damping below them, which keeps the digits that the normal
// equations would lose.
func (c *curve) step(sum float64, damping *float64) (next []float64, least, length float64) {
	n, p := c.jac.Dims()
	scale := c.scaled()
	for j := range scale {
		c.size[j] = math.Max(c.size[j], scale[j])
	}
	a, rhs := mat.NewDense(n+p, p, nil), mat.NewVecDense(n+p, nil)
	a.Slice(0, n, 0, p).(*mat.Dense).Copy(c.jac)
	rhs.SliceVec(0, n).(*mat.VecDense).CopyVec(c.r)
	for ; *damping < stiffest; *damping *= 4 {
		for j := range p {
			a.Set(n+j, j, math.Sqrt(*damping)*c.size[j]/scale[j])
		}
		var d mat.VecDense
		if err := d.SolveVec(a, rhs); err != nil && !isCondition(err) {
			continue
		}
		next, length = make([]float64, p), 0
		for j := range next {
			move := d.AtVec(j) / scale[j]
			next[j] = c.b[j] + move
			length = math.Max(length, math.Abs(move)/(math.Abs(c.b[j])+math.SmallestNonzeroFloat32))
		}
		if least = c.at(next); least <= sum {
			*damping = math.Max(*damping/10, 1e-20)
			return next, least, length
		}
	}
	return nil, sum, 0
}
