package paper

import (
	"regexp"
	"strconv"
	"strings"
	"time"
)

// timeKind is one of the ways to write a time; a file keeps to one.
type timeKind uint8

const (
	noTime timeKind = iota
	dated
	byClock
	byMinutes
)

func (k timeKind) String() string {
	return [...]string{"no time", "a date with its time", "a clock time", "minutes since the start"}[k]
}

const timeForms = "2026-03-02T09:30:00Z, 9:30, or minutes since the start such as 12.5"

// maxSpan bounds a run, so that no time can overflow.
const maxSpan = 366 * 24 * time.Hour

var (
	clockTime  = regexp.MustCompile(`^([0-9]{1,2}):([0-9]{2})(?::([0-9]{2}(?:[.,][0-9]{1,3})?))?$`)
	minuteTime = regexp.MustCompile(`^([+-]?[0-9]{1,7}(?:[.,][0-9]*)?) ?(?:min)?$`)
)

// parseTime reads a time; a clock time or minutes come back as the time since the day's or the run's begin.
func parseTime(text string) (kind timeKind, at time.Time, since time.Duration) {
	if t, err := time.Parse(time.RFC3339Nano, text); err == nil {
		return dated, t.Round(time.Millisecond), 0
	}
	if m := clockTime.FindStringSubmatch(text); m != nil {
		h, _ := strconv.Atoi(m[1])
		min, _ := strconv.Atoi(m[2])
		s, _ := strconv.ParseFloat(strings.Replace("0"+m[3], ",", ".", 1), 64)
		if h > 23 || min > 59 || s >= 60 {
			return noTime, time.Time{}, 0
		}
		return byClock, time.Time{}, time.Duration(h)*time.Hour + time.Duration(min)*time.Minute + milliseconds(s*1000)
	}
	if m := minuteTime.FindStringSubmatch(text); m != nil {
		min, err := strconv.ParseFloat(strings.Replace(m[1], ",", ".", 1), 64)
		if err == nil {
			return byMinutes, time.Time{}, milliseconds(min * 60_000)
		}
	}
	return noTime, time.Time{}, 0
}

// milliseconds rounds to the run's own resolution.
func milliseconds(ms float64) time.Duration {
	if ms < 0 {
		return -milliseconds(-ms)
	}
	return time.Duration(ms+0.5) * time.Millisecond
}

// undated is the day of times that come without one; the year 1 stands for no date.
var undated = time.Date(1, 1, 1, 0, 0, 0, 0, time.UTC)

// times are the moments of a file's rows.
type times struct {
	kind   timeKind
	line   int // where the kind was first met
	vessel map[string]time.Time
	first  time.Time // of the file
	last   time.Time // of the row before, whatever its vessel
	begin  time.Time // the earliest
	zone   string
}

// place gives a row its moment; an empty time is that of the row before.
func (r *reader) place(line int, vessel, text string) (time.Time, bool) {
	t := &r.times
	before, again := t.vessel[vessel]
	if text == "" {
		if !again {
			before = t.last
		}
		return before, true
	}
	kind, at, since := parseTime(text)
	switch {
	case kind == noTime:
		r.fault(line, timeForms, "%q is no time", text)
		return before, false
	case t.kind != noTime && t.kind != kind:
		r.fault(line, "one kind of time in the whole file", "%q is %s, but line %d has %s", text, kind, t.line, t.kind)
		return before, false
	}
	switch kind {
	case byMinutes:
		at = undated.Add(since)
	case byClock:
		at = undated.Add(since)
		if again {
			at = after(at, before)
		} else if t.kind != noTime {
			at = nearest(at, t.first)
		}
	}
	t.note(kind, line, vessel, at)
	return at.UTC(), true
}

func (t *times) note(kind timeKind, line int, vessel string, at time.Time) {
	if t.kind == noTime {
		t.kind, t.line, t.first, t.begin = kind, line, at.UTC(), at.UTC()
		switch kind {
		case dated:
			t.zone = at.Format("-07:00")
		case byMinutes:
			t.begin = undated
		}
	}
	at = at.UTC()
	if at.Before(t.begin) {
		t.begin = at
	}
	t.vessel[vessel], t.last = at, at
}

const day = 24 * time.Hour

// after moves a clock time to the day of the time before it, or to the next day when it lies more than an hour back:
// that was midnight and not a row out of order.
func after(at, before time.Time) time.Time {
	at = at.Add(before.Sub(at) / day * day)
	if before.Sub(at) > time.Hour {
		at = at.Add(day)
	}
	return at
}

// nearest moves a clock time by whole days to within half a day of another.
func nearest(at, other time.Time) time.Time {
	at = at.Add(other.Sub(at) / day * day)
	switch gap := other.Sub(at); {
	case gap > day/2:
		return at.Add(day)
	case gap < -day/2:
		return at.Add(-day)
	}
	return at
}
