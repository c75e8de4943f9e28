package protocol

import (
	"fmt"
	"strings"
	"time"

	"example.org/meniscus/calc/quantity"
)

// table is a block of the file, with its place and its name in messages. Its methods read a key, report what is wrong
// with it and return the zero value then, so that reading goes on.
type table struct {
	l     *loader
	path  string
	label string // stage "dose"
	keys  map[string]any
	spelt map[string]string   // known key -> how the file spells it, where that is a slip
	also  map[string][]string // known key -> slips that stand beside it
}

// words is a text of the file with where it stands.
type words struct {
	path, label, key string
	text             string
}

func (l *loader) table(path, kind, label string, keys map[string]any) *table {
	t := &table{l: l, path: path, label: label, keys: keys}
	t.unknownKeys(kind)
	return t
}

func (t *table) key(key string) string {
	if s, ok := t.spelt[key]; ok {
		return s
	}
	return key
}

func (t *table) get(key string) any { return t.keys[t.key(key)] }

func (t *table) has(key string) bool { return t.get(key) != nil }

func (t *table) pathOf(key string) string { return join(t.path, t.key(key)) }

// fault reports a fault of the block as a whole.
func (t *table) fault(msg, remedy string) {
	t.l.add(t.l.x.place(t.path).key, t.label+": "+msg, remedy)
}

// faultAt reports a fault of a key's value.
func (t *table) faultAt(key, msg, remedy string) {
	t.l.add(t.l.x.place(t.pathOf(key)).value, t.label+": "+msg, remedy)
}

func (t *table) missing(key, remedy string) { t.fault(key+" is missing", remedy) }

// wrong reports a value of the wrong TOML type.
func (t *table) wrong(key, want, remedy string) {
	t.faultAt(key, fmt.Sprintf("%s = %s is %s, not %s", key, t.raw(key), describe(t.get(key)), want), remedy)
}

// raw returns a key's value as the file spells it, shortened.
func (t *table) raw(key string) string {
	p := t.l.x.place(t.pathOf(key))
	return clip(t.l.x.text[p.value:max(p.end, p.value)], t.get(key))
}

func clip(raw string, value any) string {
	switch value.(type) {
	case []any, []map[string]any:
		return "[ … ]"
	case map[string]any:
		return "{ … }"
	}
	raw, _, _ = strings.Cut(raw, "\n")
	if r := []rune(raw); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return strings.TrimRight(raw, "\r")
}

func describe(value any) string {
	switch value.(type) {
	case string:
		return "a text"
	case int64, float64:
		return "a number"
	case bool:
		return "a truth value"
	case time.Time:
		return "a date"
	case []any, []map[string]any:
		return "a list"
	}
	return "a table"
}

// text returns a text, "" when there is none.
func (t *table) text(key string) string {
	switch v := t.get(key).(type) {
	case nil:
		return ""
	case string:
		return v
	default:
		remedy := fmt.Sprintf("%s = %q", key, "…")
		if s := describe(v); s == "a number" || s == "a date" {
			remedy = fmt.Sprintf("%s = %q", key, t.raw(key))
		}
		t.wrong(key, "a text", remedy)
		return ""
	}
}

// required is text for a key that must be there and not be empty; example is what its value may look like.
func (t *table) required(key, example string) string {
	if !t.has(key) {
		t.missing(key, fmt.Sprintf("%s = %q", key, example))
		return ""
	}
	s := t.text(key)
	if v, ok := t.get(key).(string); ok && strings.TrimSpace(v) == "" {
		t.faultAt(key, key+" is empty", fmt.Sprintf("%s = %q", key, example))
	}
	return s
}

// record reads what a given or a reading is kept for that nothing uses; it is there for those who read the file.
func (t *table) record() {
	if t.has("record") {
		t.required("record", "what it is kept for")
	}
}

// words returns a text with its place; ok is false when there is none.
func (t *table) words(key string) (words, bool) {
	s := t.text(key)
	return words{t.pathOf(key), t.label, key, s}, strings.TrimSpace(s) != ""
}

// title returns the title, or what the id says in words.
func (t *table) title(id string) string {
	s := t.text("title")
	if i := strings.IndexByte(s, '{'); i >= 0 {
		t.l.add(t.l.x.inside(t.pathOf("title"), len([]rune(s[:i]))),
			t.label+": a title is shown as it stands, braces in it are not filled in", "the name in say or in a step")
	}
	if s == "" {
		return strings.NewReplacer("_", " ", "-", " ").Replace(id)
	}
	return s
}

func (t *table) flag(key string) bool {
	switch v := t.get(key).(type) {
	case nil:
		return false
	case bool:
		return v
	default:
		t.wrong(key, "true or false", key+" = true")
		return false
	}
}

