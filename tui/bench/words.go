package bench

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// toneWords are what a vessel's tone is called, by run.Tone.
var toneWords = [4]string{"NOT BEGUN", "WAITING", "HANDS NEEDED", "LATE"}

// toneShort fit above a slim vessel.
var toneShort = [4]string{"idle", "waits", "hands", "late"}

// outWord is what a vessel that was given up is called above its glass.
const outWord = "out"

func toneWord(v run.View) string {
	switch {
	case v.GivenUp:
		return "GIVEN UP"
	case v.Through:
		return "THROUGH"
	}
	return toneWords[min(int(v.Tone), 3)]
}

func toneShortWord(v run.View) string {
	switch {
	case v.GivenUp:
		return outWord
	case v.Through:
		return "done"
	}
	return toneShort[min(int(v.Tone), 3)]
}

// clockDigits is what the big clock shows: the time left to the aim, the time past it with a plus, or the time so far
// where nothing is aimed at.
func clockDigits(c *run.ClockView) string {
	d, sign := clockTime(c)
	return sign + run.Hms(d)
}

// clockTime is the time that the big clock shows, and its sign.
func clockTime(c *run.ClockView) (d time.Duration, sign string) {
	switch {
	case c.Window.Aim <= 0:
		return c.Elapsed, ""
	case c.Left < 0:
		return -c.Left, "+"
	}
	return upToSecond(c.Left), ""
}

// upToSecond rounds up, so that a countdown shows 0:00 only when the time is up.
func upToSecond(d time.Duration) time.Duration {
	return (d + time.Second - time.Nanosecond).Truncate(time.Second)
}

// clockWords tell what the big clock means and what the window still allows.
func clockWords(c *run.ClockView) string {
	switch {
	case c.ToBegin && c.Left > 0:
		return "until it begins, by the timetable"
	case c.ToBegin:
		return "to be begun by now"
	}
	words := clockSense(c)
	if c.OfHands {
		return "hands: " + words
	}
	return words
}

// clockShort is the window alone, for a narrow screen; past its end, what the digits beside it do not tell; "" when
// that is nothing.
func clockShort(c *run.ClockView) string {
	switch most := c.Window.AtMost; {
	case c.ToBegin:
		return ""
	case most > 0 && c.Elapsed > most:
		return "past the latest end by " + run.Hms(c.Elapsed-most)
	case c.Left >= 0:
		return run.Range(c.Window)
	case most > 0:
		return "at most " + run.Hms(upToSecond(most-c.Elapsed)) + " more"
	}
	return ""
}

func clockSense(c *run.ClockView) string {
	w := c.Window
	switch {
	case w.AtMost > 0 && c.Elapsed > w.AtMost:
		past := "past the latest end by " + run.Hms(c.Elapsed-w.AtMost)
		if w.Aim > 0 {
			return "over by " + run.Hms(-c.Left) + ", " + past
		}
		return past
	case w.Aim > 0 && c.Left < 0:
		if w.AtMost == 0 {
			return "over by " + run.Hms(-c.Left)
		}
		return "over by " + run.Hms(-c.Left) + ", at most " + run.Hms(upToSecond(w.AtMost-c.Elapsed)) + " more"
	}
	var parts []string
	if w.Aim > 0 {
		parts = append(parts, "aim "+run.Hms(w.Aim))
	} else {
		parts = append(parts, "so far")
	}
	switch {
	case w.AtLeast > 0 && c.Elapsed < w.AtLeast:
		parts = append(parts, "at least "+run.Hms(w.AtLeast))
	case w.AtLeast > 0:
		parts = append(parts, "long enough by now")
	}
	if w.AtMost > 0 {
		parts = append(parts, "at most "+run.Hms(w.AtMost))
	}
	return strings.Join(parts, ", ")
}

// ending tells what the hands do about a wait that is up; "" where none is, where it still waits for something, or
// where a reminder comes before it. Nothing comes before what is past its latest end.
func ending(v run.View) string {
	if !v.IsUp() || v.Wants != "" || len(v.Due) > 0 && v.Tone != run.Late {
		return ""
	}
	if v.Enter == run.NotYet {
		return "not shown yet"
	}
	return v.Enter
}

// doWords tell what the hands do; a wait that is up says so first.
func doWords(v run.View) string {
	words := v.Wants
	if end := ending(v); end != "" {
		words = "Time is up: " + end + "."
	}
	if words == "" || v.Stage == nil {
		return v.Do
	}
	if !v.Stage.Say.IsEmpty() {
		words += " " + v.Do
	}
	return words
}

// dueWordings tell a reminder that has fallen due, the fullest first.
func dueWordings(d run.DueReminder) []string {
	s := "DUE: " + d.Say
	out := []string{s}
	if d.For >= time.Second {
		s += " · " + run.Hms(d.For) + " ago"
		out = append(out, s)
	}
	if d.Missed > 0 {
		out = append(out, s+fmt.Sprintf(" · %d missed", d.Missed))
	}
	slices.Reverse(out)
	return out
}

// aimWord stands before the value that a series is to reach.
const aimWord = "aim"

// askedWords tell what is asked for: what, in which unit, with which instrument, and what is expected.
func askedWords(a *run.Asked) string {
	s := a.Title
	if a.Nth > 0 {
		s += fmt.Sprintf(", no. %d", a.Nth)
	}
	if a.Unit != "" && !isMark(a) {
		s += " in " + a.Unit
	}
	if a.Instrument != "" {
		s += " · " + a.Instrument
	}
	if a.Expected != "" {
		s += " · expected " + a.Expected
	}
	if a.Aim != "" {
		s += " · " + aimWord + " " + a.Aim
	}
	if a.Running != nil {
		s += " · running " + run.Hms(*a.Running)
	}
	return s
}

// isMark tells a reading that is a moment, for which nothing with a unit is typed.
func isMark(a *run.Asked) bool { return a.Reading != nil && a.Reading.Kind == protocol.Mark }

// placeWords tell where in its stage a vessel is.
func placeWords(v run.View) string {
	var parts []string
	if v.Portions > 1 {
		parts = append(parts, fmt.Sprintf("portion %d of %d", v.Portion, v.Portions))
	}
	if v.Step > 0 && v.Steps > 1 {
		parts = append(parts, fmt.Sprintf("step %d of %d", v.Step, v.Steps))
	}
	return strings.Join(parts, " · ")
}
