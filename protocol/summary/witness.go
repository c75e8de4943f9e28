package summary

import (
	"slices"
	"strings"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/protocol/run"
)

// A witness gives names to the results of the whole run and remembers, for each, which vessels it had to do without.
type witness struct {
	s      *run.State
	values formula.Values
	known  map[string]*testimony
	now    []*testimony // of the results that are being worked out, the innermost last
}

type testimony struct {
	value   formula.Value
	err     error
	without []absence
}

// An absence is a vessel, counted from 0, and why it is left out.
type absence struct {
	vessel int
	why    error
}

func newWitness(s *run.State) *witness {
	return &witness{s: s, values: s.RunValues(), known: map[string]*testimony{}}
}

// Vessels implements formula.VesselValues.
func (w *witness) Vessels() []formula.Values {
	if all, ok := w.values.(formula.VesselValues); ok {
		return all.Vessels()
	}
	return nil
}

// Value implements formula.Values. What an earlier result of the run did without, one that uses it does without too.
func (w *witness) Value(name string) (formula.Value, error) {
	r := w.s.Protocol.Result(name)
	if r == nil || !r.OfRun {
		return w.values.Value(name)
	}
	t, ok := w.known[name]
	if !ok {
		t = &testimony{}
		w.known[name] = t
		w.now = append(w.now, t)
		t.value, t.err = r.Formula.EvalIn(w, r.Unit)
		w.now = w.now[:len(w.now)-1]
	}
	for _, a := range t.without {
		w.LeftOut(a.vessel, a.why)
	}
	return t.value, t.err
}

// LeftOut implements formula.Witness.
func (w *witness) LeftOut(vessel int, why error) {
	if len(w.now) == 0 {
		return
	}
	t := w.now[len(w.now)-1]
	if !slices.ContainsFunc(t.without, func(a absence) bool { return a.vessel == vessel }) {
		t.without = append(t.without, absence{vessel, why})
	}
}

// without says which vessels a result does without, and why; "" when none.
func (w *witness) without(result string) string {
	t := w.known[result]
	if t == nil {
		return ""
	}
	slices.SortFunc(t.without, func(a, b absence) int { return a.vessel - b.vessel })
	var out []string
	for _, a := range t.without {
		v := w.s.Vessels[a.vessel]
		_, said := why(w.s.Protocol, v, a.why)
		out = append(out, "Without vessel "+v.Label+": "+strings.TrimRight(said, ".")+".")
	}
	return strings.Join(out, " ")
}
