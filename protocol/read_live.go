package protocol

import (
	"fmt"

	"example.org/meniscus/calc/quantity"
)

// maxPlaces is more than any bench has of one thing.
const maxPlaces = 100

// resources reads the blocks [resource.NAME].
func (l *loader) resources(root *table) {
	for _, b := range root.named("resource") {
		t := l.table(b.path, "resource", fmt.Sprintf("resource %q", b.id), b.keys)
		t.nameFits(b.id, anyID)
		r := Resource{ID: anyID.orSpelt(b.id), Title: t.title(b.id), Places: 1, WithHands: t.flag("with_hands")}
		if n, ok := t.whole("places", 1, maxPlaces); ok {
			r.Places = n
		}
		l.p.Resources = append(l.p.Resources, r)
	}
}

// Resource returns the resource of an id.
func (p *Protocol) Resource(id string) Resource {
	for _, r := range p.Resources {
		if r.ID == id {
			return r
		}
	}
	return Resource{}
}

// live reads the figures that are shown while the stage goes on.
func (t *table) live(s *Stage, here scope) {
	if !t.has("live") {
		return
	}
	path := t.pathOf("live")
	for i, item := range t.items("live") {
		at, label := element(path, i), fmt.Sprintf("%s, live %d", t.label, i+1)
		keys, ok := item.(map[string]any)
		if !ok {
			t.l.add(t.l.x.place(at).value, fmt.Sprintf("%s is %s, not a table", label, describe(item)), `{ say = "…", formula = "…", unit = "…" }`)
			continue
		}
		t.l.table(at, "live", label, keys).liveFigure(s, here)
	}
}

func (t *table) liveFigure(s *Stage, here scope) {
	f := Live{Say: t.required("say", "Settled"), Unit: quantity.MustUnit("min"), Moment: t.has("moment")}
	switch {
	case t.has("of") && !t.has("sum"):
		t.faultAt("of", "of tells what a sum is to come to, and there is none", `sum = "…"`)
		return
	case t.has("sum"):
		t.liveSum(f, s, here)
		return
	case f.Moment == t.has("formula"):
		t.fault("a live figure has a formula, a moment or a sum", `formula = "…" with a unit, moment = "…", or sum = "…"`)
		return
	case f.Moment && t.has("unit"):
		t.faultAt("unit", "a moment has no unit of its own", "")
		return
	case !f.Moment:
		var ok bool
		if f.Unit, ok = t.unit("mL"); !ok {
			return
		}
	}
	key := "formula"
	if f.Moment {
		key = "moment"
	}
	w, ok := t.words(key)
	if !ok {
		return
	}
	t.l.later = append(t.l.later, func() {
		parsed := t.l.parse(w)
		if typ, ok := t.l.check(w, parsed, here); ok && t.l.numberIn(w, typ, f.Unit, false) {
			f.Formula = parsed
			s.Live = append(s.Live, f)
		}
	})
}

// liveSum reads a figure that adds up what a reading has in each portion.
func (t *table) liveSum(f Live, s *Stage, here scope) {
	for _, key := range []string{"formula", "moment", "unit"} {
		if t.has(key) {
			t.faultAt(key, key+" stands beside sum, which has the unit of its reading", "")
			return
		}
	}
	name := t.text("sum")
	of, hasOf := t.words("of")
	t.l.later = append(t.l.later, func() {
		var ids []string
		for _, r := range s.Readings {
			if r.Kind != Number || !r.IsList() {
				continue
			}
			if ids = append(ids, r.ID); r.ID == name {
				f.Sum, f.Unit, t.l.used[name] = r, r.Unit, true
			}
		}
		switch {
		case f.Sum == nil && len(ids) == 0:
			t.faultAt("sum", "this stage has no reading with a value for each portion", "")
			return
		case f.Sum == nil:
			t.faultAt("sum", fmt.Sprintf("%q is no reading of this stage with a value for each portion", name), fmt.Sprintf("sum = %q", ids[0]))
			return
		}
		if hasOf {
			f.Of = t.l.bound(of, here, f.Unit, false)
		}
		s.Live = append(s.Live, f)
	})
}
