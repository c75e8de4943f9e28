package formula

import (
	"math"

	"example.org/meniscus/calc/quantity"
)

// A Sheet holds the names of a vessel, or of a whole run, as plain numbers in one trial after another: without units,
// uncertainties, or the reason why one has no value. Formulas are compiled for it, once. It serves one goroutine.
type Sheet struct {
	Vessels []*Sheet // of a whole run

	trial *int
	cells map[string]*Cell
	works map[string]*work
}

// NewSheet returns an empty sheet; trial counts the trials, from 1.
func NewSheet(trial *int) *Sheet {
	return &Sheet{trial: trial, cells: map[string]*Cell{}, works: map[string]*work{}}
}

// A Cell is what one name stands for.
type Cell struct {
	sheet   *Sheet
	compile func() compiled // nil when that is done, or under way
	is      compiled
	trial   int // the one that number and list are of
	number  float64
	list    []float64
}

// A work is the outcome of what functions share, in one trial.
type work struct {
	trial       int
	first, done any
}

// Input names a value that comes from outside, or that is missing. shift moves its numbers, which are handed in as they
// are in v, to where they lie in this trial; it is nil where no trial differs.
func (s *Sheet) Input(name string, v Value, err error, shift func(x []float64)) {
	s.cells[name] = &Cell{sheet: s, compile: func() compiled {
		if v.Kind != Number && len(v.List) > 0 && err == nil {
			v, err = v.as(v.Kind, v.List[0].Unit)
		}
		if err != nil {
			return none(v.Kind, v.Number.Unit)
		}
		p := always(v)
		if shift == nil {
			return p
		}
		base := v.numbers()
		x := make([]float64, len(base))
		p.fixed = false
		p.list = func() []float64 {
			copy(x, base)
			shift(x)
			return x
		}
		p.number = func() float64 { return p.list()[0] }
		return p
	}}
}

// Formula names a value that is worked out, with its numbers in the unit u.
func (s *Sheet) Formula(name string, f *Formula, u quantity.Unit) {
	s.cells[name] = &Cell{sheet: s, compile: func() compiled {
		if f.plan == nil {
			return none(Number, u)
		}
		p := compile(f.plan, s)
		return p.as(p.kind, u)
	}}
}

// Share names what is on another sheet.
func (s *Sheet) Share(name string, other *Sheet) {
	if c := other.cells[name]; c != nil {
		s.cells[name] = c
	}
}

// Cell returns what a name stands for, with the formulas behind it compiled; nil for a name that is not there.
func (s *Sheet) Cell(name string) *Cell {
	c := s.cells[name]
	if c == nil || c.compile == nil {
		return c
	}
	compile := c.compile
	c.compile, c.is = nil, none(Number, quantity.One) // while it is compiled a cell has no value for itself
	c.is = compile().folded()
	return c
}

// Fixed tells whether the cell is the same in every trial.
func (c *Cell) Fixed() bool { return c.is.fixed }

// At returns the number, or the element i of a list, in this trial; NaN when there is none.
func (c *Cell) At(i int) float64 {
	c.work()
	switch {
	case c.is.kind == Number:
		return c.number
	case i >= 0 && i < len(c.list):
		return c.list[i]
	}
	return math.NaN()
}

// work works the cell out, once in a trial.
func (c *Cell) work() {
	if c.trial == *c.sheet.trial {
		return
	}
	c.trial = *c.sheet.trial
	switch c.is.kind {
	case Number, Truth:
		c.number = c.is.number()
	case List, Series:
		c.list = c.is.list()
	}
}

// plain returns the cell as a part of a formula.
func (c *Cell) plain() compiled {
	p := c.is
	if p.fixed {
		return p
	}
	p.number = func() float64 {
		c.work()
		return c.number
	}
	p.list = func() []float64 {
		c.work()
		return c.list
	}
	return p
}

// shared does a function's work, or takes up what was done of it in this trial.
func (s *Sheet) shared(key string, w *Work, args []Value) any {
	k := s.works[key]
	if k == nil {
		k = &work{}
		s.works[key] = k
	}
	switch {
	case k.first == nil:
		k.first = w.Do(args)
		k.done = k.first
	case k.trial == *s.trial:
		return k.done
	case w.Again != nil:
		k.done = w.Again(args, k.first)
	default:
		k.done = w.Do(args)
	}
	k.trial = *s.trial
	return k.done
}
