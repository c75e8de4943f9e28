package plain

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"example.org/meniscus/tui"
)

// say writes text as lines of their own, broken at the width, later ones set in by two blanks. mark stands before it.
func (f *face) say(mark, text string) {
	f.write(f.endOfPrompt())
	text = tui.Clean(mark + text)
	if f.opts.Ascii {
		text = ascii(text) // before it is broken: the spelling may be longer
	}
	f.write(wrap(text, f.width()) + "\n")
}

// width is how many columns a line may have; 0: any number.
func (f *face) width() int {
	if f.opts.Width == nil {
		return 0
	}
	return f.opts.Width()
}

// termWide is how many columns the terms of a list have.
const termWide = 19

// item writes a line of a list: a term, and beside it what it means, or after it where that would be too narrow.
func (f *face) item(term, means string) {
	const beside = 2 + termWide + 1
	if w := f.width(); w > 0 && w < beside+narrowest {
		f.say("  ", term+": "+means)
		return
	}
	means = tui.Clean(means)
	if f.opts.Ascii {
		means = ascii(means)
	}
	lines := strings.Split(wrap(means, f.width()-beside), "\n  ")
	f.write(f.endOfPrompt())
	f.write(fmt.Sprintf("  %-*s %s\n", termWide, tui.Clean(term), strings.Join(lines, "\n"+strings.Repeat(" ", beside))))
}

// prompt asks for a line, unless the prompt stands already. Where lines are echoed, the prompt comes with the line.
func (f *face) prompt() {
	if f.prompted || f.opts.Echo {
		return
	}
	f.write(tui.Clean(f.o.Vessel) + "> ")
	f.prompted = true
}

// echo takes note of a line that arrived: the terminal has shown it and gone to the next one, or it is written here.
func (f *face) echo(line typed) {
	switch {
	case line.last:
	case f.opts.Echo:
		f.write(tui.Clean(f.o.Vessel) + "> " + tui.Clean(line.text) + "\n")
	default:
		f.prompted = false
	}
}

func (f *face) write(s string) {
	if f.err != nil {
		return
	}
	if f.opts.Ascii {
		s = ascii(s)
	}
	_, f.err = io.WriteString(f.out, s)
}

// narrowest is how many columns are worth to break lines for.
const narrowest = 20

// wrap breaks text at blanks so that lines have at most width characters where words allow; 0 breaks nothing.
func wrap(text string, width int) string {
	if width < narrowest {
		return text
	}
	var b strings.Builder
	at := len(text) - len(strings.TrimLeft(text, " "))
	b.WriteString(text[:at])
	for i, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case at+1+n > width:
			b.WriteString("\n  ")
			at = 2
		default:
			b.WriteByte(' ')
			at++
		}
		b.WriteString(word)
		at += n
	}
	return b.String()
}

var plainer = strings.NewReplacer("°C", "deg C", "°", " deg", "µ", "u", "μ", "u", "²", "2", "³", "3", "±", "+/-", "·", ".",
	"…", "...", "–", "-", "—", "-", "−", "-", "×", "x", "≥", ">=", "≤", "<=", "≈", "about ", "Δ", "d", "ρ", "rho", "θ", "theta",
	"τ", "tau", "∞", "inf", "’", "'", "‘", "'", "“", `"`, "”", `"`)

// ascii writes s with the characters of ASCII alone; what has no spelling in it becomes a question mark.
func ascii(s string) string {
	return strings.Map(func(r rune) rune {
		if r > 126 {
			return '?'
		}
		return r
	}, plainer.Replace(s))
}
