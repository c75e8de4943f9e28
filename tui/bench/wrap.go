package bench

import (
	"strings"
	"unicode"
)

// width returns the cells a text takes once it is cleaned.
func (g *glyphs) width(s string) int {
	n := 0
	for s = g.clean(s); s != ""; {
		sign, wide := firstSign(s)
		s = s[len(sign):]
		n += wide
	}
	return n
}

// cutAt returns as much of a cleaned text as fits w cells, and the rest.
func cutAt(s string, w int) (head, rest string) {
	for i, x := 0, 0; i < len(s); {
		sign, wide := firstSign(s[i:])
		if x+wide > w {
			return s[:i], s[i:]
		}
		i, x = i+len(sign), x+wide
	}
	return s, ""
}

// fit returns a text in at most w cells, with a mark where it was cut: between words, unless the first is too long.
func (g *glyphs) fit(s string, w int) string {
	s = g.clean(s)
	if g.width(s) <= w {
		return s
	}
	if w <= 0 {
		return ""
	}
	head, rest := cutAt(s, w-1)
	if at := strings.LastIndexByte(head, ' '); at > 0 && !strings.HasPrefix(rest, " ") {
		head = head[:at]
	}
	return strings.TrimRight(head, " ") + g.cut
}

// tail returns the end of a text in at most w cells.
func (g *glyphs) tail(s string, w int) string {
	s = g.clean(s)
	for s != "" && g.width(s) > w {
		sign, _ := firstSign(s)
		s = s[len(sign):]
	}
	return s
}

// wrap breaks a text into lines of at most w cells, between words where it can; a number keeps its unit.
func (g *glyphs) wrap(s string, w int) []string {
	if w < 1 {
		return nil
	}
	var lines []string
	line := ""
	for _, word := range chunks(g.clean(s)) {
		switch {
		case line == "":
			line = word
		case g.width(line)+1+g.width(word) <= w:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
		for g.width(line) > w {
			head, rest := cutAt(line, w)
			if head == "" { // a sign of two cells in a column of one
				return lines
			}
			lines, line = append(lines, head), rest
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// wrapIn wraps a text into at most n lines; the last one shows that there was more.
func (g *glyphs) wrapIn(s string, w, n int) []string {
	lines := g.wrap(s, w)
	if len(lines) <= max(n, 0) {
		return lines
	}
	if n <= 0 {
		return nil
	}
	lines[n-1] = g.fit(lines[n-1]+" "+lines[n], w)
	return lines[:n]
}

// chunks are the words of a text; a short word after a number stays with it: "11.0 mL", an aim with its number, and a lone
// sign with the word before it.
func chunks(s string) []string {
	var out []string
	for _, word := range strings.Fields(s) {
		if n := len(out); n > 0 && out[n-1] == aimWord {
			out[n-1] += " " + word
			continue
		}
		if n := len(out); n > 0 && len([]rune(word)) == 1 && !isWord(word) {
			out[n-1] += " " + word
			continue
		}
		if n := len(out); n > 0 && endsInDigit(out[n-1]) && len([]rune(word)) <= 5 && !endsInDigit(word) {
			out[n-1] += " " + word
			continue
		}
		out = append(out, word)
	}
	return out
}

func isWord(s string) bool {
	return strings.ContainsFunc(s, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) })
}

func endsInDigit(s string) bool {
	r := []rune(s)
	return len(r) > 0 && unicode.IsDigit(r[len(r)-1])
}
