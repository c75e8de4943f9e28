package plan

import (
	"fmt"
	"strings"

	"example.org/meniscus/protocol"
)

// mostLettered is how many vessels a number may ask for.
const mostLettered = 26

// ReadCase reads a bare case; file is the name that errors use. The error is of type protocol.Errors and holds every fault
// of the file, in file order.
func ReadCase(file string, text []byte) (*Problem, error) {
	bare, err := protocol.ReadBare(file, text)
	if err != nil {
		return nil, err
	}
	r := &caseReader{bare: bare, p: &Problem{Operators: 1}, labelled: map[string]bool{}}
	r.file(&block{bare: bare, keys: bare.Keys})
	if err := bare.Errors(); err != nil {
		return nil, err
	}
	if err := r.p.Check(); err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	return r.p, nil
}

// caseKeys are the keys of each kind of block.
var caseKeys = map[string][]string{
	"file":   {"operators", "vessels", "capacity", "step", "wait", "hold", "break", "vessel"},
	"vessel": {"label", "step", "wait", "hold"},
	"step":   {"id", "title", "hands", "operators", "uses"},
	"wait":   {"from", "to", "at_least", "aim", "at_most"},
	"hold":   {"resource", "from", "to"},
	"break":  {"from", "to"},
}

// IsCase tells whether a text is meant for a case, sound or not: it has steps, and no stages as a protocol has.
func IsCase(text []byte) bool {
	bare, err := protocol.ReadBare("", text)
	return err == nil && !isProtocol(bare.Keys) && (bare.Keys["step"] != nil || bare.Keys["vessel"] != nil)
}

// isProtocol tells a protocol from a case: only protocols have stages.
func isProtocol(keys map[string]any) bool { return keys["stage"] != nil || keys["protocol"] != nil }

// A caseReader collects a problem.
type caseReader struct {
	bare *protocol.Bare
	p    *Problem
	uses []mention // of resources, in file order

	labelled map[string]bool // labels of vessels so far
}

// A mention is a resource with where it is named.
type mention struct{ path, resource string }

func (r *caseReader) file(b *block) {
	if isProtocol(b.keys) {
		r.bare.Fault("", "this is a protocol and no case", "meniscus plan with the file alone, without --case")
		return
	}
	b.known("file")
	r.p.Operators = b.whole("operators", 1, 1, 99)
	capacity := b.table("capacity")
	for _, name := range sorted(capacity.keys) {
		capacity.printable(capacity.at(name), name)
		if n := capacity.whole(name, 1, 1, 999); n > 0 {
			r.p.Places = append(r.p.Places, Place{name, n})
		}
	}
	for _, br := range b.blocks("break", "break") {
		from, to := br.minutes("from", true), br.minutes("to", true)
		if br.sound && to <= from {
			br.fault("to", fmt.Sprintf("the break ends at %s and begins at %s", br.spelt("to"), br.spelt("from")), "an end after its beginning")
		}
		r.p.Breaks = append(r.p.Breaks, Interval{from, to})
	}
	labels := r.labels(b)
	kind := r.kind(b)
	for _, label := range labels {
		v := kind
		v.Label = label
		r.p.Vessels = append(r.p.Vessels, v)
	}
	for _, own := range b.blocks("vessel", "vessel") {
		label := own.text("label", true)
		r.distinct(own.at("label"), label)
		v := r.kind(own)
		if v.Label = label; len(v.Steps) == 0 {
			own.fault("", "vessel "+label+" has no step", "[[vessel.step]] with id and hands below it")
		}
		r.p.Vessels = append(r.p.Vessels, v)
	}
	if len(r.p.Vessels) == 0 && b.keys["vessels"] == nil {
		b.fault("", "there is no step", "[[step]] with id and hands")
	}
	r.capacities(capacity, b.keys["capacity"] != nil)
}

