package method

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"example.org/meniscus/calc/quantity"
)

// A settlingFit is the least-squares curve V∞·(1 − e^(−(t−t₀)/τ)) through readings, with how far each reading moves
// each parameter.
type settlingFit struct {
	volume, delay, constant, scatter         float64
	byVolume, byDelay, byConstant, byScatter []float64
}

// A profileAt is the best curve a + b·e^(−s/τ) for a fixed τ, where s is the time since the first reading. It is linear
// in a and b, so that τ alone is left to search: one dimension, no starting values.
type profileAt struct {
	a, b, tau, sum float64   // sum of squared residuals
	e, r           []float64 // exponentials and residuals
	ok             bool
}

// at returns the profile at tau, in the same two slices as p.
func (p profileAt) at(tau float64, s, v []float64) profileAt {
	p.tau, p.sum = tau, 0
	for i := range s {
		p.e[i] = math.Exp(-s[i] / tau)
	}
	l, ok := fitLine(p.e, v)
	p.a, p.b, p.ok = l.intercept, l.slope, ok
	for i := range s {
		p.r[i] = v[i] - p.a - p.b*p.e[i]
		p.sum += p.r[i] * p.r[i]
	}
	return p
}

// slope returns the derivative of the sum of squares by τ, up to a positive factor; a and b are at their best, so only
// the direct dependence counts.
func (p profileAt) slope(s []float64) float64 {
	var g float64
	for i := range s {
		g += p.r[i] * p.e[i] * s[i]
	}
	return -p.b * g
}

// The search for τ: from a hundredth of the readings' span to thirty spans, in steps of 5 %.
const (
	shortest = 0.01
	longest  = 30
	stride   = 1.05
)

// fitSettling fits n readings v at increasing times t, n > 3.
func fitSettling(t, v []float64) (settlingFit, error) {
	s := make([]float64, len(t))
	for i := range t {
		s[i] = t[i] - t[0]
	}
	span := s[len(s)-1]
	p := profileAt{e: make([]float64, len(s)), r: make([]float64, len(s))}
	lo, hi, found := p.bracket(s, v, span)
	if !found {
		return settlingFit{}, &quantity.RangeError{Msg: "the lower layer shows no growth that levels off: go on reading"}
	}
	for i := 0; i < 200 && lo < hi; i++ {
		mid := lo + (hi-lo)/2
		if mid == lo || mid == hi {
			break
		}
		if p.at(mid, s, v).slope(s) > 0 {
			hi = mid
		} else {
			lo = mid
		}
	}
	p = p.at(lo, s, v)
	if err := p.sound(span); err != nil {
		return settlingFit{}, err
	}
	return p.sensitivities(t[0], s)
}

// sound refuses a curve that is no settling.
func (p profileAt) sound(span float64) error {
	if !p.ok || p.a <= 0 || p.b >= 0 {
		return &quantity.RangeError{Msg: "the lower layer does not grow: read its volume, not that of the upper layer"}
	}
	if span < leastSpan*p.tau {
		return &quantity.RangeError{Msg: fmt.Sprintf(
			"the readings span %.3g min, the time constant is about %.3g min: go on reading for %g time constants before the end can be told", span, p.tau, leastSpan)}
	}
	return nil
}

// refitSettling fits readings that lie near those for which the best τ is near, in a tenth of the steps: it looks for
// the slope's change of sign there, and closes in by false position (the Illinois rule). found is false where there is
// none, or where the curve is no settling: fitSettling then says what is wrong.
func refitSettling(t, v []float64, near float64) (p profileAt, found bool) {
	buffer := make([]float64, 3*len(t))
	s := buffer[:len(t)]
	for i := range t {
		s[i] = t[i] - t[0]
	}
	span := s[len(s)-1]
	p = profileAt{e: buffer[len(t) : 2*len(t)], r: buffer[2*len(t):]}
	slope := func(tau float64) float64 {
		p = p.at(tau, s, v)
		return p.slope(s)
	}
	lo, hi := near/stride, near*stride
	down, up := slope(lo), slope(hi)
	for i := 0; i < 20 && !(down < 0 && up > 0); i++ {
		switch {
		case down >= 0:
			lo, hi, up = lo/stride, lo, down
			down = slope(lo)
		default:
			lo, hi, down = hi, hi*stride, up
			up = slope(hi)
		}
	}
	if !(down < 0 && up > 0) {
		return p, false
	}
	for side, last := 0, 0.0; math.Abs(p.tau-last) > 1e-9*p.tau; {
		last = p.tau
		g := slope((lo*up - hi*down) / (up - down))
		if g > 0 {
			if hi, up = p.tau, g; side > 0 {
				down /= 2
			}
			side = 1
			continue
		}
		if lo, down = p.tau, g; side < 0 {
			up /= 2
		}
		side = -1
	}
	inside := p.tau > shortest*span*stride && p.tau*stride < longest*span
	return p, inside && p.sound(span) == nil
}

// values returns what the curve tells; first is the time of the first reading.
func (p profileAt) values(first float64) (volume, delay, scatter float64) {
	return p.a, first + p.tau*math.Log(-p.b/p.a), math.Sqrt(p.sum / float64(len(p.r)-3))
}

// bracket returns neighbours on the grid of τ between which the best one lies.
func (p profileAt) bracket(s, v []float64, span float64) (lo, hi float64, found bool) {
	best, least := 0.0, math.Inf(1)
	for tau := shortest * span; tau < longest*span; tau *= stride {
		if p = p.at(tau, s, v); p.ok && p.sum < least {
			best, least = tau, p.sum
		}
	}
	inside := best > shortest*span*stride && best*stride < longest*span
	return best / stride, best * stride, inside
}

// sensitivities completes the fit: each reading's effect on (a, b, τ) follows from the normal equations, with second
// derivatives, since at the best fit they hold for every set of readings. first is the time of the first reading.
func (p profileAt) sensitivities(first float64, s []float64) (settlingFit, error) {
	n := len(s)
	jac, hess := mat.NewDense(3, n, nil), mat.NewDense(3, 3, nil)
	for i, x := range s {
		e, u := p.e[i], x/(p.tau*p.tau)
		j := [3]float64{1, e, p.b * e * u}
		for k := range j {
			jac.Set(k, i, j[k])
			for l := range j {
				hess.Set(k, l, hess.At(k, l)+j[k]*j[l])
			}
		}
		cross, bend := p.r[i]*e*u, p.r[i]*p.b*e*(u*u-2*u/p.tau)
		hess.Set(1, 2, hess.At(1, 2)-cross)
		hess.Set(2, 1, hess.At(2, 1)-cross)
		hess.Set(2, 2, hess.At(2, 2)-bend)
	}
	var by mat.Dense
	if err := by.Solve(hess, jac); err != nil {
		return settlingFit{}, &quantity.RangeError{Msg: "the readings do not fix the settling curve: go on reading"}
	}
	ln := math.Log(-p.b / p.a)
	f := settlingFit{constant: p.tau}
	f.volume, f.delay, f.scatter = p.values(first)
	all := make([]float64, 4*n)
	f.byVolume, f.byDelay, f.byConstant, f.byScatter = all[:n], all[n:2*n], all[2*n:3*n], all[3*n:]
	for i := 0; i < n; i++ {
		da, db, dtau := by.At(0, i), by.At(1, i), by.At(2, i)
		f.byVolume[i], f.byConstant[i] = da, dtau
		f.byDelay[i] = dtau*ln + p.tau*(db/p.b-da/p.a)
		if f.scatter > 0 {
			f.byScatter[i] = p.r[i] / (float64(n-3) * f.scatter)
		}
	}
	return f, nil
}
