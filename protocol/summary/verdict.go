package summary

import (
	"example.org/meniscus/calc/formula"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// verdicts returns the sentences on r whose condition holds. One whose condition has no value is not said.
func verdicts(s *run.State, vessel string, r *protocol.Result, values formula.Values) []string {
	var out []string
	for _, v := range s.Protocol.Verdicts {
		if v.Result != r {
			continue
		}
		if got, err := v.When.Eval(values); err == nil && got.Kind == formula.Truth && got.Truth {
			out = append(out, v.Say.Fill(figures{s, vessel}, 0))
		}
	}
	return out
}

// figures shows names in what is said beside a result: results of the run with their uncertainty, anything else as its vessel has it, the
// first one where it is said of the whole run.
type figures struct {
	s      *run.State
	vessel string
}

// Show implements protocol.Shower.
func (f figures) Show(name string, portion int) (string, bool) {
	if r := f.s.Protocol.Result(name); r != nil && r.OfRun {
		val, err := f.s.Result("", r)
		return val.Number.Text(), err == nil && val.Kind == formula.Number
	}
	label := f.vessel
	if label == "" && len(f.s.Vessels) > 0 {
		label = f.s.Vessels[0].Label
	}
	return f.s.Values(label).Show(name, portion)
}
