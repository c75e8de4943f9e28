package protocol

import (
	"fmt"
	"strings"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/reference"
)

// profiles reads the fatty-acid compositions of the file's own.
func (l *loader) profiles(root *table) {
	for _, b := range root.named("profile") {
		t := l.table(b.path, "profile", fmt.Sprintf("profile %q", b.id), b.keys)
		t.title(b.id)
		p := reference.Profile{Name: b.id}
		ok := t.nameFits(b.id, nameID)
		if acids, percent := t.acids(); ok && percent != nil {
			made, err := reference.NewProfile(b.id, percent)
			if err != nil {
				t.faultAt("acids", strings.TrimPrefix(err.Error(), "profile "+b.id+": "), "")
			}
			p, ok = made, err == nil && acids
			if ok && t.has("tolerance") {
				var width float64
				if width, ok = t.width("tolerance", quantity.MustUnit("%")); ok {
					p = p.Within(width)
				}
			}
		} else {
			ok = false
		}
		if source := t.text("source"); source != "" {
			p.Source = source
		}
		l.declare(t, nameID.orSpelt(b.id), "profile", p).broken = !ok
		l.p.Profiles = append(l.p.Profiles, p)
	}
}

// acids returns the percentages of a profile; nil when there are none that can be read.
func (t *table) acids() (ok bool, percent map[string]float64) {
	keys, isTable := t.get("acids").(map[string]any)
	if !isTable {
		if t.has("acids") {
			t.wrong("acids", "a table", `acids = { "C18:1" = 62.0 }`)
		} else {
			t.missing("acids", `acids = { "C18:1" = 62.0 } with every acid in percent`)
		}
		return false, nil
	}
	inner := &table{l: t.l, path: t.pathOf("acids"), label: t.label, keys: keys}
	percent, ok = map[string]float64{}, true
	for _, acid := range inner.inOrder() {
		x, isNumber := inner.number(acid)
		percent[acid] = x
		ok = ok && isNumber
	}
	if !ok {
		return false, nil
	}
	return true, percent
}

// namedBlock is one of the blocks [KIND.NAME].
type namedBlock struct {
	id, path string
	keys     map[string]any
}

// named returns the blocks [KIND.NAME] in file order; those of a slip beside KIND come last.
func (t *table) named(kind string) []namedBlock {
	out := t.namedAs(t.key(kind), kind)
	for _, slip := range t.also[kind] {
		out = append(out, t.namedAs(slip, kind)...)
	}
	return out
}

func (t *table) namedAs(key, kind string) []namedBlock {
	blocks, ok := t.keys[key].(map[string]any)
	if !ok {
		if t.keys[key] != nil {
			t.wrong(key, "a table of blocks", "["+kind+".name]")
		}
		return nil
	}
	inner := &table{l: t.l, path: join(t.path, key), label: kind, keys: blocks}
	var out []namedBlock
	for _, id := range inner.inOrder() {
		keys, ok := blocks[id].(map[string]any)
		if !ok {
			inner.wrong(id, "a table", "["+kind+"."+id+"]")
			continue
		}
		out = append(out, namedBlock{id, inner.pathOf(id), keys})
	}
	if len(out) > maxBlocks {
		t.faultAt(kind, fmt.Sprintf("%d blocks of %s: at most %d are read", len(out), kind, maxBlocks), "")
		out = out[:maxBlocks]
	}
	return out
}

// nameFits checks the name in a header [KIND.NAME].
func (t *table) nameFits(id string, s shape) bool {
	if !s.fits(id) {
		t.fault(fmt.Sprintf("the name %q: an id begins with a small letter and has %s", id, s.says), s.spell(id))
		return false
	}
	return true
}

func (l *loader) profile(name string) (reference.Profile, bool) {
	if d, ok := l.names[name]; ok && !d.broken {
		p, ok := d.what.(reference.Profile)
		return p, ok
	}
	return reference.Profile{}, false
}