// labels reads vessels: a number, or a list of labels.
func (r *caseReader) labels(b *block) []string {
	var out []string
	const write = "vessels = 3, or vessels = [ \"A\", \"B\" ]"
	switch v := b.keys["vessels"].(type) {
	case nil:
		if b.keys["step"] == nil {
			return nil
		}
		out = []string{"A"}
		r.distinct("", "A")
	case []any:
		for i, item := range v {
			path := protocol.PathOf("vessels", i)
			label, ok := item.(string)
			if !ok {
				r.bare.Fault(path, "the label of a vessel is "+r.bare.Found(path, item)+", not a text", write)
				continue
			}
			(&block{bare: r.bare}).printable(path, label)
			r.distinct(path, label)
			out = append(out, label)
		}
		if len(v) == 0 {
			b.fault("vessels", "vessels is an empty list", write)
		}
	default:
		for i := range b.whole("vessels", 0, 1, mostLettered) {
			out = append(out, string(rune('A'+i)))
			r.distinct("", out[i])
		}
	}
	if b.keys["step"] == nil {
		b.fault("vessels", "vessels is told and there is no step", "[[step]] with id and hands")
	}
	return out
}

// distinct refuses a label that is taken.
func (r *caseReader) distinct(path, label string) {
	if label != "" && r.labelled[label] {
		r.bare.Fault(path, fmt.Sprintf("the label %q of a vessel is taken", label), "another one")
	}
	r.labelled[label] = true
}

// capacities holds what is used against the places that are told: where some are, all are to be.
func (r *caseReader) capacities(b *block, told bool) {
	if !told {
		return
	}
	names, known := sorted(b.keys), map[string]bool{}
	var mentioned []string
	for _, m := range r.uses {
		if known[m.resource] && b.keys[m.resource] != nil {
			continue
		}
		if !known[m.resource] {
			known[m.resource], mentioned = true, append(mentioned, m.resource)
		}
		if b.keys[m.resource] != nil {
			continue
		}
		remedy := m.resource + " = 1 below [capacity]"
		if near := nearestOf(m.resource, names); near != "" {
			remedy = fmt.Sprintf("%q, or %s", near, remedy)
		}
		r.bare.Fault(m.path, fmt.Sprintf("%q is not among the capacities", m.resource), remedy)
	}
	for _, name := range names {
		if known[name] {
			continue
		}
		remedy := "a step or hold that uses it, or leave it out"
		if near := nearestOf(name, mentioned); near != "" {
			remedy = near + ", or " + remedy
		}
		r.bare.FaultOfKey(b.at(name), "no step and no hold uses "+name, remedy)
	}
}

// nearestOf is the name that was probably meant. Of very many, the first ones are looked at.
func nearestOf(word string, names []string) string {
	return protocol.Nearest(word, names[:min(len(names), 100)])
}

// follow lists for each step those to which a wait leads.
func (v Vessel) follow() [][]int {
	next := make([][]int, len(v.Steps))
	for _, w := range v.Waits {
		next[w.From] = append(next[w.From], w.To)
	}
	return next
}

// leads tells whether waits lead from one step to another, through one or more.
func leads(next [][]int, from, to int) bool {
	seen := make([]bool, len(next))
	for open := []int{from}; len(open) > 0; {
		last := open[len(open)-1]
		open = open[:len(open)-1]
		for _, step := range next[last] {
			if step == to {
				return true
			}
			if !seen[step] {
				seen[step] = true
				open = append(open, step)
			}
		}
	}
	return false
}

// circle names the steps that wait for each other in a round, nil when there are none.
func (v Vessel) circle() []string {
	next := v.follow()
	for i := range v.Steps {
		if !leads(next, i, i) {
			continue
		}
		var out []string
		for j := range v.Steps {
			if j == i || leads(next, i, j) && leads(next, j, i) {
				out = append(out, v.Steps[j].ID)
			}
		}
		return out
	}
	return nil
}

func quoted(names []string) string {
	out := make([]string, len(names))
	for i, n := range names {
		out[i] = fmt.Sprintf("%q", n)
	}
	return strings.Join(out, ", ")
}
