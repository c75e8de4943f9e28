package run

import "example.org/meniscus/calc/formula"

// RunValues gives names to the results of the whole run: the vessels one by one to across(), the first vessel's givens
// by name, and earlier results of the run.
//
// Like Values, it keeps what it has worked out: make a new one after an event.
func (s *State) RunValues() formula.Values {
	return &runValues{s: s, known: map[string]formula.Value{}}
}

type runValues struct {
	s       *State
	known   map[string]formula.Value
	vessels []formula.Values
}

func (x *runValues) Vessels() []formula.Values {
	if x.vessels == nil {
		for _, v := range x.s.Vessels {
			x.vessels = append(x.vessels, x.s.Values(v.Label))
		}
	}
	return x.vessels
}

func (x *runValues) Value(name string) (formula.Value, error) {
	r := x.s.Protocol.Result(name)
	if r == nil || !r.OfRun {
		return x.s.Vessels[0].Sheet.Value(name)
	}
	if val, ok := x.known[name]; ok {
		return val, nil
	}
	val, err := r.Formula.EvalIn(x, r.Unit)
	if err == nil {
		x.known[name] = val
	}
	return val, err
}
