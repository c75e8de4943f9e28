package stats

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"
)

// LeastErrorDoF is how many degrees of freedom the scatter needs before a test that takes one scatter for all values
// says anything: as many as two groups of three have when one value is lost.
const LeastErrorDoF = 3

// A Term is a part of a linear model: columns with a number for each value. It may hold none.
type Term [][]float64

// Members returns the term that gives each of the members, numbered from 0, a mean of its own: a column for each but
// the first, against which the others are held.
func Members(of []int) Term {
	var t Term
	for m := 1; m <= slices.Max(of); m++ {
		column := make([]float64, len(of))
		for i, is := range of {
			if is == m {
				column[i] = 1
			}
		}
		t = append(t, column)
	}
	return t
}

// A Part is one line of an analysis of variance.
type Part struct {
	DoF    int
	SS, MS float64
}

func part(dof int, ss float64) Part {
	p := Part{DoF: dof, SS: ss}
	if dof > 0 {
		p.MS = ss / float64(dof)
	}
	return p
}

// A Model is the fit of a constant and of terms by least squares. The values need no balance, and columns may depend on
// one another: what can not be told apart is refused when it is asked for.
type Model struct {
	Terms []Part // what each term explains beyond those before it
	Error Part   // what is left

	first   []int       // of each term: its first column
	columns []fitted    // of all terms
	onto    []float64   // the values' part along each direction
	along   [][]float64 // directions at right angles to each other, of length 1
}

// fitted is a column as a sum of directions. Own is the number of the direction that came with it; -1 for none: it
// depends on the columns before it.
type fitted struct {
	onto []float64
	own  int
}

// Linear fits y by least squares: directions at right angles are made of the columns one after the other (Gram and
// Schmidt, each column put through twice, which keeps the angles right to the last digits).
func Linear(y []float64, terms ...Term) (Model, error) {
	if err := sound("a linear model", y, 1); err != nil {
		return Model{}, err
	}
	var m Model
	rest := centred(y)
	left := len(y) - 1
	for _, t := range terms {
		m.first = append(m.first, len(m.columns))
		before := len(m.along)
		for _, column := range t {
			if err := sound("a column of a linear model", column, len(y)); err != nil {
				return Model{}, err
			}
			m.add(column)
		}
		var ss float64
		for _, q := range m.along[before:] {
			z := floats.Dot(q, rest)
			floats.AddScaled(rest, -z, q)
			m.onto = append(m.onto, z)
			ss += z * z
		}
		m.Terms = append(m.Terms, part(len(m.along)-before, ss))
		left -= len(m.along) - before
	}
	rest = centred(rest)
	ss := floats.Dot(rest, rest)
	if dust := 1e-14 * floats.Norm(y, math.Inf(1)); ss <= float64(len(y))*dust*dust {
		ss = 0 // the last digits of the values
	}
	m.Error = part(left, ss)
	return m, bounded(m.Error.SS)
}

func centred(x []float64) []float64 {
	out := slices.Clone(x)
	floats.AddConst(-average(x), out)
	return out
}

// add takes a column apart.
func (m *Model) add(column []float64) {
	const dust = 1e-9 // of the column's length
	rest := centred(column)
	length := floats.Norm(rest, 2)
	f := fitted{onto: make([]float64, len(m.along)), own: -1}
	for range 2 {
		for k, q := range m.along {
			z := floats.Dot(q, rest)
			floats.AddScaled(rest, -z, q)
			f.onto[k] += z
		}
	}
	if own := floats.Norm(rest, 2); own > dust*length {
		floats.Scale(1/own, rest)
		f.own = len(m.along)
		f.onto = append(f.onto, own)
		m.along = append(m.along, rest)
	}
	m.columns = append(m.columns, f)
}

// A Contrast is what a sum of coefficients comes to.
type Contrast struct {
	Value, U float64 // U is the standard uncertainty from the scatter
	DoF      int
	Half     float64 // half of the 95 % interval
	P        float64 // chance of such a value or one farther from zero when the sum is none
}

var errNotApart = refuse("the values do not tell it apart from the rest")

// Contrast returns the sum of a term's coefficients with these weights; errNotApart where the values do not tell it.
func (m Model) Contrast(term int, weights ...float64) (Contrast, error) {
	want := make([]float64, len(m.columns))
	copy(want[m.first[term]:], weights)
	along := make([]float64, len(m.along)) // the sum as a weight of each direction
	for j, f := range m.columns {
		left := want[j]
		for k, z := range f.onto {
			if k != f.own {
				left -= z * along[k]
			}
		}
		switch {
		case f.own >= 0:
			along[f.own] = left / f.onto[f.own]
		case math.Abs(left) > 1e-9*floats.Norm(weights, 1):
			return Contrast{}, errNotApart
		}
	}
	c := Contrast{DoF: m.Error.DoF, P: 1}
	for k, w := range along {
		c.Value += w * m.onto[k]
	}
	if m.Error.MS > 0 {
		c.U = math.Sqrt(m.Error.MS) * floats.Norm(along, 2)
		c.Half = quantile(float64(c.DoF)) * c.U
		c.P = bothTails(c.Value/c.U, float64(c.DoF))
	}
	return c, bounded(c.Value, c.U, c.Half, c.P)
}

// F returns the F test of a term against the error, and the chance of such an F or a larger one when the term does
// nothing.
func (m Model) F(term int) (f, p float64, err error) {
	t := m.Terms[term]
	f = t.MS / m.Error.MS
	if err := bounded(f); err != nil {
		return 0, 0, err
	}
	p = distuv.F{D1: float64(t.DoF), D2: float64(m.Error.DoF)}.Survival(f)
	return f, p, bounded(p)
}

// testable refuses a model of blocks and of so many groups that leaves too little for the scatter of its n values.
func (m Model) testable(n, groups int, what, stands string) error {
	if m.Error.DoF < LeastErrorDoF {
		in := fmt.Sprintf("%d %s", groups, what)
		if blocks := m.Terms[0].DoF; blocks > 0 {
			in += fmt.Sprintf(" and %d blocks", blocks+1)
		}
		return refuse("%d values in %s leave %d degrees of freedom for the scatter: a test needs %d or more; %s", n, in, m.Error.DoF, LeastErrorDoF, stands)
	}
	if m.Error.SS == 0 {
		return refuse("no %s scatters at all: were the values copied, or read too coarsely?", strings.TrimSuffix(what, "s"))
	}
	return nil
}
