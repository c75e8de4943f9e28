package tui

import (
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Printable tells whether a rune may reach a terminal: no control, no sign that turns the direction of writing or
// cannot be seen or breaks a line, nothing that stands for broken text.
func Printable(r rune) bool {
	return r != unicode.ReplacementChar && !unicode.In(r, unicode.C, unicode.Zl, unicode.Zp)
}

// Clean returns a text on one line without anything that a terminal would act on: protocols, journals, readings from
// paper and notes come from strangers. Line ends and tabs become blanks. Every face cleans with it, or with Writer.
func Clean(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r' || r == '\u2028' || r == '\u2029':
			return ' '
		case !Printable(r):
			return -1
		}
		return r
	}, text)
}

// Line returns a line as it was typed: its ends cut off, tabs as blanks. Signs that cannot be seen stay, so that they
// can be refused: without them a number may be another one.
func Line(text string) string { return strings.TrimSpace(strings.ReplaceAll(text, "\t", " ")) }

// Writer returns a writer that passes on lines of text without anything that a terminal would act on. Line ends and
// tabs stay.
func Writer(w io.Writer) io.Writer { return &cleaner{w: w} }

type cleaner struct {
	w    io.Writer
	rest []byte // the begin of a rune whose end is still to come
}

func (c *cleaner) Write(p []byte) (int, error) {
	text := append(c.rest, p...)
	end := len(text)
	for n := 1; n <= min(utf8.UTFMax-1, len(text)); n++ {
		if at := len(text) - n; utf8.RuneStart(text[at]) {
			if !utf8.FullRune(text[at:]) {
				end = at
			}
			break
		}
	}
	c.rest = append([]byte(nil), text[end:]...)
	clean := strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' || Printable(r) {
			return r
		}
		return -1
	}, string(text[:end]))
	if _, err := io.WriteString(c.w, clean); err != nil {
		return 0, err
	}
	return len(p), nil
}
