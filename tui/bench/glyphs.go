package bench

import (
	"strings"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// A glyphs is every sign the screens draw with. There are two sets; plainGlyphs needs nothing beyond ASCII.
type glyphs struct {
	ascii                                  bool
	wall, tick, lipLeft, lipRight          string
	footLeft, footRight, foot, edge        string // edge is the bench's
	eighths                                [9]string
	plan, cursor, prompt, dot              string
	met, unmet, caution, due, doubt, cross string
	more, less, chosen, cut                string
	tones                                  [4]string // by run.Tone
	pixel, upper, lower                    string
	reading, between                       string   // on a curve: a reading, and the line between two
	aim, above, below                      string   // on a curve: the aim's line, or the way to it
	parts                                  []string // of a row that is filled from below, from none to all
}

var boxGlyphs = glyphs{
	wall: "│", tick: "├", lipLeft: "╮", lipRight: "╭",
	footLeft: "╰", footRight: "╯", foot: "─", edge: "━",
	eighths: [9]string{" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"},
	plan:    "▸", cursor: "▏", prompt: "▸", dot: "·",
	met: "✓", unmet: "○", caution: "△", due: "●", doubt: "?", cross: "×",
	more: "▼", less: "▲", chosen: "▸", cut: "…",
	tones: [4]string{"·", "○", "▶", "▲"},
	pixel: "█", upper: "▀", lower: "▄",
	reading: "●", between: "·",
	aim: "╌", above: "↑", below: "↓",
	parts: []string{" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"},
}

var plainGlyphs = glyphs{
	ascii: true,
	wall:  "|", tick: "+", lipLeft: "\\", lipRight: "/",
	footLeft: "`", footRight: "'", foot: "-", edge: "=",
	eighths: [9]string{" ", "_", "_", ".", "-", "-", "~", "~", "#"},
	plan:    ">", cursor: "_", prompt: ">", dot: "-",
	met: "ok", unmet: "..", caution: "!", due: "*", doubt: "?", cross: "x",
	more: "v", less: "^", chosen: ">", cut: "~",
	tones:   [4]string{"-", "o", ">", "!"},
	pixel:   "#",
	reading: "*", between: ".",
	aim: "-", above: "^", below: "v",
	parts: []string{" ", ".", ":", "#"},
}

// tone returns a tone's shape.
func (g *glyphs) tone(t run.Tone) string { return g.tones[min(int(t), len(g.tones)-1)] }

// spelled are the signs that texts use, as ASCII has to write them.
var spelled = strings.NewReplacer(
	"°C", "degC", "°", "deg", "µ", "u", "μ", "u", "·", "-", "–", "-", "—", "-", "−", "-", "…", "...", "±", "+/-", "×", "x",
	"≤", "<=", "≥", ">=", "²", "2", "³", "3", "‘", "'", "’", "'", "“", "\"", "”", "\"", "→", "->", "Δ", "d", "ρ", "rho", "τ", "tau",
)

// clean returns a text that is safe on a screen: one line, no control or direction characters, and only what the set can
// show. Applying it twice changes nothing more.
func (g *glyphs) clean(s string) string {
	if isPrintable(s) {
		return s
	}
	if g.ascii {
		s = spelled.Replace(s)
	}
	s = tui.Clean(s)
	if !g.ascii {
		return s
	}
	return strings.Map(func(r rune) rune {
		if r > '~' {
			return '?'
		}
		return r
	}, s)
}

// isPrintable tells whether s is printable ASCII, which needs no cleaning.
func isPrintable(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}
