package plan

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"

	"example.org/meniscus/protocol"
)

// A block is a table of a case file. Its methods read a key, note what is wrong with it and return the zero value then, so
// that reading goes on.
type block struct {
	bare  *protocol.Bare
	path  string
	kind  string
	label string // begins its messages
	keys  map[string]any
	sound bool // no fault has been found in it
}

func (b *block) at(key string) string {
	if key == "" {
		return b.path
	}
	return protocol.Path(b.path, key)
}

func (b *block) fault(key, msg, remedy string) {
	b.sound = false
	b.bare.Fault(b.at(key), b.label+msg, remedy)
}

// spelt is a number as the file writes it, in minutes; 0 where it is left out.
func (b *block) spelt(key string) string {
	if b.keys[key] == nil {
		return "0"
	}
	return b.bare.Spelt(b.at(key), b.keys[key])
}

func (b *block) wrong(key, want, remedy string) {
	b.fault(key, fmt.Sprintf("%s = %s, not %s", key, b.bare.Found(b.at(key), b.keys[key]), want), remedy)
}

// known refuses keys that a kind of block does not have.
func (b *block) known(kind string) {
	for _, key := range sorted(b.keys) {
		if slices.Contains(caseKeys[kind], key) {
			continue
		}
		remedy := protocol.Nearest(key, caseKeys[kind])
		if remedy == "" {
			remedy = "one of " + strings.Join(caseKeys[kind], ", ")
		}
		b.sound = false
		b.bare.FaultOfKey(b.at(key), fmt.Sprintf("%sunknown key %q", b.label, key), remedy)
	}
}

func (b *block) table(key string) *block {
	out := &block{bare: b.bare, path: b.at(key), sound: true}
	switch v := b.keys[key].(type) {
	case nil:
	case map[string]any:
		out.keys = v
	default:
		b.wrong(key, "a table", "["+key+"] with a line for each resource, such as bath = 3")
	}
	return out
}

// blocks reads the [[…]] blocks of a key.
func (b *block) blocks(key, kind string) []*block {
	var all []map[string]any
	switch v := b.keys[key].(type) {
	case nil:
	case []map[string]any:
		all = v
	case []any:
		for i, item := range v {
			keys, ok := item.(map[string]any)
			if !ok {
				path := protocol.PathOf(b.at(key), i)
				b.bare.Fault(path, b.label+key+" has "+b.bare.Found(path, item)+", not a table", "[["+key+"]]")
				return nil
			}
			all = append(all, keys)
		}
	default:
		b.wrong(key, "a list of blocks", "[["+key+"]]")
	}
	out := make([]*block, len(all))
	for i, keys := range all {
		out[i] = &block{bare: b.bare, path: protocol.PathOf(b.at(key), i), kind: kind, keys: keys, sound: true}
		out[i].label = kind + ": "
		out[i].known(kind)
	}
	return out
}

// text reads a name that can be shown.
func (b *block) text(key string, required bool) string {
	switch v := b.keys[key].(type) {
	case nil:
		if required {
			b.fault("", key+" is missing", key+" = \"…\"")
		}
		return ""
	case string:
		if required || v != "" {
			b.printable(b.at(key), v)
		}
		return v
	default:
		b.wrong(key, "a text", key+" = \"…\"")
		return ""
	}
}

// printable tells whether a name, which stands at a path, can be read; one that is empty or that nobody sees is a fault.
func (b *block) printable(path, name string) bool {
	switch {
	case strings.TrimSpace(name) == "":
		b.bare.Fault(path, fmt.Sprintf("%sthe name %q is empty", b.label, name), "a name")
	case strings.ContainsFunc(name, func(r rune) bool { return r == unicode.ReplacementChar || unicode.Is(unicode.C, r) }):
		b.bare.Fault(path, fmt.Sprintf("%sthe name %+q has characters that cannot be seen", b.label, name), "a name without them")
	default:
		return true
	}
	b.sound = false
	return false
}

// texts reads a list of names; each is handed over with its place in the file.
func (b *block) texts(key string, take func(path, name string)) {
	list, ok := b.keys[key].([]any)
	if !ok && b.keys[key] != nil {
		b.wrong(key, "a list of names", key+" = [ \"balance\" ]")
	}
	for i, item := range list {
		path := protocol.PathOf(b.at(key), i)
		name, ok := item.(string)
		if !ok {
			b.bare.Fault(path, b.label+key+" has "+b.bare.Found(path, item)+", not a name", key+" = [ \"balance\" ]")
			continue
		}
		if b.printable(path, name) {
			take(path, name)
		}
	}
}

// whole reads a whole number; 0 when it is wrong.
func (b *block) whole(key string, otherwise, least, most int) int {
	switch v := b.keys[key].(type) {
	case nil:
		return otherwise
	case int64:
		if v >= int64(least) && v <= int64(most) {
			return int(v)
		}
		b.fault(key, fmt.Sprintf("%s = %s", key, b.bare.Spelt(b.at(key), v)), fmt.Sprintf("a whole number from %d to %d", least, most))
	default:
		b.wrong(key, "a whole number", fmt.Sprintf("a whole number from %d to %d", least, most))
	}
	return 0
}

// minutes reads a number of minutes, in whole seconds.
func (b *block) minutes(key string, required bool) time.Duration {
	var x float64
	switch v := b.keys[key].(type) {
	case nil:
		if required {
			b.fault("", key+" is missing", key+" = 2, in minutes")
		}
		return 0
	case int64:
		x = float64(v)
	case float64:
		x = v
	default:
		b.wrong(key, "a number of minutes", key+" = 2")
		return 0
	}
	if !(x >= 0 && x <= longest.Minutes()) {
		b.fault(key, fmt.Sprintf("%s = %s", key, b.spelt(key)), fmt.Sprintf("a number of minutes from 0 to %v", longest.Minutes()))
		return 0
	}
	return time.Duration(math.Round(x*60)) * time.Second
}

func sorted(keys map[string]any) []string { return slices.Sorted(maps.Keys(keys)) }
