package protocol

import (
	"fmt"
	"regexp"
	"slices"
	"sort"
	"strings"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/reference"
)

// shape is what an id may look like.
type shape struct {
	pattern *regexp.Regexp
	says    string
}

var (
	anyID  = shape{regexp.MustCompile(`^[a-z][a-z0-9_-]{0,63}$`), "small letters, digits, _ and -"}
	nameID = shape{regexp.MustCompile(`^[a-z][a-z0-9_]{0,63}$`), "small letters, digits and _, so that formulas can name it"}
)

func (s shape) fits(id string) bool {
	return s.pattern.MatchString(id) && !slices.Contains(reserved, id)
}

// reserved are the words of the formula grammar.
var reserved = []string{"and", "or", "not", "if", "across", "true", "false"}

// spell returns what the id could be written as, in quotes; "an id" when there is nothing to go by.
func (s shape) spell(id string) string {
	if right, ok := s.spelt(id); ok {
		return fmt.Sprintf("%q", right)
	}
	return "an id"
}

// spelt returns the id as it fits; false when there is nothing to go by.
func (s shape) spelt(id string) (string, bool) {
	id = strings.Trim(regexp.MustCompile(`[^a-z0-9_-]+`).ReplaceAllString(strings.ToLower(strings.TrimSpace(id)), "_"), "_-")
	if s.pattern == nameID.pattern {
		id = strings.ReplaceAll(id, "-", "_")
	}
	return id, s.fits(id)
}

// orSpelt is the id as it fits, and as it stands where there is nothing to go by. What mentions it is held against the
// way in which it is to be written, so that no message asks for the other one.
func (s shape) orSpelt(id string) string {
	if right, ok := s.spelt(id); ok {
		return right
	}
	return id
}

// id returns the block's id; a bad one is reported and returned as it is to be written.
func (t *table) id(s shape) string {
	id := t.required("id", "name_of_it")
	switch {
	case id == "" || s.fits(id):
	case slices.Contains(reserved, id):
		t.faultAt("id", fmt.Sprintf("id = %q is a word of formulas", id), "another id")
	default:
		t.faultAt("id", fmt.Sprintf("id = %q: an id begins with a small letter and has %s", id, s.says), s.spell(id))
		return s.orSpelt(id)
	}
	return id
}

// declaration is a name that formulas and texts may use.
type declaration struct {
	what   any    // *Given, *Amount, *Reading, *Result, reference.Profile or shares
	kind   string // given, amount, ...
	line   int
	broken bool // its own declaration is wrong: whoever mentions it is not to blame
}

// declare makes a name known.
func (l *loader) declare(t *table, id, kind string, what any) *declaration {
	at := l.x.place(t.pathOf("id"))
	if kind == "profile" || kind == "stage" {
		at = l.x.place(t.path)
	}
	line, _ := l.x.lineCol(at.key)
	d := &declaration{what: what, kind: kind, line: line}
	l.blocks[blockKey(what)] = t
	if first, taken := l.names[id]; taken {
		first.broken = true // whoever mentions it may mean either
		l.add(at.value, fmt.Sprintf("%s: the name %q is taken by the %s in line %d", t.label, id, first.kind, first.line), "another name")
		return d
	}
	if id != "" {
		l.names[id] = d
		l.p.index[id] = what
	}
	return d
}

// blockKey is what a declared thing is found by; a profile has no pointer.
func blockKey(what any) any {
	if p, ok := what.(reference.Profile); ok {
		return p.Name
	}
	return what
}

// scope tells which names a formula or a text may use, and is what formula.Check asks.
type scope struct {
	l        *loader
	who      string // "an amount", for messages
	readings int    // readings of stages before this number; a negative one: none, with the reason in who
	results  int    // so many of the results
	run      bool   // from all vessels: no reading, no vessel's result, no given of its own
}

// everyReading is the number of stages in a scope that sees them all.
const everyReading = 1 << 30

// refuses returns why a declared name cannot be used here, "" when it can.
func (s scope) refuses(name string, d *declaration) string {
	switch what := d.what.(type) {
	case *Reading:
		return s.refusesReading(name, what)
	case *Result:
		return s.refusesResult(name, what)
	case *Given:
		if s.run && what.PerVessel {
			return fmt.Sprintf("%s has a value for each vessel: %s takes across(…)", name, s.who)
		}
	case *Amount:
		if s.run && s.l.perVessel(what, 0) {
			return fmt.Sprintf("%s has a value for each vessel: %s takes across(%s)", name, s.who, name)
		}
	}
	return ""
}

