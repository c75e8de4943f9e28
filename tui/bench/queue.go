package bench

import (
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// turnWords name the places in the queue of the hands.
var turnWords = [3]string{"now", "next", "then"}

// turnWord is the word for a place; a first turn that is not due yet is no "now".
func turnWord(i int, t run.Turn, due int) string {
	switch {
	case t.Due() && i == 0:
		return turnWords[0]
	case i == min(due, 1):
		return turnWords[1]
	}
	return turnWords[2]
}

// turnTime tells when a turn is due and, where the room allows, what closes.
func turnTime(t run.Turn, wide bool) string {
	closes := ""
	switch {
	case t.Open:
	case t.Closes < 0:
		closes = "late by " + run.Hms(-t.Closes)
	default:
		closes = "closes in " + run.Hms(upToSecond(t.Closes))
	}
	in := "in " + run.Hms(upToSecond(t.In))
	switch {
	case t.Tone == run.Idle:
		return "any time"
	case t.Due() && closes == "":
		return "now"
	case t.Due():
		return closes
	case wide && closes != "":
		return in + ", " + closes
	}
	return in
}

// turnShort is a turn's time for a narrow line.
func turnShort(t run.Turn) string {
	switch {
	case !t.Due():
		return run.Hms(upToSecond(t.In))
	case !t.Open && t.Closes < 0:
		return "+" + run.Hms(-t.Closes)
	case t.Tone == run.Idle:
		return ""
	}
	return "now"
}

// turnDo tells what a turn wants; one that is not due yet names its stage.
func turnDo(t run.Turn) string {
	if t.Due() || t.Planned || t.Stage == "" || t.Do == "" || t.Do == t.Stage {
		return t.Do
	}
	return t.Stage + ": " + t.Do
}

// turnsOf is the hands' queue, with the words of the forward key for a wait that is up; nil for one vessel.
func turnsOf(s *run.State, views []run.View, now time.Duration) []run.Turn {
	if len(views) < 2 {
		return nil
	}
	turns := s.Queue(now)
	for i := range turns {
		for _, v := range views {
			if v.Vessel == turns[i].Vessel && isUp(v.Clock) && len(v.Due) == 0 && v.Enter != "" {
				turns[i].Do = v.Enter + ": " + turns[i].Stage
			}
		}
	}
	return turns
}

// together makes one turn of vessels that follow one another and are to be begun alike.
func together(turns []run.Turn) []run.Turn {
	var out []run.Turn
	for _, t := range turns {
		n := len(out)
		if n > 0 && t.Tone == run.Idle && out[n-1].Tone == run.Idle && t.Stage == out[n-1].Stage {
			if out[n-1].Do == t.Do {
				out[n-1].Do += " Also"
			}
			out[n-1].Do += " " + t.Vessel
			continue
		}
		out = append(out, t)
	}
	return out
}

// drawQueue writes the turns, a line each, the letter of the vessel that is worked on as a chip.
func drawQueue(a area, turns []run.Turn, meant string) {
	due := 0
	for _, t := range turns {
		if t.Due() {
			due++
		}
	}
	last := ""
	for i, t := range turns[:min(len(turns), a.h)] {
		word := turnWord(i, t, due)
		if word != last {
			a.put(0, i, tui.Faint, word)
		}
		last = word
		letter := tui.Strong
		if t.Vessel == meant {
			letter = tui.Chip(t.Tone)
		}
		x := a.put(5, i, letter, " "+t.Vessel+" ")
		x = a.put(x+1, i, tui.Shade(t.Tone), a.tone(t.Tone)+" ")
		when := turnTime(t, a.w >= 64)
		role := tui.Ink
		if !t.Open && t.Closes < 0 {
			role = tui.Warn
		}
		a.right(i, role, when)
		a.fitted(x, i, a.w-a.width(when)-2-x, tui.Ink, turnDo(t))
	}
}

// drawOthers writes the other vessels into one line, as far as they fit: letter, shape and time.
func drawOthers(a area, turns []run.Turn, meant string) {
	x := 0
	for _, t := range turns {
		if t.Vessel == meant {
			continue
		}
		text := t.Vessel + " " + a.tone(t.Tone)
		if short := turnShort(t); short != "" {
			text += " " + short
		}
		if x+a.width(text) > a.w {
			return
		}
		x = a.put(x, 0, tui.Strong, t.Vessel)
		x = a.put(x, 0, tui.Shade(t.Tone), text[len(t.Vessel):]) + 2
	}
}