// number returns a bare number; ok is false when there is none.
func (t *table) number(key string) (x float64, ok bool) {
	switch v := t.get(key).(type) {
	case nil:
		return 0, false
	case int64:
		return float64(v), true
	case float64:
		if v-v == 0 { // neither infinite nor nan
			return v, true
		}
		t.faultAt(key, fmt.Sprintf("%s = %s is no number to count with", key, t.raw(key)), "a plain number")
		return 0, false
	default:
		t.wrong(key, "a number", key+" = 3")
		return 0, false
	}
}

// whole returns a whole number from low to high; ok is false when there is none.
func (t *table) whole(key string, low, high int) (n int, ok bool) {
	v := t.get(key)
	if v == nil {
		return 0, false
	}
	i, isInt := v.(int64)
	if !isInt {
		t.wrong(key, "a whole number", fmt.Sprintf("%s = %d", key, low))
		return 0, false
	}
	if i < int64(low) || i > int64(high) {
		allowed := fmt.Sprintf("a number from %d to %d", low, high)
		if low == high {
			allowed = fmt.Sprint(low)
		}
		t.faultAt(key, fmt.Sprintf("%s = %d is out of range", key, i), allowed)
		return 0, false
	}
	return int(i), true
}

// oneOf returns which of the words a key says; absent is the first one. ok is false when it says none of them.
func (t *table) oneOf(key string, allowed ...string) (i int, ok bool) {
	s := t.text(key)
	if !t.has(key) {
		return 0, true
	}
	for i, w := range allowed {
		if w == s {
			return i, true
		}
	}
	if _, isText := t.get(key).(string); isText {
		remedy := "one of " + strings.Join(allowed, ", ")
		if meant := Nearest(s, allowed); meant != "" {
			remedy = fmt.Sprintf("%s = %q", key, meant)
		}
		t.faultAt(key, fmt.Sprintf("%s = %q is unknown", key, s), remedy)
	}
	return 0, false
}

// list returns the texts of a list with their places.
func (t *table) list(key string) []words {
	v := t.get(key)
	if v == nil {
		return nil
	}
	items, ok := v.([]any)
	if !ok {
		t.wrong(key, "a list of texts", key+` = [ "…" ]`)
		return nil
	}
	out := make([]words, 0, len(items))
	for i, item := range items {
		path := element(t.pathOf(key), i)
		s, ok := item.(string)
		if !ok {
			t.l.add(t.l.x.place(path).value, fmt.Sprintf("%s: %s holds %s, not a text", t.label, key, describe(item)), `"…"`)
			continue
		}
		out = append(out, words{path, t.label, key, s})
	}
	return out
}

func (t *table) texts(key string) []string {
	var out []string
	for _, w := range t.list(key) {
		out = append(out, w.text)
	}
	return out
}

// blocks returns the blocks of an array of tables, or the one table that stands for it.
func (t *table) blocks(key, example string) (paths []string, keys []map[string]any) {
	path := t.pathOf(key)
	switch v := t.get(key).(type) {
	case nil:
	case map[string]any:
		return []string{path}, []map[string]any{v}
	case []map[string]any:
		for i, m := range v {
			paths, keys = append(paths, element(path, i)), append(keys, m)
		}
	case []any:
		for i, item := range v {
			m, ok := item.(map[string]any)
			if !ok {
				t.l.add(t.l.x.place(element(path, i)).value, fmt.Sprintf("%s: %s holds %s, not a table", t.label, key, describe(item)), example)
				continue
			}
			paths, keys = append(paths, element(path, i)), append(keys, m)
		}
	default:
		t.wrong(key, "a table", example)
	}
	if len(keys) > maxBlocks {
		t.faultAt(key, fmt.Sprintf("%d blocks of %s: at most %d are read", len(keys), key, maxBlocks), "")
		return paths[:maxBlocks], keys[:maxBlocks]
	}
	return paths, keys
}

// quantity reads a quantity; unit is what a message suggests where the value has none.
func (t *table) quantity(key, unit string) (quantity.Quantity, bool) {
	switch v := t.get(key).(type) {
	case nil:
		return quantity.Quantity{}, false
	case string:
		return t.l.quantity(words{t.pathOf(key), t.label, key, v})
	case int64, float64:
		if unit == "1" {
			x, ok := t.number(key)
			return quantity.Ratio(x), ok
		}
		t.faultAt(key, fmt.Sprintf("%s = %s has no unit", key, t.raw(key)), fmt.Sprintf("%s = %q", key, t.raw(key)+" "+unit))
	default:
		t.wrong(key, "a quantity", fmt.Sprintf("%s = %q", key, "1 "+unit))
	}
	return quantity.Quantity{}, false
}

// quantity parses a quantity such as "0.5 mL".
func (l *loader) quantity(w words) (quantity.Quantity, bool) {
	q, err := quantity.ParseQuantity(w.text)
	if err != nil {
		l.addIn(w, whole, fmt.Sprintf("%s: %v", w.key, err), "")
		return q, false
	}
	return q, true
}
