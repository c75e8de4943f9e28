package protocol

import (
	"errors"
	"fmt"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2/unstable"
)

// maxKeyParts bounds a dotted key: more parts than any key of the format has.
const maxKeyParts = 8

// place is where a key and its value stand, in bytes from the begin of the text. A block without a value of its own
// ([[stage]]) has the place of its header in both.
type place struct{ key, value, end int }

// index knows where everything stands. The decoder keeps one position for all blocks of an array, and none for an
// unknown key, so this is built beside it: "stage[1].clock.aim" -> place.
type index struct {
	text   string
	lines  []int // where each line begins
	places map[string]place
	blocks map[string]int // how many [[…]] blocks an array has had so far
}

// fault is a fault before its position is turned into line and column.
type fault struct {
	at          int // byte offset
	msg, remedy string
}

// newIndex builds the index; the fault, if any, says where the text is no TOML.
func newIndex(text string) (*index, *fault) {
	x := linesOf(text)
	data := []byte(text)
	var p unstable.Parser
	p.Reset(data)
	block := ""
	for p.NextExpression() {
		var f *fault
		switch e := p.Expression(); e.Kind {
		case unstable.KeyValue:
			f = x.pair(block, e)
		case unstable.Table, unstable.ArrayTable:
			block, f = x.header(e)
		}
		if f != nil {
			return x, f
		}
	}
	return x, x.parserFault(p.Error(), data)
}

// parserFault places the parser's error; data is what it was given.
func (x *index) parserFault(err error, data []byte) *fault {
	if err == nil {
		return nil
	}
	at := len(data)
	var pe *unstable.ParserError
	if errors.As(err, &pe) { // the highlight is a part of data
		at = max(0, min(len(data), cap(data)-cap(pe.Highlight)))
	}
	return &fault{at, "this is no TOML: " + err.Error(), ""}
}

// readKey returns the parts of a key and where it begins and ends.
func readKey(it unstable.Iterator) (parts []string, begin, end int) {
	begin = -1
	for it.Next() {
		n := it.Node()
		if begin < 0 {
			begin = int(n.Raw.Offset)
		}
		end = int(n.Raw.Offset + n.Raw.Length)
		parts = append(parts, string(n.Data))
	}
	return parts, begin, end
}

// path returns the path of a header's key; a part that names an array stands for its last block.
func (x *index) path(keys []string) string {
	path := ""
	for _, k := range keys {
		path = join(path, k)
		if n := x.blocks[path]; n > 0 {
			path = element(path, n-1)
		}
	}
	return path
}

// pair adds a key with its value, and what is inside the value.
func (x *index) pair(block string, n *unstable.Node) *fault {
	keys, begin, end := readKey(n.Key())
	if f := keyTooLong(keys, begin); f != nil {
		return f
	}
	for end < len(x.text) && strings.IndexByte(" \t=", x.text[end]) >= 0 {
		end++
	}
	for i := 1; i < len(keys); i++ { // stage.clock.aim makes the table clock
		x.add(join(block, keys[:i]...), place{begin, begin, begin})
	}
	return x.value(join(block, keys...), begin, end, n.Value())
}

var tooMany = fmt.Sprintf("the file has more than %d keys and values: no more are read", maxValues)

func keyTooLong(keys []string, at int) *fault {
	if len(keys) > maxKeyParts {
		return &fault{at, fmt.Sprintf("a key of %d parts: at most %d are read", len(keys), maxKeyParts), ""}
	}
	for _, k := range keys {
		if len(k) > maxKey {
			return &fault{at, fmt.Sprintf("a key of %d bytes: at most %d are read", len(k), maxKey), ""}
		}
	}
	return nil
}

func (x *index) value(path string, key, begin int, n *unstable.Node) *fault {
	x.add(path, place{key, begin, begin + int(n.Raw.Length)})
	switch {
	case n.Kind == unstable.String && len(n.Data) > maxWords:
		return &fault{begin, fmt.Sprintf("a text of %d bytes: at most %d are read", len(n.Data), maxWords), ""}
	case len(x.places) > maxValues:
		return &fault{begin, tooMany, ""}
	}
	i := 0
	for it := n.Children(); it.Next(); {
		inner := it.Node()
		var f *fault
		if n.Kind == unstable.InlineTable {
			f = x.pair(path, inner)
		} else {
			at := begin // an array in an array has no range of its own
			if inner.Raw.Length > 0 {
				at = int(inner.Raw.Offset)
			}
			f = x.value(element(path, i), at, at, inner)
			i++
		}
		if f != nil {
			return f
		}
	}
	return nil
}

