package bench

import (
	"math"
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
	curveNarrow = 26 // cells that it needs
	curveWide   = 80 // and takes at most
)

// A point is a reading of a series.
type point struct {
	at    time.Duration // elapsed
	value float64
}

// A curve is the series that a vessel's stage is reading, with its unit as shown.
type curve struct {
	title, unit string
	points      []point
}

// curveOf returns the series at hand: the one that is asked for, or the last one of the stage that has points.
func curveOf(v *run.Vessel, w run.View) curve {
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

// bounds are the smallest and the largest value, and the times of the first and the last point.
func (c curve) bounds() (low, high float64, from, to time.Duration) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, p := range c.points {
		low, high = min(low, p.value), max(high, p.value)
	}
	return low, high, c.points[0].at, c.points[len(c.points)-1].at
}

// drawCurve draws the readings as they came, joined by a dotted line; the first and the last moment stand below it, the
// largest and the smallest value beside it.
func drawCurve(a area, c curve) {
	if a.h < curveLow || a.w < curveNarrow || !c.isWorth() {
		return
	}
	low, high, from, to := c.bounds()
	top, bottom := quantity.Plain(high, 4), quantity.Plain(low, 4)
	margin := max(a.width(top), a.width(bottom))
	a.put(0, 0, tui.Faint, c.title+" in "+c.unit)
	plot := a.sub(margin+2, 1, a.w-margin-2, a.h-2)
	a.put(margin-a.width(top), 1, tui.Scale, top)
	if high > low {
		a.put(margin-a.width(bottom), plot.h, tui.Scale, bottom)
	}
	for y := range plot.h {
		a.sign(margin+1, 1+y, tui.Scale, a.wall)
	}
	a.sign(margin+1, a.h-1, tui.Scale, a.footLeft)
	a.repeat(margin+2, a.h-1, plot.w, tui.Scale, a.foot)
	a.put(margin+2, a.h-1, tui.Scale, run.Hms(from)+" ")
	a.right(a.h-1, tui.Scale, " "+run.Hms(to))
	plot.joined(c, low, high, from, to)
}

// joined places the points: the time runs to the right, the value upwards.
func (a area) joined(c curve, low, high float64, from, to time.Duration) {
	place := func(p point) (x, y float64) {
		if to > from {
			x = float64(p.at-from) / float64(to-from) * float64(a.w-1)
		}
		if y = float64(a.h-1) / 2; high > low {
			y = (high - p.value) / (high - low) * float64(a.h-1)
		}
		return x, y
	}
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
