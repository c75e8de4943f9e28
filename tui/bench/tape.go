package bench

import (
	"strings"
	"time"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// A strip is one line of the tape.
type strip struct {
	at     time.Duration // elapsed
	title  string
	value  string
	struck bool // the value was superseded
	marked bool // outside what was expected, and kept
}

// tapeOf returns a vessel's readings as they came, newest last; a superseded value stays, struck, above the new one.
func tapeOf(v *run.Vessel) []strip {
	var out []strip
	for _, t := range v.Taken {
		out = append(out, stripsOf(t)...)
	}
	return out
}

func stripsOf(t run.Taken) []strip {
	title := titleOf(t.Reading)
	if t.Portion > 1 || t.Reading.Stage != nil && t.Reading.IsList() {
		title += " " + quantity.Plain(float64(t.Portion), 3)
	}
	if t.Entered != nil {
		title += ", entered " + run.Hms(t.Entered.Elapsed)
	}
	if t.NotTaken && len(t.Was) == 0 {
		return []strip{{at: t.At.Elapsed, title: title + ": " + t.Why, value: t.Shown()}}
	}
	var out []strip
	for i, was := range t.Was {
		s := strip{at: t.At.Elapsed, title: title, value: t.ShownAs(was), struck: true}
		if i > 0 {
			s.at, s.title = t.Was[i-1].At.Elapsed, "corrected: "+t.Was[i-1].Why
		}
		out = append(out, s)
	}
	now := strip{at: t.At.Elapsed, title: title, value: t.Shown(), marked: t.Unlikely}
	if n := len(t.Was); n > 0 {
		now.at, now.title = t.Was[n-1].At.Elapsed, "corrected: "+t.Was[n-1].Why
		if t.TakenBack {
			now.title = "taken back: " + t.Why
		}
	}
	return append(out, now)
}

// newestOf tells the reading that a correction without a name is about: the last one that was typed. "" when there is none.
func newestOf(v *run.Vessel) string {
	for i := len(v.Taken) - 1; i >= 0; i-- {
		if t := v.Taken[i]; !t.NotTaken && t.Reading.Kind != protocol.Mark && t.Reading.Kind != protocol.Tick {
			return titleOf(t.Reading) + " " + t.Shown()
		}
	}
	return ""
}

func titleOf(r *protocol.Reading) string {
	if r.Title != "" {
		return r.Title
	}
	return strings.ReplaceAll(r.ID, "_", " ")
}

// tapeWide is how many cells the tape keeps beside a curve.
const tapeWide = 26

const (
	clockWide = 7 // cells for the time of a strip
	slack     = 4 // cells for the mark of doubt, and between the parts of a strip
)

// tapeWish is how many cells the newest strips need to be read whole.
func (a area) tapeWish(tape []strip) int {
	wish := 0
	for _, s := range tape[max(0, len(tape)-a.h):] {
		n := clockWide + a.width(s.title) + a.width(s.value) + slack
		if s.struck {
			n += 9
		}
		wish = max(wish, n)
	}
	return wish
}

// clockEnd is where the times of a tape end: further left where a title would be cut off otherwise.
func (a area) clockEnd(tape []strip) int {
	if a.tapeWish(tape) <= a.w {
		return clockWide
	}
	end := 0
	for _, s := range tape {
		end = max(end, a.width(run.Hms(s.at)))
	}
	return min(end, clockWide)
}

// drawTape writes the newest strips that fit, the newest at the bottom.
func drawTape(a area, tape []strip) {
	if a.h < 1 || a.w < 16 {
		return
	}
	tape = tape[max(0, len(tape)-a.h):]
	end := a.clockEnd(tape)
	for i, s := range tape {
		y := a.h - len(tape) + i
		role, name := tui.Ink, tui.Faint
		if i == len(tape)-1 {
			role, name = tui.Strong, tui.Ink
		}
		clock := run.Hms(s.at)
		a.put(end-a.width(clock), y, tui.Faint, clock)
		if s.marked {
			a.put(end, y, tui.Ask, a.doubt)
		}
		value := a.fit(s.value, a.w-end-2)
		x := a.w - a.width(value)
		if s.struck {
			role = tui.Struck
			a.fitted(end+2, y, x-end-2-10, name, s.title)
			a.put(x-9, y, tui.Faint, a.cross+" struck")
		} else {
			a.fitted(end+2, y, x-end-4, name, s.title)
		}
		a.put(x, y, role, value)
	}
}