// header adds the header of a block and returns the block's path.
func (x *index) header(n *unstable.Node) (string, *fault) {
	keys, begin, _ := readKey(n.Key())
	if f := keyTooLong(keys, begin); f != nil {
		return "", f
	}
	if len(x.places) > maxValues {
		return "", &fault{begin, tooMany, ""}
	}
	at := x.bracket(begin)
	here := place{at, at, begin}
	for i := 1; i < len(keys); i++ { // [instrument.balance] makes the table instrument
		x.add(x.path(keys[:i]), here)
	}
	if n.Kind == unstable.Table {
		block := x.path(keys)
		x.add(block, here)
		return block, nil
	}
	array := join(x.path(keys[:len(keys)-1]), keys[len(keys)-1])
	x.add(array, here)
	block := element(array, x.blocks[array])
	x.blocks[array]++
	x.add(block, here)
	return block, nil
}

// bracket returns where the header with a key at the given place begins.
func (x *index) bracket(at int) int {
	for at > 0 && strings.IndexByte("[ \t", x.text[at-1]) >= 0 {
		at--
	}
	for x.text[at] == ' ' || x.text[at] == '\t' {
		at++
	}
	return at
}

func (x *index) add(path string, p place) {
	if _, ok := x.places[path]; !ok {
		x.places[path] = p
	}
}

// place returns where a path stands; what stands nowhere itself has the place of what it is in.
func (x *index) place(path string) place {
	for path != "" {
		if p, ok := x.places[path]; ok {
			return p
		}
		cut := strings.LastIndexAny(path, ".[")
		path = path[:max(cut, 0)]
	}
	return place{}
}

// lineCol turns a byte offset into a line and a column in runes, both from 1.
func (x *index) lineCol(at int) (line, col int) {
	at = max(0, min(at, len(x.text)))
	for at > 0 && at < len(x.text) && !utf8.RuneStart(x.text[at]) {
		at-- // the parser may point into a character
	}
	line = sort.Search(len(x.lines), func(i int) bool { return x.lines[i] > at })
	return line, utf8.RuneCountInString(x.text[x.lines[line-1]:at]) + 1
}

func join(path string, keys ...string) string {
	for _, k := range keys {
		if strings.ContainsAny(k, ".[\"") {
			k = strconv.Quote(k)
		}
		if path != "" {
			path += "."
		}
		path += k
	}
	return path
}

func element(path string, i int) string { return path + "[" + strconv.Itoa(i) + "]" }

// inside returns where a rune of a text stands in the file, counted from 0 in the text's value; escapes and line
// endings of the file's spelling are passed over.
func (x *index) inside(path string, rune int) int {
	p := x.place(path)
	raw := x.text[p.value:max(p.value, p.end)]
	if raw == "" {
		return p.value
	}
	i, quote := 1, raw[0]
	long := len(raw) >= 6 && raw[1] == quote && raw[2] == quote
	if long {
		i = 3
		i += lineEnd(raw[i:])
	}
	for {
		if quote == '"' && long {
			i += continuation(raw[i:])
		}
		if rune <= 0 || i >= len(raw) {
			return p.value + min(i, len(raw))
		}
		i += runeWidth(raw[i:], quote == '"')
		rune--
	}
}

// runeWidth returns how many bytes of the file spell the first rune.
func runeWidth(raw string, escapes bool) int {
	if escapes && raw[0] == '\\' && len(raw) > 1 {
		switch raw[1] {
		case 'x':
			return 4
		case 'u':
			return 6
		case 'U':
			return 10
		}
		return 2
	}
	_, n := utf8.DecodeRuneInString(raw)
	return n
}

// lineEnd returns the length of the line ending that raw begins with, or 0.
func lineEnd(raw string) int {
	switch {
	case strings.HasPrefix(raw, "\r\n"):
		return 2
	case strings.HasPrefix(raw, "\n"):
		return 1
	}
	return 0
}

// continuation returns the length of the backslash, line ending and indentation that raw begins with, or 0.
func continuation(raw string) int {
	if !strings.HasPrefix(raw, "\\") {
		return 0
	}
	rest := strings.TrimLeft(raw[1:], " \t")
	if lineEnd(rest) == 0 {
		return 0
	}
	return len(raw) - len(strings.TrimLeft(rest, " \t\r\n"))
}

// linesOf returns an index that knows lines only.
func linesOf(text string) *index {
	x := &index{text: text, places: map[string]place{}, blocks: map[string]int{}, lines: []int{0}}
	for i := 0; i < len(text); i++ {
		if text[i] == '\n' {
			x.lines = append(x.lines, i+1)
		}
	}
	return x
}
