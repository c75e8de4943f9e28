package protocol

import (
	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/reference"
)

// Stage returns the stage of that id, or nil.
func (p *Protocol) Stage(id string) *Stage {
	for _, s := range p.Stages {
		if s.ID == id {
			return s
		}
	}
	return nil
}

// Reading returns the reading of that id, or nil.
func (p *Protocol) Reading(id string) *Reading {
	r, _ := p.index[id].(*Reading)
	return r
}

// Given returns the given of that id, or nil.
func (p *Protocol) Given(id string) *Given {
	g, _ := p.index[id].(*Given)
	return g
}

// Amount returns the amount of that id, or nil.
func (p *Protocol) Amount(id string) *Amount {
	a, _ := p.index[id].(*Amount)
	return a
}

// Result returns the result of that id, or nil.
func (p *Protocol) Result(id string) *Result {
	r, _ := p.index[id].(*Result)
	return r
}

// typeOf returns what a formula knows of a name before there is a value, from what it was declared as; false for what
// the protocol does not declare, and for a reading that no formula can use (a word or a tick for each portion).
func typeOf(declared any) (formula.Type, bool) {
	switch d := declared.(type) {
	case *Given:
		return d.valueType(), true
	case *Amount:
		return numeric(d.Unit, d.IsList), true
	case *Reading:
		return d.valueType()
	case *Result:
		return numeric(d.Unit, d.IsList), true
	case reference.Profile:
		return formula.Type{Kind: formula.Text, Choices: []string{d.Name}, Rows: map[string]any{d.Name: d}}, true
	case shares:
		return formula.Type{Kind: formula.List}, true
	}
	return formula.Type{}, false
}

// shares is what STAGE.shares stands for in the index.
type shares struct{ stage *Stage }

func numeric(u quantity.Unit, list bool) formula.Type {
	if list {
		return formula.Type{Kind: formula.List, Unit: u}
	}
	return formula.Type{Kind: formula.Number, Unit: u}
}

func (g *Given) valueType() formula.Type {
	switch g.Kind {
	case GivenChoice:
		return formula.Type{Kind: formula.Text, Choices: g.Choices, Rows: g.Rows}
	case GivenText:
		return formula.Type{Kind: formula.Text}
	}
	return formula.Type{Kind: formula.Number, Unit: g.Value.Unit}
}

func (r *Reading) valueType() (formula.Type, bool) {
	switch r.Kind {
	case Number, Mark, Stopwatch:
		return numeric(r.Unit, r.IsList()), true
	case Series:
		return formula.Type{Kind: formula.Series, Unit: r.Unit}, true
	}
	if r.IsList() {
		return formula.Type{}, false
	}
	switch r.Kind {
	case Choice:
		return formula.Type{Kind: formula.Text, Choices: r.Choices}, true
	case Tick:
		return formula.Type{Kind: formula.Truth}, true
	}
	return formula.Type{Kind: formula.Text}, true
}

// CautionsFor returns the cautions that apply to a stage: its own, then those of the whole run, each in file order.
func (p *Protocol) CautionsFor(stage *Stage) []*Caution {
	var own, always []*Caution
	for _, c := range p.Cautions {
		switch {
		case len(c.Applies) == 0:
			always = append(always, c)
		case c.appliesTo(stage):
			own = append(own, c)
		}
	}
	return append(own, always...)
}

func (c *Caution) appliesTo(stage *Stage) bool {
	for _, id := range c.Applies {
		if id == stage.ID {
			return true
		}
	}
	return false
}
