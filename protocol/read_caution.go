package protocol

import (
	"fmt"
	"slices"

	"example.org/meniscus/calc/reference"
)

func (l *loader) caution(path string, number int, keys map[string]any) {
	t := l.table(path, "caution", fmt.Sprintf("caution %d", number), keys)
	c := &Caution{Substance: t.text("substance")}
	for _, w := range t.statements() {
		if _, ok := reference.Statement(w.text); !ok {
			l.addIn(w, whole, fmt.Sprintf("%q is no hazard statement that is known here", w.text), `a code such as "H225", or say = "…"`)
			continue
		}
		c.Statements = append(c.Statements, w.text)
	}
	c.Say = t.sayIn("say", l.cautionScope())
	if !t.has("statement") && !t.has("say") {
		t.fault("the caution says nothing", `statement = "H225" or say = "…"`)
	}
	applies := t.list("applies")
	if items, ok := t.get("applies").([]any); ok && len(items) == 0 {
		t.faultAt("applies", "applies names no stage", "the stages, or leave it out for the whole run")
	}
	l.later = append(l.later, func() { c.Applies = l.stagesOf(applies) })
	l.p.Cautions = append(l.p.Cautions, c)
}

func (l *loader) cautionScope() scope { return scope{l: l, who: "a caution", readings: -1} }

// statements returns the codes, of which a single one may stand without a list.
func (t *table) statements() []words {
	if code, ok := t.get("statement").(string); ok {
		return []words{{t.pathOf("statement"), t.label, "statement", code}}
	}
	return t.list("statement")
}

// stagesOf returns the ids of stages that exist and reports the others.
func (l *loader) stagesOf(applies []words) []string {
	var out []string
	ids := l.stageIDs()
	for _, w := range applies {
		if !slices.Contains(ids, w.text) {
			l.addIn(w, whole, fmt.Sprintf("%s: there is no stage %q", w.key, w.text), oneOfThese(w.text, ids))
			continue
		}
		out = append(out, w.text)
	}
	return out
}
