package protocol

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"example.org/meniscus/calc/quantity"
)

// keysOfKind are the keys of a given that go with one kind only.
var keysOfKind = map[string]GivenKind{
	"between": GivenNumber, "u": GivenNumber, "tolerance": GivenNumber, "triangular": GivenNumber, "dof": GivenNumber,
	"choices": GivenChoice,
}

var givenKinds = []string{"number", "choice", "text"}

func (l *loader) given(path string, number int, keys map[string]any) {
	t := l.table(path, "given", labelOf("given", number, keys), keys)
	g := &Given{ID: t.id(nameID), PerVessel: t.flag("per_vessel"), Source: t.text("source")}
	t.record()
	g.Title = t.title(g.ID)
	kind, ok := t.oneOf("kind", givenKinds...)
	g.Kind = GivenKind(kind)
	d := l.declare(t, g.ID, "given", g)
	l.p.Givens = append(l.p.Givens, g)
	if !ok {
		d.broken = true
		return
	}
	for _, key := range sortedKeys(keysOfKind) {
		if kind := keysOfKind[key]; t.has(key) && kind != g.Kind {
			t.faultAt(key, fmt.Sprintf("%s goes with kind = %q, and this is a %s", key, givenKinds[kind], givenKinds[g.Kind]), "")
		}
	}
	switch g.Kind {
	case GivenNumber:
		d.broken = !t.givenNumber(g)
	case GivenChoice:
		d.broken = !t.givenChoice(g)
	case GivenText:
		g.Choice = t.text("value")
	}
}

