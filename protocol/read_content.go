package protocol

import (
	"fmt"
	"slices"

	"example.org/meniscus/calc/reference"
)

func (l *loader) content(path string, number int, keys map[string]any) {
	t := l.table(path, "content", fmt.Sprintf("content %d", number), keys)
	c := &Content{Title: t.required("title", "catalyst solution"), Parts: t.parts()}
	codes := reference.MixtureStatements(c.Parts)
	for _, w := range t.statements() {
		if _, ok := reference.Statement(w.text); !ok {
			l.addIn(w, whole, fmt.Sprintf("%q is no hazard statement that is known here", w.text), `a code such as "H225"`)
			continue
		}
		codes = append(codes, w.text)
	}
	c.Statements = reference.Together(codes)
	if !t.has("parts") && !t.has("statement") {
		t.fault("the content says neither what it is made of nor its hazard statements",
			`parts = { ethanol = 97.3, KOH = 2.1 } in percent by mass, or statement = "H225"`)
	}
	c.Say = t.sayIn("say", l.cautionScope())
	from, hasFrom := t.words("from")
	until, hasUntil := t.words("until")
	l.later = append(l.later, func() {
		c.From, c.Until = 0, len(l.p.Stages)-1
		if hasFrom {
			c.From = l.stageNumber(from, c.From)
		}
		if hasUntil {
			c.Until = l.stageNumber(until, c.Until)
		}
		if c.From > c.Until && hasUntil {
			l.addIn(until, whole, fmt.Sprintf("until = %q comes before from = %q", until.text, from.text), "the two the other way round")
		}
	})
	l.p.Contents = append(l.p.Contents, c)
}

// stageNumber returns the place of a stage that a key names; otherwise is returned where there is none of that id.
func (l *loader) stageNumber(w words, otherwise int) int {
	if len(l.stagesOf([]words{w})) == 0 {
		return otherwise
	}
	return slices.Index(l.stageIDs(), w.text)
}

// statements returns the codes, of which a single one may stand without a list.
func (t *table) statements() []words {
	if code, ok := t.get("statement").(string); ok {
		return []words{{t.pathOf("statement"), t.label, "statement", code}}
	}
	return t.list("statement")
}

// parts returns what a content is made of, in the order of the file.
func (t *table) parts() []reference.Part {
	const example = "parts = { ethanol = 97.3, KOH = 2.1 }"
	keys, isTable := t.get("parts").(map[string]any)
	if !isTable {
		if t.has("parts") {
			t.wrong("parts", "a table", example)
		}
		return nil
	}
	inner := &table{l: t.l, path: t.pathOf("parts"), label: t.label, keys: keys}
	var out []reference.Part
	var sum float64
	for _, id := range inner.inOrder() {
		percent, ok := inner.number(id)
		if _, err := reference.FindSubstance(id); err != nil {
			inner.faultAt(id, err.Error(), "")
			continue
		}
		if ok && !(percent > 0 && percent <= 100) {
			inner.faultAt(id, fmt.Sprintf("%s = %s is no share in percent", id, inner.raw(id)), "a number above 0 and up to 100")
			continue
		}
		out = append(out, reference.Part{Substance: id, Share: percent / 100})
		sum += percent
	}
	if sum > 100.01 {
		t.faultAt("parts", fmt.Sprintf("the parts make %.4g %%, more than the whole", sum), "shares by mass that make 100 % at most")
	}
	return out
}
