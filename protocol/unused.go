package protocol

import "fmt"

// unused warns of the givens and readings that nothing in the file uses: one that was meant in a formula and is not
// there leaves the formula to something else. What vessels are compared by, texts and ticks are for the record by their
// nature; the others say in record what they are kept for.
func (l *loader) unused() Errors {
	warn := func(t *table, id, remedy string) {
		if !l.used[id] && !t.has("record") {
			l.add(l.x.place(t.pathOf("id")).value, fmt.Sprintf("warning: %s: nothing uses it", t.label), remedy)
		}
	}
	const record = `record = "what it is kept for", or leave it out`
	for _, g := range l.p.Givens {
		if !g.PerVessel && g.Kind != GivenText {
			warn(l.blocks[g], g.ID, "per_vessel = true where vessels are compared by it, "+record)
		}
	}
	for _, s := range l.p.Stages {
		for _, r := range s.Readings {
			if r.Kind != FreeText && r.Kind != Tick {
				warn(l.blocks[r], r.ID, record)
			}
		}
	}
	warnings, _ := l.errors().(Errors)
	return warnings
}
