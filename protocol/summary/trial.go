package summary

import (
	"slices"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// A weight is the effect of one source, by its number among those that are drawn.
type weight struct {
	source int
	amount float64
}

// An input is a value that a trial shifts: a reading or a given, or an amount that is rounded.
type input struct {
	base    formula.Value
	missing error
	weights [][]weight // of the number, or of each element of the list
}

// A trial holds the names of every vessel of a run on sheets, and the deviates that they share: as drawn, and as they
// shift the inputs. It serves one core.
type trial struct {
	number   int
	drawn    []float64
	deviates []float64
	sheets   map[string]*formula.Sheet // "" is the whole run
}

// inputs are what the trials of a run shift, by vessel and name, with the sources that are drawn for them.
type inputs struct {
	state   *run.State
	byName  map[string]map[string]*input // vessel -> name
	sources []quantity.Source
	number  map[quantity.Source]int
}

func inputsOf(s *run.State) *inputs {
	in := &inputs{state: s, byName: map[string]map[string]*input{}, number: map[quantity.Source]int{}}
	for _, v := range s.Vessels {
		values := s.Values(v.Label)
		names := map[string]*input{}
		for _, g := range s.Protocol.Givens {
			names[g.ID] = in.input(values.Value(g.ID))
		}
		for _, a := range s.Protocol.Amounts {
			if a.RoundTo != 0 {
				names[a.ID] = in.input(values.Value(a.ID))
			}
		}
		for _, st := range s.Protocol.Stages {
			name := st.ID + ".shares"
			names[name] = in.input(values.Value(name))
			for _, r := range st.Readings {
				names[r.ID] = in.input(values.Value(r.ID))
			}
		}
		in.byName[v.Label] = names
	}
	return in
}

func (in *inputs) input(v formula.Value, err error) *input {
	out := &input{base: v, missing: err}
	list := v.List
	if v.Kind == formula.Number {
		list = []quantity.Quantity{v.Number}
	}
	for _, q := range list {
		out.weights = append(out.weights, in.weigh(q.By))
	}
	return out
}

// weigh numbers the sources of effects.
func (in *inputs) weigh(by []quantity.Effect) []weight {
	out := make([]weight, 0, len(by))
	for _, e := range by {
		n, known := in.number[e.Source]
		if !known {
			n = len(in.sources)
			in.number[e.Source] = n
			in.sources = append(in.sources, e.Source)
		}
		out = append(out, weight{n, e.Amount})
	}
	return out
}

// trial returns the sheets of every vessel for one core.
func (in *inputs) trial() *trial {
	t := &trial{sheets: map[string]*formula.Sheet{}}
	p := in.state.Protocol
	whole := formula.NewSheet(&t.number)
	for i, v := range in.state.Vessels {
		sheet := formula.NewSheet(&t.number)
		for name, one := range in.byName[v.Label] {
			sheet.Input(name, one.base, one.missing, t.shift(one))
		}
		for _, a := range p.Amounts {
			if a.RoundTo == 0 {
				sheet.Formula(a.ID, a.Formula, a.Unit)
			}
		}
		for _, r := range p.Results {
			if !r.OfRun {
				sheet.Formula(r.ID, r.Formula, r.Unit)
			}
		}
		if i == 0 {
			shareGivens(p, whole, sheet)
		}
		t.sheets[v.Label] = sheet
		whole.Vessels = append(whole.Vessels, sheet)
	}
	for _, r := range p.Results {
		if r.OfRun {
			whole.Formula(r.ID, r.Formula, r.Unit)
		}
	}
	t.sheets[""] = whole
	return t
}

// shareGivens lets the whole run see the first vessel's givens and amounts; the loader lets it ask only for those that
// are alike in all vessels.
func shareGivens(p *protocol.Protocol, whole, first *formula.Sheet) {
	for _, g := range p.Givens {
		whole.Share(g.ID, first)
	}
	for _, a := range p.Amounts {
		whole.Share(a.ID, first)
	}
}

// shift returns what moves the numbers of an input by its sources' errors; nil when it has none.
func (t *trial) shift(one *input) func(x []float64) {
	if !slices.ContainsFunc(one.weights, func(w []weight) bool { return len(w) > 0 }) {
		return nil
	}
	return func(x []float64) {
		for i, weights := range one.weights {
			for _, w := range weights {
				x[i] += w.amount * t.deviates[w.source]
			}
		}
	}
}

// begin starts the next trial, in which some sources leave the inputs as they are.
func (t *trial) begin(drawn []float64, still []int) {
	t.number++
	t.drawn, t.deviates = drawn, append(t.deviates[:0], drawn...)
	for _, i := range still {
		t.deviates[i] = 0
	}
}
