package protocol

import (
	"fmt"
	"slices"
)

func (l *loader) caution(path string, number int, keys map[string]any) {
	t := l.table(path, "caution", fmt.Sprintf("caution %d", number), keys)
	c := &Caution{Say: t.sayIn("say", l.cautionScope())}
	if !t.has("say") {
		t.fault("the caution says nothing", `say = "…"; hazard statements go with what they are of: [[content]] with title and statement`)
	}
	applies := t.list("applies")
	if items, ok := t.get("applies").([]any); ok && len(items) == 0 {
		t.faultAt("applies", "applies names no stage", "the stages, or leave it out for the whole run")
	}
	l.later = append(l.later, func() { c.Applies = l.stagesOf(applies) })
	l.p.Cautions = append(l.p.Cautions, c)
}

func (l *loader) cautionScope() scope { return scope{l: l, who: "a caution", readings: -1} }

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
