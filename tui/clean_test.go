package tui

import (
	"bytes"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"
)

// hostile is what a stranger's text may hold: escapes of both kinds, direction marks, broken text, signs of two cells.
var hostile = []string{"\x1b[2J", "\x1b]0;title\x07", "\u009b31m", "\u202e", "\u2066", "\u200b", "\ufeff", "\x00", "\x7f", "\xff", "\xc2", "\x9b", "\u2028",
	"\r", "\n", "\t", "\b", "日本", "e\u0301", "é", "°C", "plain"}

func TestCleanHoldsForAnyText(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		parts := rapid.SliceOf(rapid.OneOf(rapid.SampledFrom(hostile), rapid.String())).Draw(rt, "parts")
		text := strings.Join(parts, "")
		clean := Clean(text)
		for _, r := range clean {
			if unicode.Is(unicode.C, r) {
				rt.Fatalf("%q is left in %q", r, clean)
			}
		}
		if Clean(clean) != clean {
			rt.Fatalf("cleaned twice, %q changes", clean)
		}
		var at, once bytes.Buffer
		w := Writer(&at)
		for i := 0; i < len(text); { // cut anywhere, also inside a rune
			n := rapid.IntRange(1, 5).Draw(rt, "n")
			if _, err := w.Write([]byte(text[i:min(len(text), i+n)])); err != nil {
				rt.Fatal(err)
			}
			i += n
		}
		if _, err := Writer(&once).Write([]byte(text)); err != nil {
			rt.Fatal(err)
		}
		if at.String() != once.String() {
			rt.Fatalf("written in pieces %q, at once %q", at.String(), once.String())
		}
		for _, r := range at.String() {
			if r != '\n' && r != '\t' && unicode.Is(unicode.C, r) {
				rt.Fatalf("%q is passed on", r)
			}
		}
	})
}

// Signs that break a line reach no terminal.
func TestLineBreaksAreNotPrintable(t *testing.T) {
	for _, r := range "\u2028\u2029\u0085" {
		if Printable(r) {
			t.Errorf("%U is printable", r)
		}
	}
}
