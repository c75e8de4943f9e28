package protocol

import (
	"fmt"

	"example.org/meniscus/calc/quantity"
)

// everyResult is more results than a file has: a scope that sees them all.
const everyResult = 1 << 30

func (l *loader) guard(path string, number int, keys map[string]any) {
	t := l.table(path, "guard", labelOf("guard", number, keys), keys)
	g := &Guard{ID: fmt.Sprintf("guard_%d", number)}
	if t.has("id") {
		g.ID = t.id(anyID)
	}
	for _, other := range l.p.Guards {
		if other.ID == g.ID && t.has("id") {
			t.faultAt("id", fmt.Sprintf("the id %q is taken by an earlier guard", g.ID), "another id")
		}
	}
	all := scope{l: l, who: "a guard", readings: everyReading, results: everyResult}
	t.required("holds", "after < before")
	t.required("say", "what it means when this does not hold")
	g.Say = t.sayIn("say", all)
	l.p.Guards = append(l.p.Guards, g)
	w, ok := t.words("holds")
	if !ok {
		return
	}
	l.later = append(l.later, func() {
		if g.Holds = l.condition(w, all); g.Holds == nil {
			return
		}
		g.Names = l.readingsIn(g.Holds.Names(), nil, map[string]bool{})
		if len(g.Names) == 0 {
			l.addIn(w, whole, "a guard speaks when a reading arrives, and this one looks at none", "")
		}
	})
}

// readingsIn appends the readings behind names in the order of mention; results stand for those that they use.
func (l *loader) readingsIn(names, out []string, seen map[string]bool) []string {
	for _, name := range names {
		d, ok := l.names[name]
		if !ok || seen[name] {
			continue
		}
		seen[name] = true
		switch what := d.what.(type) {
		case *Reading:
			out = append(out, name)
		case *Result:
			if what.Formula != nil {
				out = l.readingsIn(what.Formula.Names(), out, seen)
			}
		}
	}
	return out
}

func (l *loader) limitCheck(path string, number int, keys map[string]any) {
	t := l.table(path, "check", fmt.Sprintf("check %d", number), keys)
	c := &Check{}
	id := t.required("result", "the id of a result")
	c.Source = t.required("source", "the standard with its clause, or common practice")
	all := scope{l: l, who: "a check", readings: everyReading, results: everyResult}
	c.Say = t.sayIn("say", all)
	ends := t.limits()
	l.p.Checks = append(l.p.Checks, c)
	if id == "" {
		return
	}
	d, ok := l.names[id]
	if ok {
		c.Result, ok = d.what.(*Result)
	}
	if !ok {
		t.faultAt("result", fmt.Sprintf("there is no result %q", id), oneOfThese(id, l.resultIDs()))
		return
	}
	if ends == nil || d.broken {
		return
	}
	all.run = c.Result.OfRun
	l.later = append(l.later, func() {
		c.Low, c.High = l.limit(ends[0], all, c.Result.Unit), l.limit(ends[1], all, c.Result.Unit)
		if ends[0] != nil {
			l.boundsInOrder(*ends[0], c.Low, c.High)
		}
	})
}

func (l *loader) limit(w *words, s scope, unit quantity.Unit) *Bound {
	if w == nil {
		return nil
	}
	return l.bound(*w, s, unit, false)
}

// limits returns the low and the high limit of a check, nil where there is none; a check has between, or at_least, or
// at_most.
func (t *table) limits() []*words {
	low, hasLow := t.words("at_least")
	high, hasHigh := t.words("at_most")
	switch {
	case t.has("between") && (t.has("at_least") || t.has("at_most")):
		t.faultAt("between", "between stands beside at_least or at_most", "one of them")
	case t.has("between"):
		if ends := t.ends("between"); ends != nil {
			return []*words{&ends[0], &ends[1]}
		}
	case hasLow && hasHigh:
		return []*words{&low, &high}
	case hasLow:
		return []*words{&low, nil}
	case hasHigh:
		return []*words{nil, &high}
	case !t.has("at_least") && !t.has("at_most"):
		t.fault("the check has no limit", `between = [ "low", "high" ], at_least or at_most`)
	}
	return nil
}

func (l *loader) resultIDs() []string {
	out := make([]string, 0, len(l.p.Results))
	for _, r := range l.p.Results {
		out = append(out, r.ID)
	}
	return out
}
