package protocol

import (
	"fmt"
	"slices"
	"strings"
)

// A Text is what an operator reads; {NAME} in it stands for a given, an amount or an earlier reading, and {{ for a
// brace.
type Text struct {
	source string
	parts  []part
}

// part is literal text, or a name to be filled in.
type part struct {
	literal string
	name    string
	at      int // where the name begins, in runes from 0
}

// A Shower tells how a name is shown: "11.0 mL". With portion > 0 a list shows the value of that portion. ok is false
// while the name has no value.
type Shower interface {
	Show(name string, portion int) (text string, ok bool)
}

// String returns the text as the file has it.
func (t Text) String() string { return t.source }

// IsEmpty tells whether there is nothing to say.
func (t Text) IsEmpty() bool { return t.source == "" }

// Names returns the names that the text mentions, in order, each once.
func (t Text) Names() []string {
	var out []string
	for _, p := range t.parts {
		if p.name != "" && !slices.Contains(out, p.name) {
			out = append(out, p.name)
		}
	}
	return out
}

// Fill returns the text with its names filled in; a name without a value yet shows as "…".
func (t Text) Fill(s Shower, portion int) string {
	if len(t.parts) == 0 {
		return t.source
	}
	var out strings.Builder
	for _, p := range t.parts {
		switch shown, ok := show(s, p.name, portion); {
		case p.name == "":
			out.WriteString(p.literal)
		case ok:
			out.WriteString(shown)
		default:
			out.WriteString("…")
		}
	}
	return out.String()
}

func show(s Shower, name string, portion int) (string, bool) {
	if name == "" || s == nil {
		return "", false
	}
	return s.Show(name, portion)
}

// plainText returns a text without names.
func plainText(s string) Text { return Text{source: s} }

// parseText finds the names in a text. When a brace is wrong, at says where, in runes from 0, and msg what.
func parseText(source string) (t Text, at int, msg string) {
	t.source = source
	if !strings.Contains(source, "{") {
		return t, 0, ""
	}
	rs := []rune(source)
	var literal []rune
	for i := 0; i < len(rs); i++ {
		switch {
		case rs[i] != '{':
			literal = append(literal, rs[i])
			continue
		case i+1 < len(rs) && rs[i+1] == '{':
			literal = append(literal, '{')
			i++
			continue
		}
		n := 1
		for i+n < len(rs) && rs[i+n] != '}' && rs[i+n] != '{' {
			n++
		}
		name := string(rs[i+1 : min(i+n, len(rs))])
		if i+n >= len(rs) || rs[i+n] != '}' {
			return t, i, "the brace before " + fmt.Sprintf("%q", brief(name)) + " is not closed"
		}
		if strings.TrimSpace(name) == "" {
			return t, i, "the braces hold no name"
		}
		if len(t.parts) >= 2*maxNames {
			return t, i, fmt.Sprintf("a text mentions at most %d names", maxNames)
		}
		t.parts = append(t.parts, part{literal: string(literal)}, part{name: strings.TrimSpace(name), at: i})
		literal = nil
		i += n
	}
	t.parts = append(t.parts, part{literal: string(literal)})
	return t, 0, ""
}

// say reads a text and, once all names are known, looks at those that it mentions.
func (l *loader) say(w words, s scope) Text {
	t, at, msg := parseText(w.text)
	if msg != "" {
		l.addIn(w, at, w.said()+msg, "{name}, or {{ for a brace")
		return plainText(w.text)
	}
	if len(t.parts) > 0 {
		l.later = append(l.later, func() { l.mentions(w, t, s) })
	}
	return t
}

// said names the key before a message about its text; a step has none.
func (w words) said() string {
	if w.key == "" {
		return ""
	}
	return w.key + ": "
}

// sayIn is say for a key of a block.
func (t *table) sayIn(key string, s scope) Text {
	w, ok := t.words(key)
	if !ok {
		return Text{}
	}
	return t.l.say(w, s)
}

// mentions reports the names of a text that cannot be filled in.
func (l *loader) mentions(w words, t Text, s scope) {
	for _, p := range t.parts {
		if p.name == "" {
			continue
		}
		l.used[p.name] = true
		d, declared := l.names[p.name]
		switch {
		case !declared:
			remedy := ""
			if meant := Nearest(p.name, s.Known()); meant != "" {
				remedy = "{" + meant + "}"
			}
			l.addIn(w, p.at, fmt.Sprintf("%s{%s} is no given, amount or reading", w.said(), p.name), remedy)
		case d.broken:
		case s.refusesText(p.name, d) != "":
			l.addIn(w, p.at, w.said()+s.refusesText(p.name, d), "")
		}
	}
}

// refusesText is refuses for a text, which may show words and ticks of every portion, but no list of shares.
func (s scope) refusesText(name string, d *declaration) string {
	if r, ok := d.what.(*Reading); ok && s.readings > r.Stage.Number && !s.run {
		return ""
	}
	if _, ok := d.what.(shares); ok {
		return fmt.Sprintf("{%s} is for formulas: a text shows an amount that is worked out from it", name)
	}
	return s.refuses(name, d)
}
