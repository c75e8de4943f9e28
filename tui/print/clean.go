package print

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// nbsp keeps a figure and its unit on one line; the page writes it as a space.
const nbsp = '\u00a0'

// visible returns text on one line, in which what a terminal or a page would act on is spelled out: \x1b for an escape,
// \u202e for a mark that turns the reading direction.
func visible(text string) string {
	if isPlain(text) {
		return text
	}
	var b strings.Builder
	for i := 0; i < len(text); {
		c, n := utf8.DecodeRuneInString(text[i:])
		switch {
		case c == nbsp:
			b.WriteRune(c)
		case c == utf8.RuneError && n <= 1:
			fmt.Fprintf(&b, `\x%02x`, text[i])
		case c == '\n' || c == '\t' || c == '\r' || unicode.Is(unicode.Zs, c):
			b.WriteByte(' ')
		case c < 0x100 && unicode.IsControl(c):
			fmt.Fprintf(&b, `\x%02x`, c)
		case unicode.In(c, unicode.C, unicode.Zl, unicode.Zp):
			fmt.Fprintf(&b, `\u%04x`, c)
		default:
			b.WriteRune(c)
		}
		i += n
	}
	return b.String()
}

func isPlain(text string) bool {
	for i := 0; i < len(text); i++ {
		if text[i] < ' ' || text[i] > '~' {
			return false
		}
	}
	return true
}

// ascii is for terminals and printers that know nothing else.
var ascii = strings.NewReplacer("±", "+/-", "°", "deg", "µ", "u", "μ", "u", "²", "2", "³", "3", "·", ".", "…", "...", "–", "-",
	"—", "-", "−", "-", "×", "x", "≤", "<=", "≥", ">=", "“", `"`, "”", `"`, "‘", "'", "’", "'", "ä", "ae", "ö", "oe", "ü", "ue", "Ä", "Ae",
	"Ö", "Oe", "Ü", "Ue", "ß", "ss", "é", "e", "è", "e", "ê", "e", "á", "a", "à", "a", "ç", "c", "ñ", "n", "ó", "o", "í", "i")

// ASCII spells text for terminals and printers that know nothing else; a character without a spelling becomes a
// question mark.
func ASCII(text string) string { return inASCII(text) }

// inASCII spells text in ASCII; a character without a spelling becomes a question mark.
func inASCII(text string) string {
	return strings.Map(func(c rune) rune {
		if c > '~' {
			return '?'
		}
		return c
	}, ascii.Replace(text))
}
