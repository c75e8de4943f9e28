package bench

import (
	"math"
	"strings"
	"time"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

const (
	curveLeast  = 3  // readings that make a curve
	curveLow    = 6  // rows that a curve needs, its axis among them
	curveHigh   = 14 // and takes at most
	curveNarrow = 25 // cells that it needs
	curveWide   = 80 // and takes at most

	courseHigh   = 3  // rows that the course alone is to have
	courseLow    = 2  // and has beside a clock of one row and its words
	courseFoot   = 4  // with the first and the last moment below it
	courseNarrow = 13 // cells that it needs
)

// A point is a reading of a series.
type point struct {
	at    time.Duration // elapsed
	value float64
}

// A curve is the series that a vessel's stage is reading, with its unit as shown and the value it is to reach.
type curve struct {
	title, unit string
	points      []point
	aim         float64
	aimed       bool
}

// curveOf returns the series at hand: the one that is asked for, or the last one of the stage that has points.
func curveOf(s *run.State, v *run.Vessel, w run.View) curve {
	if w.Stage == nil {
		return curve{}
	}
	var of *protocol.Reading
	if a := w.Asked; a != nil && a.Reading != nil && a.Reading.Kind == protocol.Series {
		of = a.Reading
	}
	var c curve
	for i := len(v.Taken) - 1; i >= 0; i-- {
		t := &v.Taken[i]
		if of == nil && t.Reading.Kind == protocol.Series && t.Reading.Stage == w.Stage {
			of = t.Reading
		}
		if of == nil || t.Reading != of || t.NotTaken || t.Portion != w.Portion {
			continue
		}
		c.points = append(c.points, point{t.At.Elapsed, t.Value})
	}
	if of != nil {
		c.title, c.unit = titleOf(of), of.Unit.Shown()
		c.aim, c.aimed = run.Aim(of, w.Portion, s.Values(v.Label))
	}
	inTime(c.points)
	return c
}

// inTime sorts points that were gathered from the newest back; one entered later may stand out of order.
func inTime(p []point) {
	for i := range p {
		for k := i; k > 0 && p[k].at < p[k-1].at; k-- {
			p[k], p[k-1] = p[k-1], p[k]
		}
	}
}

func (c curve) isWorth() bool { return len(c.points) >= curveLeast }

// A span is what a plot shows: from the lowest to the highest value, from the first to the last moment.
type span struct {
	low, high float64
	from, to  time.Duration
}

// span is that of the points, and wide enough to show the aim where the points still take half of the height.
func (c curve) span() span {
	s := span{math.Inf(1), math.Inf(-1), c.points[0].at, c.points[len(c.points)-1].at}
	for _, p := range c.points {
		s.low, s.high = min(s.low, p.value), max(s.high, p.value)
	}
	if low, high := min(s.low, c.aim), max(s.high, c.aim); c.aimed && high-low <= 2*(s.high-s.low) {
		s.low, s.high = low, high
	}
	return s
}

// aimsInside tells whether the aim stands in the plot.
func (c curve) aimsInside(s span) bool { return c.aimed && s.low <= c.aim && c.aim <= s.high }

// row is where a value stands in so many rows, from 0 at the top.
func (s span) row(value float64, rows int) float64 {
	if s.high <= s.low {
		return float64(rows-1) / 2
	}
	return (s.high - value) / (s.high - s.low) * float64(rows-1)
}

// line is the row that a value beside the plot stands in; the only one of level readings stands at the top.
func (s span) line(value float64, rows int) int {
	if s.high <= s.low {
		return 0
	}
	return int(math.Round(s.row(value, rows)))
}

// column is where a moment stands in so many columns.
func (s span) column(at time.Duration, columns int) float64 {
	if s.to <= s.from {
		return 0
	}
	return float64(at-s.from) / float64(s.to-s.from) * float64(columns-1)
}

// drawCurve draws the readings as they came, joined by a dotted line; the first and the last moment stand below it, the
// highest and the lowest value beside it. The aim is a line of its own, or an arrow to where it would be. On a small area the
// course is all that is drawn.
func drawCurve(a area, c curve) {
	switch {
	case !c.isWorth():
		return
	case a.h < curveLow || a.w < curveNarrow:
		drawCourse(a, c)
		return
	}
	s := c.span()
	inside := c.aimsInside(s)
	c.head(a, s, inside)
	margin := c.bounds(a.sub(0, 1, a.w, a.h-2), s, inside)
	plot := a.sub(margin+2, 1, a.w-margin-2, a.h-2)
	if inside {
		plot.aimLine(s.line(c.aim, plot.h))
	}
	c.axes(a.sub(0, 1, a.w, a.h-1), margin+1, s)
	plot.joined(c, s)
}

// bounds writes the highest and the lowest value, and the aim where the plot has it, each on its row, and returns how many
// cells they take.
func (c curve) bounds(a area, s span, inside bool) (margin int) {
	margin = c.margin(a, s, inside)
	for i, v := range c.beside(s, inside) {
		role := tui.Scale
		if i > 0 && inside && v == c.aim {
			role = tui.Key
		}
		text := shownAs(v)
		a.put(0, s.line(v, a.h), role, strings.Repeat(" ", margin-a.width(text))+text)
	}
	return margin
}

// beside are the values that stand beside the plot.
func (c curve) beside(s span, inside bool) []float64 {
	values := []float64{s.high}
	if s.low < s.high {
		values = append(values, s.low)
	}
	if inside {
		values = append(values, c.aim)
	}
	return values
}

// margin is how many cells they take.
func (c curve) margin(a area, s span, inside bool) int {
	margin := 0
	for _, v := range c.beside(s, inside) {
		margin = max(margin, a.width(shownAs(v)))
	}
	return margin
}

// axes draws the wall of the plot, from a column on, and in the last row its foot, with the first and the last moment.
func (c curve) axes(a area, x int, s span) {
	a.upright(x, a.h-1)
	a.sign(x, a.h-1, tui.Scale, a.footLeft)
	a.repeat(x+1, a.h-1, a.w-x-1, tui.Scale, a.foot)
	a.put(x+1, a.h-1, tui.Scale, run.Hms(s.from)+" ")
	a.right(a.h-1, tui.Scale, " "+run.Hms(s.to))
}

// upright draws so many rows of a wall.
func (a area) upright(x, rows int) {
	for y := range rows {
		a.sign(x, y, tui.Scale, a.wall)
	}
}

func shownAs(v float64) string { return quantity.Plain(v, 4) }

// head names the series; an aim that the plot does not reach stands at the right, with the way to it.
func (c curve) head(a area, s span, inside bool) {
	end := a.w
	if c.aimed && !inside {
		text := c.wayToAim(a, s)
		a.right(0, tui.Key, text)
		end -= a.width(text) + 2
	}
	title := a.first(end, c.title+" in "+c.unit)
	if title == "" {
		title = a.label(c.title, end)
	}
	a.put(0, 0, tui.Faint, title)
}

// wayToAim tells an aim that the plot does not reach.
func (c curve) wayToAim(a area, s span) string {
	if c.aim < s.low {
		return a.below + " aim " + shownAs(c.aim)
	}
	return a.above + " aim " + shownAs(c.aim)
}

// aimLine draws the aim across the plot; its word stands at the left, where a series that has yet to reach it is far off.
func (a area) aimLine(y int) {
	a.repeat(0, y, a.w, tui.Key, a.aim)
	a.put(1, y, tui.Key, " aim ")
}

// place is the row of a reading; one that is short of the aim, or beyond it, never stands on the aim's own row.
func (c curve) place(s span, value float64, rows int) float64 {
	y, aim := s.row(value, rows), math.Round(s.row(c.aim, rows))
	switch {
	case !c.aimed:
	case value < c.aim:
		y = max(y, aim+1)
	case value > c.aim:
		y = min(y, aim-1)
	}
	return min(float64(rows-1), max(0, y))
}

// joined places the points: the time runs to the right, the value upwards.
func (a area) joined(c curve, s span) {
	place := func(p point) (x, y float64) { return s.column(p.at, a.w), c.place(s, p.value, a.h) }
	for i := 1; i < len(c.points); i++ {
		x0, y0 := place(c.points[i-1])
		x1, y1 := place(c.points[i])
		steps := int(max(math.Abs(x1-x0), math.Abs(y1-y0), 1))
		for s := range steps {
			part := float64(s) / float64(steps)
			a.sign(int(math.Round(x0+part*(x1-x0))), int(math.Round(y0+part*(y1-y0))), tui.Faint, a.between)
		}
	}
	for _, p := range c.points {
		x, y := place(p)
		a.sign(int(math.Round(x)), int(math.Round(y)), tui.Strong, a.reading)
	}
}
