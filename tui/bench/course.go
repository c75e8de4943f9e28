package bench

import (
	"math"
	"time"

	"example.org/meniscus/tui"
)

// drawCourse draws the readings as an area that rises and falls with them, for a place too small for dots and axes: its
// highest and lowest value stand beside it, the aim across it, or the way to it in a row of its own where it would be
// cut, the first and the last moment below it where there is room.
func drawCourse(a area, c curve) {
	switch {
	case a.w < courseNarrow:
		return
	case a.h < 2:
		drawCourseLine(a, c)
		return
	}
	s := c.span()
	inside := c.aimsInside(s)
	way := ""
	if c.aimed && !inside {
		way = c.wayToAim(a, s)
	}
	if room := a.w - c.margin(a, s, inside) - 2; a.width(way) > room {
		if a.h > 2 && a.width(way) <= a.w {
			a = a.ownRow(way, c.aim < s.low)
		}
		way = ""
	}
	rows, foot := a.h, a.h >= courseFoot && a.w >= curveNarrow
	if foot {
		rows--
	}
	margin := c.bounds(a.sub(0, 0, a.w, rows), s, inside)
	if foot {
		c.axes(a, margin+1, s)
	} else {
		a.upright(margin+1, rows)
	}
	plot := a.sub(margin+2, 0, a.w-margin-2, rows)
	if inside {
		plot.repeat(0, s.line(c.aim, plot.h), plot.w, tui.Key, a.aim)
	}
	plot.filled(c, s)
	switch {
	case inside:
		plot.put(1, s.line(c.aim, plot.h), tui.Key, " aim ")
	case way != "" && c.aim < s.low:
		plot.put(0, plot.h-1, tui.Key, way+" ")
	case way != "":
		plot.put(0, 0, tui.Key, way+" ")
	}
}

// ownRow writes the way to the aim into the first row, or into the last one, and returns the rows that are left.
func (a area) ownRow(way string, last bool) area {
	if last {
		a.put(0, a.h-1, tui.Key, way)
		return a.sub(0, 0, a.w, a.h-1)
	}
	a.put(0, 0, tui.Key, way)
	return a.sub(0, 1, a.w, a.h-1)
}

// drawCourseLine draws the course in one row, from the lowest to the highest value, with the aim after it.
func drawCourseLine(a area, c curve) {
	s := c.span()
	low, high, role := shownAs(s.low)+" ", shownAs(s.high), tui.Scale
	if c.aimed {
		aim := c.wayToAim(a, s)
		if c.aimsInside(s) {
			aim = "aim " + shownAs(c.aim)
		}
		if a.width(low)+2+a.width(aim) <= a.w { // a cell of the course and a blank are left
			high, role = aim, tui.Key
		}
	}
	x := a.put(0, 0, tui.Scale, low)
	end := a.w - a.width(high) - 1
	a.sub(x, 0, end-x, 1).filled(c, s)
	a.put(end+1, 0, role, high)
}

// filled fills each column up to the reading of its moment.
func (a area) filled(c curve, s span) {
	parts := len(a.parts) - 1 // of a row
	for x := range a.w {
		stand := c.level(s, c.valueAt(s.moment(x, a.w)), a.h, parts)
		for y := range a.h {
			if n := min(parts, stand-parts*(a.h-1-y)); n > 0 {
				a.sign(x, y, tui.Strong, a.parts[n])
			}
		}
	}
}

// level is how high a value stands, in parts of a row, at least one. What is short of the aim never fills the aim's row, and
// what has reached it does.
func (c curve) level(s span, value float64, rows, parts int) int {
	of := func(v float64) int {
		if s.high <= s.low {
			return rows * parts
		}
		return 1 + int(math.Round((v-s.low)/(s.high-s.low)*float64(rows*parts-1)))
	}
	n, aim := of(value), parts*(rows-s.line(c.aim, rows))
	if rows == 1 {
		aim = of(c.aim)
	}
	switch {
	case !c.aimsInside(s):
	case value < c.aim:
		n = min(n, aim-1)
	case value > c.aim:
		n = max(n, aim+1)
	default:
		n = aim
	}
	return max(1, min(n, rows*parts))
}

// moment is the time that a column stands for.
func (s span) moment(x, columns int) time.Duration {
	return s.from + time.Duration(float64(s.to-s.from)*float64(x)/float64(max(1, columns-1)))
}

// valueAt is the value at a moment between the readings before and after it, on a straight line.
func (c curve) valueAt(at time.Duration) float64 {
	for i := 1; i < len(c.points); i++ {
		p, q := c.points[i-1], c.points[i]
		if at <= q.at && q.at > p.at {
			return p.value + (q.value-p.value)*float64(at-p.at)/float64(q.at-p.at)
		}
	}
	return c.points[len(c.points)-1].value
}
