package protocol

import (
	"fmt"
	"slices"
	"sort"
	"strings"
)

// known lists the keys of each kind of block, in the order in which a message names them.
var known = map[string][]string{
	"file":       {"format", "protocol", "instrument", "resource", "profile", "given", "amount", "content", "caution", "stage", "guard", "result", "verdict", "check"},
	"lab file":   {"instrument"},
	"protocol":   {"id", "title", "version", "purpose", "references"},
	"instrument": {"title", "unit", "step", "tolerance", "u", "dof", "offset", "gain", "graduation", "checked"},
	"resource":   {"title", "places", "with_hands"},
	"profile":    {"title", "source", "acids", "tolerance"},
	"given": {"id", "title", "kind", "value", "between", "u", "tolerance", "triangular", "dof", "source", "choices",
		"per_vessel", "record"},
	"amount":  {"id", "title", "formula", "unit", "round_to", "at_most", "say"},
	"content": {"title", "parts", "statement", "say", "from", "until"},
	"caution": {"say", "applies"},
	"stage": {"id", "title", "say", "portions", "shares", "steps", "hands", "clock", "wait_last", "remind", "ready",
		"ready_say", "interlock", "uses", "attended", "pause", "live", "reading"},
	"step":      {"say", "portion"},
	"window":    {"at_least", "aim", "at_most"},
	"reminder":  {"every", "say", "takes", "from", "until", "reading"},
	"interlock": {"holds", "say", "since", "at_least"},
	"live":      {"say", "formula", "moment", "sum", "of", "unit"},
	"reading": {"id", "title", "kind", "unit", "instrument", "expect", "rate", "aim", "fill", "needed", "shared", "points", "choices", "say",
		"step", "when", "portion", "record"},
	"guard":   {"id", "holds", "say"},
	"result":  {"id", "title", "formula", "unit", "of", "say"},
	"verdict": {"result", "when", "say"},
	"check":   {"result", "between", "at_least", "at_most", "source", "say"},
}

// Nearest returns the word that was probably meant: the one with the fewest letters to change, the earlier one when
// two are alike; "" when none is near.
func Nearest(word string, words []string) string {
	best, least := "", 2+len(word)/4
	for _, w := range words {
		if d := distance(strings.ToLower(word), strings.ToLower(w), least); d < least {
			best, least = w, d
		}
	}
	return best
}

// distance is the number of letters to add, drop, change or swap with a neighbour; not less than limit when it is too
// large to matter.
func distance(a, b string, limit int) int {
	if len(a)-len(b) >= limit || len(b)-len(a) >= limit || len(a) > 64 {
		return limit
	}
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}

// unknownKeys reports the keys that the kind of block does not have. One that is near a known key is taken for it, so
// that a slip does not make further faults.
func (t *table) unknownKeys(kind string) {
	for _, key := range t.inOrder() {
		if slices.Contains(known[kind], key) {
			continue
		}
		at := t.l.x.place(t.pathOf(key)).key
		meant := Nearest(key, known[kind])
		switch {
		case kind == "file" && slices.Contains(known["stage"], key):
			t.l.add(at, fmt.Sprintf("%s stands outside of a stage", key), "[[stage."+key+"]] below the [[stage]] that it belongs to")
		case meant == "":
			t.l.add(at, fmt.Sprintf("unknown key %q in %s: known here are %s", key, t.label, strings.Join(known[kind], ", ")), "")
		case t.keys[meant] != nil || t.spelt[meant] != "":
			t.l.add(at, fmt.Sprintf("unknown key %q in %s, which has %s already", key, t.label, meant), "")
			if t.also == nil {
				t.also = map[string][]string{}
			}
			t.also[meant] = append(t.also[meant], key)
		default:
			t.l.add(at, fmt.Sprintf("unknown key %q in %s", key, t.label), meant)
			if t.spelt == nil {
				t.spelt = map[string]string{}
			}
			t.spelt[meant] = key
		}
	}
}

// inOrder returns the keys in the order of the file.
func (t *table) inOrder() []string {
	keys := make([]string, 0, len(t.keys))
	for k := range t.keys {
		keys = append(keys, k)
	}
	sort.Slice(keys, func(i, j int) bool {
		a, b := t.l.x.place(t.pathOf(keys[i])).key, t.l.x.place(t.pathOf(keys[j])).key
		return a < b || a == b && keys[i] < keys[j]
	})
	return keys
}
