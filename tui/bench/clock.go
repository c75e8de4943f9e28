package bench

import (
	"strings"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// A stand is how the clock and a curve beside it share a part of the panel; the zero stand is the clock alone.
type stand struct {
	curve int  // cells that the curve has at least
	clock int  // cells that the clock and its words have at least
	low   int  // rows that both have at least
	apart bool // the clock's words stand below both
}

const (
	besideGap   = 2  // cells between the clock and the curve beside it
	clockNarrow = 17 // cells that the clock and its words need
	clockEasy   = 28 // and have at least where there is room
)

// stands are the ways to put the curve beside the clock, the best first: with its axes, or only the course and its bounds.
func (p panel) stands() []stand {
	var out []stand
	if words := min(clockEasy, p.w-besideGap-curveNarrow); words >= clockNarrow {
		wide := stand{curve: curveNarrow, clock: words, low: curveLow}
		out = append(out, wide)
		wide.low = courseFoot
		out = append(out, wide)
	}
	out = append(out, stand{curve: courseNarrow, low: courseHigh, apart: true})
	if p.view.Clock != nil {
		left := p.sized(p.w - besideGap - courseNarrow)
		if words := p.width(left.clockMeans()); words <= left.w { // one row of digits and one of words
			out = append(out, stand{curve: courseNarrow, clock: words, low: courseLow})
		}
	}
	return append(out, stand{curve: courseNarrow, low: 1, apart: true})
}

// sized is the panel as if it had w cells.
func (p panel) sized(w int) panel {
	p.area = p.sub(0, 0, w, p.h)
	return p
}

// wordsOf tell what the digits mean, beside the curve or across the panel.
func (p panel) wordsOf(s stand) []row {
	if p.view.Clock == nil {
		return nil
	}
	if s.curve > 0 && !s.apart {
		p = p.sized(s.clock)
	}
	return p.clockWords()
}

// blockOf is the face of the clock where there are so many rows for it, its words and the curve beside them, and how many of
// the rows that takes.
func (p panel) blockOf(s stand, words, h int) (f face, rows int) {
	if s.curve > 0 {
		p = p.sized(p.w - s.curve - besideGap)
	}
	rows = words
	if p.bigWords() != "" {
		if f = p.faceOf(h - words - 2); f.height() < 5 { // a gap above and below, before a larger face
			f = p.faceOf(h - words)
		}
		rows += max(1, f.height())
	}
	if s.apart {
		return f, max(rows, s.low+words)
	}
	return f, max(rows, s.low)
}

// clock draws the clock, its words and the curve beside them, from a row on, and returns the row after them. The curve has
// the rows above the clock too.
func (p panel) clock(y, above int, what plan) int {
	s := what.stand
	left, rows := p, what.block
	if what.curve == beside {
		left = p.sized(p.w - s.curve - besideGap)
		left = p.sized(max(s.clock, left.digitsWide(what.face)))
		if s.apart {
			rows -= len(what.words)
		}
		drawCurve(p.sub(left.w+besideGap, y, min(p.w, curveWide), min(curveHigh, above+rows)), p.curve)
	}
	y += above
	end := left.digits(y, what.face)
	if s.apart {
		left, end = p, y+rows
	}
	left.rows(end, what.words)
	return y + what.block
}

// bigWords is what stands in the big face: the vessel's letter where there are several, and the clock.
func (p panel) bigWords() string {
	clock := ""
	if p.view.Clock != nil {
		clock = clockDigits(p.view.Clock)
	}
	if !p.several || !isBig(p.view.Vessel) {
		return clock
	}
	return strings.TrimRight(p.view.Vessel+" "+clock, " ")
}

// faceOf is the largest face that h rows have room for; the letter goes before it costs the clock its five rows.
func (p panel) faceOf(h int) face {
	f, ok := p.faceFor(p.bigWords(), p.w, h)
	if p.view.Clock == nil || ok && f.height() >= 5 {
		return f
	}
	if g, ok := p.faceFor(clockDigits(p.view.Clock), p.w, h); ok {
		return g
	}
	return f
}

// shown is what is written in a face: without the letter where there is no room for it.
func (p panel) shown(f face) string {
	text := p.bigWords()
	if p.view.Clock == nil || f.height() > 0 && f.width(text) <= p.w && f.hasSigns(text, p.glyphs) {
		return text
	}
	return clockDigits(p.view.Clock)
}

// digitsWide is how many cells the digits take.
func (p panel) digitsWide(f face) int {
	if f.height() == 0 {
		return p.width(p.shown(f))
	}
	return f.width(p.shown(f))
}

// digits writes the letter and the clock and returns the row after them.
func (p panel) digits(y int, f face) int {
	role, text := tui.Shade(p.view.Tone), p.shown(f)
	if f.height() == 0 {
		if p.view.Clock != nil {
			p.put(0, y, role, text)
		}
		return y + 1
	}
	x := 0
	if clock, ok := strings.CutPrefix(text, p.view.Vessel); ok && p.several {
		text = strings.TrimLeft(clock, " ")
		x = p.sub(0, y, p.w, p.h-y).bigText(f, tui.Strong, p.view.Vessel) + 2*f.wide
	}
	p.sub(x, y, p.w-x, p.h-y).bigText(f, role, text)
	return y + f.height()
}

// clockWords tell what the digits mean.
func (p panel) clockWords() []row {
	role := tui.Ink
	if p.view.Tone == run.Late {
		role = tui.Warn
	}
	return p.said(role, p.clockMeans(), 3)
}

// clockMeans is what the digits mean, short where there is no room for all of it.
func (p panel) clockMeans() string {
	words := clockWords(p.view.Clock)
	if short := clockShort(p.view.Clock); p.width(words) > p.w && short != "" {
		return short
	}
	return words
}
