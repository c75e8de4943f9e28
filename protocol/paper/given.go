package paper

import (
	"errors"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// given is a given as the file sets it.
type given struct {
	line  int
	typed string
}

// given files a row that sets a given; one that all vessels have in common is set once for all.
func (r *reader) given(w row, g *protocol.Given) {
	one := given{w.line, visible(w.value)}
	if g.Kind == protocol.GivenNumber {
		val, ok := r.givenNumber(w, g)
		if !ok {
			return
		}
		one.typed = val
	}
	if one.typed == "" {
		r.fault(w.line, "a value, or leave the row out", "the given %s has no value", g.ID)
		return
	}
	into := r.givens[w.vessel]
	if !g.PerVessel {
		into = r.shared
	}
	if before, again := into[g.ID]; again && (g.PerVessel || before.typed != one.typed) {
		whose := "all vessels"
		if g.PerVessel {
			whose = "vessel " + w.vessel
		}
		r.fault(w.line, "it once", "the given %s of %s stands in line %d already", g.ID, whose, before.line)
		return
	}
	into[g.ID] = one
}

// givenNumber returns the text that sets g, in g's unit.
func (r *reader) givenNumber(w row, g *protocol.Given) (string, bool) {
	if w.value == "" {
		return "", true
	}
	val, ok := r.number(w, g.ID, g.Value.Unit)
	if !ok {
		return "", false
	}
	return quantity.Plain(val.number, -1), true
}

// begun returns the first fact of the run; givens that are out of bounds are faults.
func (r *reader) begun() run.Begun {
	b := run.Begun{Run: r.o.Run, Program: r.o.Program, File: r.p.File, Protocol: string(r.p.Text),
		Instruments: r.o.Instruments, Zone: r.times.zone}
	for _, label := range r.labels {
		set := map[string]string{}
		for id, one := range r.shared {
			set[id] = one.typed
		}
		for id, one := range r.givens[label] {
			set[id] = one.typed
		}
		if _, err := r.p.Scale(set); err != nil {
			r.refused(label, err)
		}
		b.Vessels = append(b.Vessels, run.VesselBegun{Label: label, Givens: set})
	}
	return b
}

// refused tells why a vessel's givens cannot be, each fault at the line that sets the given.
func (r *reader) refused(label string, err error) {
	var several interface{ Unwrap() []error }
	if errors.As(err, &several) {
		for _, one := range several.Unwrap() {
			r.refused(label, one)
		}
		return
	}
	var g *protocol.GivenError
	if !errors.As(err, &g) {
		r.fault(r.first[label], "", "vessel %s: %v", label, err)
		return
	}
	one, own := r.givens[label][g.ID]
	if !own {
		if one = r.shared[g.ID]; label != r.labels[0] {
			return // told with the first vessel
		}
	}
	r.fault(one.line, "", "%v", err)
}