func sortedKeys(m map[string]GivenKind) []string {
	out := make([]string, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// labelOf names a block in messages by its id, or by its number while it has none.
func labelOf(kind string, number int, keys map[string]any) string {
	if id, ok := keys["id"].(string); ok && id != "" {
		return fmt.Sprintf("%s %q", kind, id)
	}
	return fmt.Sprintf("%s %d", kind, number)
}

func (t *table) givenNumber(g *Given) bool {
	if !t.has("value") {
		t.missing("value", `value = "30 mL"`)
		return false
	}
	value, ok := t.quantity("value", "1")
	if !ok {
		return false
	}
	g.Value = value
	g.Low, g.High = t.between(value.Unit)
	if why := value.Impossible(); why != "" {
		t.faultAt("value", "value = "+t.raw("value")+": "+why, "")
		return false
	}
	if msg := g.outside(value); msg != "" {
		t.faultAt("value", fmt.Sprintf("value = %s is %s", t.raw("value"), msg), "a value in between")
	}
	t.doubt(g)
	return true
}

// between reads two quantities that fit the unit.
func (t *table) between(unit quantity.Unit) (low, high *quantity.Quantity) {
	ends := t.ends("between")
	if ends == nil {
		return nil, nil
	}
	var got [2]*quantity.Quantity
	for i, w := range ends {
		if w.text == "" {
			continue
		}
		q, ok := t.l.quantity(w)
		if !ok {
			continue
		}
		if !unitFits(q.Unit, unit) {
			t.l.addIn(w, whole, fmt.Sprintf("between: %q does not fit %s", w.text, unitWords(unit)), quantityIn(unit))
			continue
		}
		got[i] = &q
	}
	if t.l.inOrder(ends[0], got[0], got[1]) {
		return got[0], got[1]
	}
	return nil, nil
}

// ends reads a list of just two texts, nil when there is none.
func (t *table) ends(key string) []words {
	if !t.has(key) {
		return nil
	}
	items, isList := t.get(key).([]any)
	ends := t.list(key)
	if isList && len(items) != 2 {
		t.faultAt(key, fmt.Sprintf("%s is a list of %d, not of two", key, len(items)), key+` = [ "low", "high" ]`)
	}
	if len(ends) != 2 || len(items) != 2 {
		return nil
	}
	return ends
}

// inOrder reports a range whose low end is above its high end.
func (l *loader) inOrder(w words, low, high *quantity.Quantity) bool {
	if low == nil || high == nil {
		return true
	}
	if c, err := quantity.Compare(*low, *high); err == nil && c > 0 {
		l.addIn(w, whole, fmt.Sprintf("%s: %s is more than %s", w.key, low.Text(), high.Text()), "the lower one first")
		return false
	}
	return true
}

// outside tells how a value is outside of what is allowed, "" when it is inside.
func (g *Given) outside(value quantity.Quantity) string {
	side := ""
	if g.Low != nil {
		if c, err := quantity.Compare(value, *g.Low); err == nil && c < 0 {
			side = "less than " + g.Low.Text()
		}
	}
	if g.High != nil {
		if c, err := quantity.Compare(value, *g.High); err == nil && c > 0 {
			side = "more than " + g.High.Text()
		}
	}
	return side
}

// doubt reads how far the value can be trusted and adds it as the source given:ID.
func (t *table) doubt(g *Given) {
	dof, hasDoF := t.number("dof")
	used := ""
	for _, kind := range []struct {
		key   string
		shape quantity.Shape
	}{{"u", quantity.Normal}, {"tolerance", quantity.Rectangular}, {"triangular", quantity.Triangular}} {
		if !t.has(kind.key) {
			continue
		}
		if used != "" {
			t.faultAt(kind.key, fmt.Sprintf("%s stands beside %s: a given has one of them", kind.key, used), "")
			continue
		}
		used = kind.key
		width, ok := t.width(kind.key, g.Value.Unit)
		if !ok {
			continue
		}
		source := quantity.Source{Name: "given:" + g.ID, Shape: kind.shape, DoF: quantity.Known()}
		if hasDoF {
			source.DoF = dof
		}
		g.Value = g.Value.With(source, kind.shape.HalfWidth(width))
	}
	if hasDoF && (dof < 1 || used == "") {
		t.faultAt("dof", "dof is the degrees of freedom, 1 or more, of a u, tolerance or triangular beside it", "")
	}
}

// width reads a width of uncertainty, given in the interval unit of a value's unit: K for a temperature.
func (t *table) width(key string, unit quantity.Unit) (float64, bool) {
	q, ok := t.quantity(key, unit.Interval().String())
	if !ok {
		return 0, false
	}
	if q.Unit.IsTemperature() {
		t.faultAt(key, fmt.Sprintf("%s = %s is a temperature, and a width is an interval", key, t.raw(key)), fmt.Sprintf("%s = %q", key, quantity.Plain(q.Value, 6)+" K"))
		return 0, false
	}
	in, err := q.To(unit.Interval())
	if err != nil {
		t.faultAt(key, fmt.Sprintf("%s = %s does not fit %s", key, t.raw(key), unitWords(unit)), quantityIn(unit.Interval()))
		return 0, false
	}
	if in.Value < 0 {
		t.faultAt(key, fmt.Sprintf("%s = %s is negative", key, t.raw(key)), "a positive quantity")
		return 0, false
	}
	return in.Value, true
}

func (t *table) givenChoice(g *Given) bool {
	g.Choices = t.choices()
	if len(g.Choices) == 0 {
		return false
	}
	for _, c := range g.Choices {
		if p, ok := t.l.profile(c); ok {
			if g.Rows == nil {
				g.Rows = map[string]any{}
			}
			g.Rows[c] = p
		}
	}
	g.Choice = t.text("value")
	if g.Choice == "" {
		g.Choice = g.Choices[0]
	}
	if !slices.Contains(g.Choices, g.Choice) {
		t.faultAt("value", fmt.Sprintf("value = %q is none of the choices", g.Choice), oneOfThese(g.Choice, g.Choices))
	}
	return true
}

// choices reads the words to choose from; none is a fault.
func (t *table) choices() []string {
	if !t.has("choices") {
		t.missing("choices", `choices = [ "…", "…" ]`)
		return nil
	}
	var out []string
	for _, w := range t.list("choices") {
		switch {
		case strings.TrimSpace(w.text) == "":
			t.l.addIn(w, whole, "choices: a choice is empty", "a word")
		case slices.Contains(out, w.text):
			t.l.addIn(w, whole, fmt.Sprintf("choices: %q stands there twice", w.text), "")
		default:
			out = append(out, w.text)
		}
	}
	if items, ok := t.get("choices").([]any); ok && len(items) == 0 {
		t.faultAt("choices", "choices is empty", `choices = [ "…", "…" ]`)
	}
	return out
}

// oneOfThese is the nearest of the words, or all of them.
func oneOfThese(word string, words []string) string {
	if meant := Nearest(word, words); meant != "" {
		return fmt.Sprintf("%q", meant)
	}
	return strings.Join(words, ", ")
}