func (s scope) refusesResult(name string, r *Result) string {
	i := s.l.resultNumber(r)
	switch {
	case s.results == 0 && s.readings < 0:
		return fmt.Sprintf("%s is a result, which comes later: %s uses givens and amounts only", name, s.who)
	case s.results == 0:
		return s.refusesEarly(name, r)
	case i == s.results:
		return fmt.Sprintf("%s is worked out here and cannot use itself", name)
	case i > s.results:
		return fmt.Sprintf("%s stands further down: a result uses earlier ones, so move this one below it", name)
	case s.run && !r.OfRun:
		return fmt.Sprintf("%s has a value for each vessel: %s takes across(%s)", name, s.who, name)
	}
	return ""
}

// refusesEarly tells why a result cannot be used while the run goes on: it needs what is read later.
func (s scope) refusesEarly(name string, r *Result) string {
	if r.OfRun {
		return fmt.Sprintf("%s needs every vessel: it has no value before the end of the run", name)
	}
	if r.Formula == nil {
		return ""
	}
	for _, id := range s.l.readingsIn(r.Formula.Names(), nil, map[string]bool{name: true}) {
		if reading, ok := s.l.names[id].what.(*Reading); ok && reading.Stage.Number >= s.readings {
			return fmt.Sprintf("%s needs %s, which is read in stage %q, later than %s", name, id, reading.Stage.ID, s.who)
		}
	}
	return ""
}

func (s scope) refusesReading(name string, r *Reading) string {
	_, usable := r.valueType()
	switch {
	case s.run:
		return fmt.Sprintf("%s has a value for each vessel: %s takes across(%s)", name, s.who, name)
	case s.readings < 0:
		return fmt.Sprintf("%s is a reading, which comes later: %s uses givens and amounts only", name, s.who)
	case r.Stage.Number >= s.readings:
		return fmt.Sprintf("%s is read in stage %q, later than %s", name, r.Stage.ID, s.who)
	case !usable:
		return fmt.Sprintf("%s is %s for each portion, and a formula has lists of numbers only", name, kindNames[r.Kind])
	}
	return ""
}

// Type implements formula.Names.
func (s scope) Type(name string) (formula.Type, bool) {
	d, ok := s.l.names[name]
	if !ok || d.broken || s.refuses(name, d) != "" {
		return formula.Type{}, false
	}
	return typeOf(d.what)
}

// Known implements formula.KnownNames: every name that can be used here.
func (s scope) Known() []string {
	var out []string
	for name, d := range s.l.names {
		if s.refuses(name, d) == "" {
			out = append(out, name)
		}
	}
	sort.Strings(out)
	return out
}

// runScope is the scope of a result of the run; inside across stand the names of a vessel.
type runScope struct{ scope }

// VesselNames implements formula.VesselNames.
func (s runScope) VesselNames() formula.Names {
	inner := s.scope
	inner.run = false
	return inner
}

// forCheck returns the scope as what a formula is checked with.
func (s scope) forCheck() formula.Names {
	if s.run {
		return runScope{s}
	}
	return s
}

func (l *loader) resultNumber(r *Result) int {
	for i, other := range l.p.Results {
		if other == r {
			return i + 1
		}
	}
	return len(l.p.Results) + 1
}

// perVessel tells whether an amount depends on a given that each vessel has of its own.
func (l *loader) perVessel(a *Amount, depth int) bool {
	if a.Formula == nil || depth > len(l.p.Amounts) {
		return false
	}
	for _, name := range a.Formula.Names() {
		d := l.names[name]
		if d == nil {
			continue
		}
		switch what := d.what.(type) {
		case *Given:
			if what.PerVessel {
				return true
			}
		case *Amount:
			if l.perVessel(what, depth+1) {
				return true
			}
		}
	}
	return false
}

func (l *loader) stageIDs() []string {
	out := make([]string, 0, len(l.p.Stages))
	for _, s := range l.p.Stages {
		out = append(out, s.ID)
	}
	return out
}
