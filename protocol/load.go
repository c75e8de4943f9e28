package protocol

import (
	"errors"
	"fmt"
	"path/filepath"
	"sort"
	"strings"
	"unicode/utf8"

	"example.org/meniscus/calc/formula"
	"github.com/BurntSushi/toml"
)

// Load reads a protocol. file is the name that errors use. The error is of type Errors and holds every fault of the
// file, in file order.
func Load(file string, text []byte) (*Protocol, error) {
	l := newLoader(file, text)
	if root := l.decode("the file"); root != nil {
		l.read(root)
	}
	if err := l.errors(); err != nil {
		return nil, err
	}
	l.p.Warnings = l.unused()
	return l.p, nil
}

// loader collects a protocol and its faults.
type loader struct {
	p         *Protocol
	x         *index
	functions formula.Functions
	names     map[string]*declaration
	blocks    map[any]*table       // of each declared thing
	broken    map[*Instrument]bool // whose unit is not known
	later     []func()             // checks that need all names
	faults    []fault
	used      map[string]bool // the names that a formula, a text, a reminder or a sum mentions
}

func newLoader(file string, text []byte) *loader {
	return &loader{
		p:         &Protocol{File: file, Text: append([]byte{}, text...), index: map[string]any{}},
		x:         &index{lines: []int{0}},
		names:     map[string]*declaration{},
		used:      map[string]bool{},
		blocks:    map[any]*table{},
		broken:    map[*Instrument]bool{},
		functions: functions(),
	}
}

// decode returns the file's blocks, nil when it is no TOML or too large.
func (l *loader) decode(label string) *table {
	if n := len(l.p.Text); n > MaxSize {
		l.add(0, fmt.Sprintf("the file has %d bytes: at most %d are read", n, MaxSize), "")
		return nil
	}
	text := strings.TrimPrefix(string(l.p.Text), "\ufeff")
	if !utf8.ValidString(text) {
		l.add(0, "the file is not UTF-8 text", "")
		return nil
	}
	if f := tooDeep(text); f != nil {
		l.x = linesOf(text)
		l.faults = append(l.faults, *f)
		return nil
	}
	x, broken := newIndex(text)
	l.x = x
	if broken != nil {
		l.faults = append(l.faults, *broken)
		return nil
	}
	keys := map[string]any{}
	_, err := toml.Decode(text, &keys)
	var pe toml.ParseError
	if errors.As(err, &pe) { // what the index does not see, such as a key that stands there twice
		l.add(pe.Position.Start, "this is no TOML: "+strings.TrimSuffix(pe.Message, "."), "")
		return nil
	}
	if err != nil {
		l.add(0, "this is no TOML: "+err.Error(), "")
		return nil
	}
	return &table{l: l, label: label, keys: keys}
}

// read reads every block, then checks what needs the names of all of them.
func (l *loader) read(root *table) {
	if !l.format(root) {
		return
	}
	root.unknownKeys("file")
	l.header(root)
	l.instruments(root)
	l.resources(root)
	l.profiles(root)
	l.each(root, "given", l.given)
	l.each(root, "amount", l.amount)
	l.each(root, "content", l.content)
	l.each(root, "caution", l.caution)
	l.each(root, "stage", l.stage)
	l.each(root, "guard", l.guard)
	l.each(root, "result", l.result)
	l.each(root, "verdict", l.verdict)
	l.each(root, "check", l.limitCheck)
	if !root.has("stage") {
		l.add(len(l.x.text), "the protocol has no stage", `[[stage]] with id = "…" and title = "…"`)
	}
	l.checkAmounts()
	l.checkResults()
	for _, check := range l.later {
		check()
	}
}

// each calls read for each block of an array; number counts from 1.
func (l *loader) each(root *table, key string, read func(path string, number int, keys map[string]any)) {
	paths, keys := root.blocks(key, "[["+key+"]]")
	for _, slip := range root.also[key] {
		p, k := root.blocks(slip, "[["+key+"]]")
		paths, keys = append(paths, p...), append(keys, k...)
	}
	for i := range keys {
		read(paths[i], i+1, keys[i])
	}
}

// format checks the format's version; false when the file is of a version that cannot be read.
func (l *loader) format(root *table) bool {
	v := root.get("format")
	switch n, ok := v.(int64); {
	case v == nil:
		l.add(0, "the file does not say its format", "format = 1")
	case !ok:
		root.wrong("format", "a whole number", "format = 1")
	case n > Format:
		root.faultAt("format", fmt.Sprintf("format = %d is newer than this program, which reads format %d: it takes a newer version of the program", n, Format), "")
		return false
	case n != Format:
		root.faultAt("format", fmt.Sprintf("format = %d is unknown", n), fmt.Sprintf("format = %d", Format))
	}
	return true
}

func (l *loader) header(root *table) {
	keys, ok := root.get("protocol").(map[string]any)
	if !ok {
		if root.has("protocol") {
			root.wrong("protocol", "a table", "[protocol]")
		} else {
			l.add(0, "the block [protocol] is missing", `[protocol] with id, title and version`)
		}
		return
	}
	t := l.table(root.pathOf("protocol"), "protocol", "[protocol]", keys)
	p := l.p
	p.ID = t.id(anyID)
	p.Title = t.required("title", "what the procedure makes or measures")
	p.Version = t.required("version", "1.0")
	p.Purpose = t.text("purpose")
	p.References = t.texts("references")
	base, isTOML := strings.CutSuffix(filepath.Base(p.File), ".toml")
	if isTOML && p.ID != "" && p.ID == t.text("id") && anyID.fits(p.ID) && p.ID != base {
		t.faultAt("id", fmt.Sprintf("id = %q is not the name of the file, %q", p.ID, base+".toml"), fmt.Sprintf("id = %q", base))
	}
}

func (l *loader) add(at int, msg, remedy string) {
	l.faults = append(l.faults, fault{at, msg, remedy})
}

// whole stands for a text as a whole where addIn takes a place in it.
const whole = -1

// addIn reports a fault at a rune of a text, counted from 0.
func (l *loader) addIn(w words, rune int, msg, remedy string) {
	at := l.x.place(w.path).value
	if rune != whole {
		at = l.x.inside(w.path, rune)
	}
	l.add(at, w.label+": "+msg, remedy)
}

// errors returns the faults in file order, each once; nil when there are none.
func (l *loader) errors() error {
	if len(l.faults) == 0 {
		return nil
	}
	sort.SliceStable(l.faults, func(i, j int) bool { return l.faults[i].at < l.faults[j].at })
	var out Errors
	seen := map[fault]bool{}
	for _, f := range l.faults {
		if seen[f] {
			continue
		}
		seen[f] = true
		line, col := l.x.lineCol(f.at)
		if len(out) == maxFaults {
			out = append(out, &SyntaxError{l.p.File, line, col, fmt.Sprintf("more than %d faults: the rest is not told", maxFaults), ""})
			break
		}
		out = append(out, &SyntaxError{l.p.File, line, col, f.msg, f.remedy})
	}
	return out
}
