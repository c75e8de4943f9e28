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
	nth    string // which of several it is, after the title; "" for one
	act    string // " corrected", " taken back": how the value came in the place of another one, after these; "" for the first
	more   string // after these where there is room for all of it: the record has it
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
	first := strip{at: t.At.Elapsed, title: titleOf(t.Reading), value: t.Shown()}
	if t.Portion > 1 || t.Reading.Stage != nil && t.Reading.IsList() {
		first.nth = " " + quantity.Plain(float64(t.Portion), 3)
	}
	if t.Entered != nil {
		first.more = ", entered " + run.Hms(t.Entered.Elapsed)
	}
	if t.NotTaken && len(t.Was) == 0 {
		first.more += ": " + t.Why
		return []strip{first}
	}
	var out []strip
	for i, was := range t.Was {
		s := first
		if i > 0 {
			s = first.corrected(t.Was[i-1])
		} else if was.Read != t.At.Elapsed { // its time was corrected as well
			s.at, s.more = was.Read, ""
		}
		s.value, s.struck = t.ShownAs(was), true
		out = append(out, s)
	}
	now := first
	if n := len(t.Was); n > 0 {
		now = first.corrected(t.Was[n-1])
		if t.TakenBack {
			now.act, now.more = " taken back", ": "+t.Why
		}
	}
	now.marked = t.Unlikely
	return append(out, now)
}

// corrected is the strip of a value that stands in the place of an older one of the reading. It names the reading too: the
// tape may begin with it.
func (s strip) corrected(was run.Correction) strip {
	s.at, s.act, s.more = was.At.Elapsed, " corrected", ": "+was.Why
	return s
}

func titleOf(r *protocol.Reading) string {
	if r.Title != "" {
		return r.Title
	}
	return strings.ReplaceAll(r.ID, "_", " ")
}

// tapeWide is how many cells the tape keeps beside a curve.
const tapeWide = 27

const (
	clockWide = 7 // cells for the time of a strip
	slack     = 4 // cells for the mark of doubt, and before the value
)

// tapeWish is how many cells the newest strips need to be read whole.
func (a area) tapeWish(tape []strip) int {
	wish := 0
	for _, s := range tape[max(0, len(tape)-a.h):] {
		n := clockWide + a.width(s.title) + a.width(s.nth) + a.width(s.act) + a.width(s.more) + a.width(s.value) + slack
		if s.struck {
			n += 9
		}
		wish = max(wish, n)
	}
	return wish
}

// clockEnd is where the times of a tape end: further left where a title would have to be shorter otherwise.
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
		a.sub(end+2, y, a.w-end-2, 1).strip(s, role, name)
	}
}

// strip writes the name and the value of a strip. A value is whole or not there at all; before it, the name is as long as
// there is room for.
func (a area) strip(s strip, role, name tui.Role) {
	value := s.value
	if a.width(value) > a.w-slack {
		value = a.first(a.w-slack, "in the record")
	}
	end := a.w - a.width(value)
	if s.struck {
		role = tui.Struck
		mark := a.cross + " struck "
		if a.width(s.title)+a.width(s.nth)+a.width(s.act)+2+a.width(mark) > end {
			mark = a.cross + " "
		}
		end -= a.width(mark)
		a.put(end, 0, tui.Faint, mark)
	}
	a.put(a.w-a.width(value), 0, role, value)
	a.put(0, 0, name, a.stripName(s, end-2))
}

// stripName is the fullest name of a strip that fits w cells: its title is shorter, down to the first word, before it goes
// without what was done; which of several it is stays.
func (a area) stripName(s strip, w int) string {
	if s.nth == "" && s.act == "" && s.more == "" {
		return a.label(s.title, w)
	}
	if whole := s.title + s.nth + s.act + s.more; a.width(whole) <= w {
		return whole
	}
	for _, tail := range []string{s.nth + s.act, s.nth} {
		if short := a.label(s.title, w-a.width(tail)); short != "" {
			return short + tail
		}
	}
	return ""
}
