package bench

import (
	"fmt"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

const (
	glassEnd  = 2  // the rows of lip and foot
	rowsMost  = 38 // between lip and foot: taller than 40 rows a glass stands no better
	bigLetter = 7  // rows above the tallest glass for a letter five rows high, and a gap
)

// bends are how much higher than its middle the liquid stands, in eighths of a row, from the wall inwards: a liquid that
// wets the glass climbs it.
var bends = []int{5, 3, 1}

// A glass is a vessel's drawing: a graduated cylinder that stands on the lower edge of its area.
type glass struct {
	area
	inner int // cells between the walls
	view  run.View
	meant bool // the one that is worked on
	timed bool // its time stands above it
}

// draw draws the vessel; its left wall is at x = 1, beside the mark of the plan.
func (g glass) draw() {
	top, rows := g.scale()
	g.head(top)
	if rows < 1 {
		return
	}
	left, right := 1, 2+g.inner
	if top > g.headRows() {
		g.sign(left, top-1, tui.Glass, g.lipLeft)
		g.sign(right, top-1, tui.Glass, g.lipRight)
	}
	for y := range rows {
		g.sign(left, top+y, tui.Glass, g.wall)
		g.sign(right, top+y, tui.Glass, g.wall)
		for x := range g.inner {
			role, sign := tui.Shade(g.view.Tone), g.liquid(x, rows-1-y, rows)
			if sign == g.eighths[8] {
				role = g.solid(role)
			}
			g.sign(left+1+x, top+y, role, sign)
		}
	}
	for _, m := range g.view.Marks {
		g.sign(right, top+rowOf(m.At, rows), tui.Glass, g.tick)
	}
	if g.view.Begun && !g.view.Through {
		g.sign(0, top+rowOf(g.view.PlannedLevel, rows), tui.Strong, g.plan)
	}
	if g.view.Tone == run.Late {
		g.label(left+1, top, rows)
	}
	g.sign(left, g.h-1, tui.Glass, g.footLeft)
	g.repeat(left+1, g.h-1, g.inner, tui.Glass, g.foot)
	g.sign(right, g.h-1, tui.Glass, g.footRight)
}

// head writes the letter, the tone and the time above the glass; the letter in a big face where there is much room.
func (g glass) head(top int) {
	y := max(0, top-1-g.headRows())
	role := tui.Strong
	if g.meant {
		role = tui.Chip(g.view.Tone)
	}
	middle := 1 + (g.inner+2)/2
	if f, ok := g.faceFor(g.view.Vessel, g.inner+2, bigLetter-2); ok && y >= bigLetter && isBig(g.view.Vessel) && f.height() >= 5 {
		g.drawLetter(f, middle, y-bigLetter)
	}
	letter := " " + g.view.Vessel + " "
	if g.meant && g.timed {
		letter = chosen(g.view.Vessel)
	}
	g.put(middle-g.width(letter)/2, y, role, letter)
	for i, text := range []string{g.toneWord(), g.time()}[:g.headRows()-1] {
		g.put(max(0, middle-g.width(text)/2), y+1+i, tui.Shade(g.view.Tone), text)
	}
}

// drawLetter writes the letter in a big face, from row y on; it is a hole in a filled field where hands are needed.
func (g glass) drawLetter(f face, middle, y int) {
	role, wide := tui.Shade(g.view.Tone), f.width(g.view.Vessel)
	if g.view.Tone < run.Hands {
		g.sub(middle-wide/2, y+1, wide, f.height()).bigText(f, role, g.view.Vessel)
		return
	}
	side := min(2*f.wide, middle-wide/2, g.w-middle-wide+wide/2)
	g.sub(middle-wide/2-side, y, wide+2*side, f.height()+2).cutOut(side, f, role, g.view.Vessel)
}

// headRows stand above the glass.
func (g glass) headRows() int {
	if g.timed && g.h >= 14 && g.w >= 5 {
		return 3
	}
	return 2
}

// toneWord is the tone's shape, and its word where the slot has room for it.
func (g glass) toneWord() string {
	switch shape := g.tone(g.view.Tone); {
	case g.w < 7:
		return shape
	case g.w < 8 && g.timed:
		return shape + toneShortWord(g.view)
	default:
		return shape + " " + toneShortWord(g.view)
	}
}

// time is the vessel's clock, short of seconds where they have no room.
func (g glass) time() string {
	c := g.view.Clock
	if c == nil {
		return ""
	}
	text := clockDigits(c)
	if g.width(text) < g.w {
		return text
	}
	d, sign := clockTime(c)
	switch {
	case d < time.Minute:
		return fmt.Sprintf("%s%ds", sign, int(d.Seconds()))
	case d < 100*time.Minute:
		return fmt.Sprintf("%s%dm", sign, int(d.Minutes()))
	}
	return fmt.Sprintf("%s%dh", sign, int(d.Hours()))
}

// scale returns the first row between the walls, and how many there are.
func (g glass) scale() (top, rows int) {
	head := g.headRows()
	rows = g.h - head - glassEnd
	if rows < 4 { // too low for a lip
		return head, g.h - head - 1
	}
	rows = min(rows, rowsMost)
	return g.h - 1 - rows, rows
}

// label writes LATE on the glass itself, so that it is told without colour: across where it fits, else downwards. It
// stands above the liquid where there is room, and on it otherwise.
func (g glass) label(left, top, rows int) {
	across := g.inner >= 6
	high := 6
	if across {
		high = 3
	}
	if high > rows {
		return
	}
	level := top + rows - 1 - eighthsOf(g.view.Level, rows)/8 // the row of the surface
	y := level - 1 - high
	if y < top {
		y = min(level+2, top+rows-high)
	}
	shape := g.tone(run.Late)
	for i := range high {
		if i == 0 || i == high-1 {
			g.repeat(left, y+i, g.inner, tui.LateChip, shape)
			continue
		}
		g.repeat(left, y+i, g.inner, tui.LateChip, " ")
		if !across {
			g.put(left+(g.inner-1)/2, y+i, tui.LateChip, "LATE"[i-1:i])
		}
	}
	if across {
		g.put(left+(g.inner-4)/2, y+1, tui.LateChip, "LATE")
	}
}

// rowOf returns the row of a level, 0 to 1, counted from the top of so many rows.
func rowOf(level float64, rows int) int {
	return rows - 1 - min(rows-1, eighthsOf(level, rows)/8)
}

// eighthsOf returns a level in eighths of a row. A full vessel leaves room for the bent surface.
func eighthsOf(level float64, rows int) int {
	return int(min(1, max(0, level)) * float64(8*rows-bends[0]-1))
}

// liquid returns what stands in column x of the row that is i rows above the bottom.
func (g glass) liquid(x, i, rows int) string {
	if !g.view.Begun {
		return " "
	}
	stand := max(1, eighthsOf(g.view.Level, rows))
	if g.ascii { // no eighths: a row is liquid, surface or empty
		switch row := stand / 8; {
		case i < row:
			return g.eighths[8]
		case i > row:
			return " "
		case x == 0 && g.inner > 1:
			return "\\"
		case x == g.inner-1 && g.inner > 1:
			return "/"
		}
		return g.eighths[1]
	}
	bent := bends
	if g.inner < 5 { // a narrow glass has room for the edge only
		bent = bends[1:2]
	}
	if side := min(x, g.inner-1-x); side < min(len(bent), (g.inner-1)/2) {
		stand += bent[side]
	}
	return g.eighths[min(8, max(0, stand-8*i))]
}

// names writes the titles of the stages beside the scale: the one at hand first, then upwards, then those that are done;
// a row that is taken already keeps its title.
func (g glass) names(a area) {
	top, rows := g.scale()
	marks := g.view.Marks
	now := 0
	for now < len(marks) && marks[now].Done {
		now++
	}
	taken := make([]bool, max(0, top+rows))
	write := func(i int, role tui.Role) {
		y := top + rowOf(marks[i].At, rows)
		if y < 0 || y >= len(taken) || taken[y] {
			return
		}
		taken[y] = true
		a.put(0, y, role, a.label(marks[i].Title, a.w-1))
	}
	for i := now; i < len(marks); i++ {
		role := tui.Ink
		if i == now && g.view.Begun {
			role = tui.Strong
		}
		write(i, role)
	}
	for i := now - 1; i >= 0; i-- {
		write(i, tui.Faint)
	}
}
