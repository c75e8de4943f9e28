package bench

import (
	"strings"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// headRows stand above the glass: the letter, and the tone in a word. lipRows and footRows belong to the glass.
const (
	headRows = 2
	glassEnd = 2 // lip and foot
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
}

// draw draws the vessel; its left wall is at x = 1, beside the mark of the plan.
func (g glass) draw() {
	g.head()
	top, rows := g.scale()
	if rows < 1 {
		return
	}
	left, right := 1, 2+g.inner
	if top > 0 {
		g.put(left, top-1, tui.Glass, g.lipLeft)
		g.put(right, top-1, tui.Glass, g.lipRight)
	}
	ticks := g.ticks(rows)
	for y := range rows {
		g.put(left, top+y, tui.Glass, g.wall)
		sign := g.wall
		if ticks[y] {
			sign = g.tick
		}
		g.put(right, top+y, tui.Glass, sign)
		for x := range g.inner {
			g.put(left+1+x, top+y, tui.Shade(g.view.Tone), g.liquid(x, rows-1-y, rows))
		}
	}
	if g.view.Begun && !g.view.Through {
		g.put(0, top+rowOf(g.view.PlannedLevel, rows), tui.Strong, g.plan)
	}
	g.put(left, g.h-1, tui.Glass, g.footLeft+strings.Repeat(g.foot, g.inner)+g.footRight)
}

// head writes the letter and the tone above the glass.
func (g glass) head() {
	letter, role := " "+g.view.Vessel+" ", tui.Strong
	if g.meant {
		role = tui.Chip(g.view.Tone)
	}
	middle := 1 + (g.inner+2)/2
	g.put(middle-g.width(letter)/2, 0, role, letter)
	word := g.tone(g.view.Tone) + " " + toneShortWord(g.view)
	g.put(max(0, middle-g.width(word)/2), 1, tui.Shade(g.view.Tone), word)
}

// scale returns the first row between the walls, and how many there are.
func (g glass) scale() (top, rows int) {
	rows = g.h - headRows - glassEnd
	if rows < 4 { // too low for a head and a lip
		rows = g.h - headRows - 1
		return headRows, rows
	}
	return headRows + 1, rows
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
		case x == 0:
			return "\\"
		case x == g.inner-1:
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

// ticks tells which rows carry a graduation.
func (g glass) ticks(rows int) map[int]bool {
	out := map[int]bool{}
	for _, m := range g.view.Marks {
		out[rowOf(m.At, rows)] = true
	}
	return out
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
	taken := map[int]bool{}
	write := func(i int, role tui.Role) {
		y := top + rowOf(marks[i].At, rows)
		if y < 0 || taken[y] {
			return
		}
		taken[y] = true
		a.fitted(0, y, a.w-1, role, marks[i].Title)
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
