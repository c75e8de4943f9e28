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

// A slot is what one name stands for in one vessel or in the whole run.
type slot struct {
	input   *input
	formula *formula.Formula // of a result or an amount that is worked out anew in each trial
	unit    quantity.Unit
	fixed   bool // no source reaches it, so every trial has the same value
	trial   int  // the trial that value and err are of
	busy    bool
	value   formula.Value
	err     error
	list    []quantity.Quantity // room for a shifted list
}

// trialNames gives one vessel's names, or those of the whole run, as they are in one trial. Inputs are shifted by the
// deviates of their sources and then exact, so a formula sees the errors themselves and no derivative.
type trialNames struct {
	t       *trial
	slots   map[string]*slot
	kept    map[string]*kept
	called  map[*formula.Call]*formula.Called
	vessels []formula.Values // of the whole run
}

// A kept is the outcome of work that functions share, in one trial.
type kept struct {
	trial       int
	first, done any
}

// A trial holds the deviates that all names of a run share: as drawn, and as they shift the inputs.
type trial struct {
	number   int
	drawn    []float64
	deviates []float64
	vessels  map[string]*trialNames // "" is the whole run
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

// trial returns the names of every vessel for one core.
func (in *inputs) trial() *trial {
	t := &trial{vessels: map[string]*trialNames{}}
	p := in.state.Protocol
	whole := &trialNames{t: t, slots: map[string]*slot{}, kept: map[string]*kept{}, called: map[*formula.Call]*formula.Called{}}
	for i, v := range in.state.Vessels {
		names := &trialNames{t: t, slots: map[string]*slot{}, kept: map[string]*kept{}, called: map[*formula.Call]*formula.Called{}}
		for name, one := range in.byName[v.Label] {
			names.slots[name] = &slot{input: one}
		}
		for _, a := range p.Amounts {
			if a.RoundTo == 0 {
				names.slots[a.ID] = &slot{formula: a.Formula, unit: a.Unit}
			}
		}
		for _, r := range p.Results {
			if !r.OfRun {
				names.slots[r.ID] = &slot{formula: r.Formula, unit: r.Unit}
			}
		}
		for name := range names.slots {
			names.fix(name, len(names.slots))
		}
		if i == 0 {
			whole.givens(p, names)
		}
		t.vessels[v.Label] = names
		whole.vessels = append(whole.vessels, names)
	}
	for _, r := range p.Results {
		if r.OfRun {
			whole.slots[r.ID] = &slot{formula: r.Formula, unit: r.Unit}
		}
	}
	t.vessels[""] = whole
	return t
}

// givens lets the whole run see the first vessel's givens and amounts; the loader lets it ask only for those that are
// alike in all vessels.
func (n *trialNames) givens(p *protocol.Protocol, first *trialNames) {
	for _, g := range p.Givens {
		n.slots[g.ID] = first.slots[g.ID]
	}
	for _, a := range p.Amounts {
		n.slots[a.ID] = first.slots[a.ID]
	}
}

// fix finds out whether a name of a vessel is the same in every trial; depth bounds how far formulas name one another.
func (n *trialNames) fix(name string, depth int) bool {
	s := n.slots[name]
	switch {
	case s == nil || depth < 0:
		return false
	case s.fixed:
		return true
	case s.input != nil:
		s.fixed = !slices.ContainsFunc(s.input.weights, func(w []weight) bool { return len(w) > 0 })
	default:
		s.fixed = !slices.ContainsFunc(s.formula.Names(), func(used string) bool { return !n.fix(used, depth-1) })
	}
	return s.fixed
}

// begin starts the next trial, in which some sources leave the inputs as they are.
func (t *trial) begin(drawn []float64, still []int) {
	t.number++
	t.drawn, t.deviates = drawn, append(t.deviates[:0], drawn...)
	for _, i := range still {
		t.deviates[i] = 0
	}
}

// Vessels implements formula.VesselValues.
func (n *trialNames) Vessels() []formula.Values { return n.vessels }

// Keep implements formula.Keeper: the names hold the same all through a trial.
func (n *trialNames) Keep(key string, do func(first any) any) any {
	k := n.kept[key]
	if k == nil {
		k = &kept{}
		n.kept[key] = k
	}
	if k.trial != n.t.number {
		k.done, k.trial = do(k.first), n.t.number
		if k.first == nil {
			k.first = k.done
		}
	}
	return k.done
}

// Called implements formula.Sampler. A name that is not known is a word of the formula itself.
func (n *trialNames) Called(call *formula.Call, names []string) *formula.Called {
	c := n.called[call]
	if c == nil {
		c = &formula.Called{Constant: names != nil && !slices.ContainsFunc(names, func(name string) bool {
			return n.slots[name] != nil && !n.fix(name, len(n.slots))
		})}
		n.called[call] = c
	}
	return c
}

// Value implements formula.Values.
func (n *trialNames) Value(name string) (formula.Value, error) {
	s := n.slots[name]
	switch {
	case s == nil:
		return formula.Value{}, &formula.MissingError{Name: name}
	case s.trial == n.t.number || s.fixed && s.trial > 0:
		return s.value, s.err
	case s.busy:
		return formula.Value{}, &quantity.RangeError{Msg: name + " needs itself"}
	}
	s.busy = true
	if s.input != nil {
		s.value, s.err = s.shifted(n.t.deviates)
	} else {
		s.value, s.err = s.formula.EvalIn(n, s.unit)
	}
	s.trial, s.busy = n.t.number, false
	return s.value, s.err
}

// shifted returns the input as it is in this trial.
func (s *slot) shifted(z []float64) (formula.Value, error) {
	v := s.input.base
	if s.input.missing != nil {
		return v, s.input.missing
	}
	if v.Kind == formula.Number {
		v.Number = shift(v.Number, s.input.weights[0], z)
		return v, nil
	}
	s.list = s.list[:0]
	for i, q := range v.List {
		s.list = append(s.list, shift(q, s.input.weights[i], z))
	}
	v.List = s.list
	return v, nil
}

// shift returns q moved by its sources' errors, and exact.
func shift(q quantity.Quantity, weights []weight, z []float64) quantity.Quantity {
	x := q.Value
	for _, w := range weights {
		x += w.amount * z[w.source]
	}
	return quantity.Exact(x, q.Unit)
}
