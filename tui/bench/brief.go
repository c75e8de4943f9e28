package bench

import (
	"slices"
	"strings"
	"unicode"
)

// A screen says less rather than cutting a word: whole wordings, whole sentences, whole words, in this order. The mark of
// a cut is for texts that nothing else is known to do for.

// first returns the first of several wordings that fits w cells and says something; "" when none does.
func (g *glyphs) first(w int, wordings ...string) string {
	for _, s := range wordings {
		if s != "" && g.width(s) <= w {
			return s
		}
	}
	return ""
}

// label returns a name in at most w cells: its first words where there is no room for all, and "" where there is not even
// room for the first.
func (g *glyphs) label(s string, w int) string {
	if g.width(s) <= w {
		return s
	}
	words := chunks(g.clean(s))
	for n := len(words) - 1; n > 0; n-- {
		if isJoining(words[n-1]) {
			continue
		}
		if short := strings.TrimRight(strings.Join(words[:n], " "), ",;:"); g.width(short) <= w {
			return short
		}
	}
	return ""
}

// named is label for what must be told in any case: a first word that is too long is cut, with a mark.
func (g *glyphs) named(s string, w int) string {
	if short := g.label(s, w); short != "" {
		return short
	}
	return g.fit(s, w)
}

// joining are the words that a shortened name does not end in.
var joining = []string{"a", "an", "and", "at", "by", "for", "from", "in", "of", "on", "or", "the", "to", "with", "-", "–", "·"}

func isJoining(word string) bool { return slices.Contains(joining, strings.ToLower(word)) }

// clause is a text up to its first comma, semicolon, colon or full stop; the whole text where there is none.
func clause(s string) string {
	for i, r := range s {
		if strings.ContainsRune(",;:.", r) && i+1 < len(s) && s[i+1] == ' ' {
			return s[:i]
		}
	}
	return s
}

// sentences are the sentences of a text, each with its stop.
func sentences(s string) []string {
	var out []string
	from := 0
	for i := 0; i+2 < len(s); i++ {
		if strings.IndexByte(".?!", s[i]) < 0 || s[i+1] != ' ' {
			continue
		}
		if next, _ := firstSign(s[i+2:]); !unicode.IsLower([]rune(next)[0]) {
			out, from = append(out, s[from:i+1]), i+2
		}
	}
	if rest := strings.TrimSpace(s[from:]); rest != "" {
		out = append(out, rest)
	}
	return out
}

// sentencesIn wraps as many whole parts of a text as n lines of w cells have room for, and tells how many these are.
func (g *glyphs) sentencesIn(parts []string, between string, w, n int) (lines []string, whole int) {
	for whole = len(parts); whole > 0; whole-- {
		if lines = g.wrap(strings.Join(parts[:whole], between), w); len(lines) <= n {
			return lines, whole
		}
	}
	return nil, 0
}

// wrapTo wraps a text into at most n lines; where that is not all of it, the key that shows it whole stands at the end.
func (g *glyphs) wrapTo(s string, w, n int, key string) []string {
	lines := g.wrap(s, w)
	if len(lines) <= n || n < 1 {
		return lines[:min(len(lines), max(n, 0))]
	}
	lines[n-1] = g.fit(lines[n-1]+" "+lines[n], w-1-g.width(key)) + " " + key
	return lines[:n]
}
