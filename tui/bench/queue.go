package bench

import (
	"fmt"
	"slices"
	"strings"
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

// brevity is how short the times of all turns are told: as short as they need to tell what the hands do, which comes
// before how exactly it is timed.
func (a area) brevity(turns []group) int {
	short := 0
	for _, t := range turns {
		short = max(short, a.brevityOf(t))
	}
	return short
}

// brevityOf is how short the time of one turn is told beside its sentence; beside its stage where no time is short enough
// for the sentence.
func (a area) brevityOf(t group) int {
	for _, do := range turnWordings(t) {
		room := a.w - a.turnHead(t.Turn) - 2 - a.width(do)
		for short := 0; short <= terse; short++ {
			if a.width(turnTime(t.Turn, short)) <= room {
				return short
			}
		}
	}
	return terse
}

// turnHead is where the words of a turn begin.
func (a area) turnHead(t run.Turn) int { return 9 + a.width(t.Vessel) + a.width(a.tone(t.Tone)) }

// terse is how short a turn's time can be told.
const terse = 2

// turnTime tells when a turn is due and what closes: all of it for 0, what counts first for 1, that in few words when terse.
func turnTime(t run.Turn, short int) string {
	in := func() string { return "in " + run.Hms(upToSecond(t.In)) }
	switch {
	case t.Tone == run.Idle:
		return "any time"
	case t.Open && t.Due():
		return "now"
	case t.Open || !t.Due() && short > 0:
		return in()
	}
	closes := ""
	switch late := t.Closes < 0; {
	case late && short == terse:
		closes = run.Hms(-t.Closes) + " late"
	case late:
		closes = "late by " + run.Hms(-t.Closes)
	case short == terse:
		closes = run.Hms(upToSecond(t.Closes)) + " left"
	default:
		closes = "closes in " + run.Hms(upToSecond(t.Closes))
	}
	if !t.Due() {
		return in() + ", " + closes
	}
	return closes
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

// turnWordings are what a group wants, and the stage alone: the panel has the sentence of the vessel that is worked on.
func turnWordings(g group) [2]string {
	full, stage := turnDo(g.Turn), g.Stage
	if g.alike != nil {
		others := strings.Join(g.alike, " ")
		full += " Also " + others
		if stage != "" {
			stage += ", also " + others
		}
	}
	if stage == "" {
		stage = full
	}
	return [2]string{full, stage}
}

// turnsOf is the hands' queue, with the words of the forward key for a wait that is up; nil for one vessel.
func turnsOf(s *run.State, views []run.View, now time.Duration) []run.Turn {
	if len(views) < 2 {
		return nil
	}
	turns := s.Queue(now)
	for i := range turns {
		for _, v := range views {
			if end := ending(v); v.Vessel == turns[i].Vessel && end != "" {
				turns[i].Do = end + ": " + turns[i].Stage
			}
		}
	}
	return turns
}

// A group is a turn with the vessels that follow it in the queue and are to be begun alike.
type group struct {
	run.Turn
	alike []string
}

// together makes one group of them.
func together(turns []run.Turn) []group {
	var out []group
	for _, t := range turns {
		if n := len(out); n > 0 && t.Tone == run.Idle && out[n-1].Tone == run.Idle && t.Stage == out[n-1].Stage {
			out[n-1].alike = append(out[n-1].alike, t.Vessel)
			continue
		}
		out = append(out, group{Turn: t})
	}
	return out
}

// apart undoes together.
func apart(groups []group) []run.Turn {
	var out []run.Turn
	for _, g := range groups {
		out = append(out, g.Turn)
		for _, g.Vessel = range g.alike {
			out = append(out, g.Turn)
		}
	}
	return out
}

// chosen is how the vessel that the keys go to is written among others: without colour, the chip of a wait is none.
func chosen(vessel string) string { return "[" + vessel + "]" }

// few is so many rows that a queue without room for all turns gives none of them to the rest of it: the line of the others, or
// the glasses, have it.
const few = 2

// drawQueue writes the turns, a line each, the letter of the vessel that is worked on as a chip. Where there is no room for
// all, the last line has the rest in short.
func drawQueue(a area, turns []group, meant string) {
	due := 0
	for _, t := range turns {
		if t.Due() {
			due++
		}
	}
	shown := min(len(turns), a.h)
	if len(turns) > a.h && a.h > few {
		shown--
	}
	turns, more := turns[:shown], turns[shown:]
	short := a.brevity(turns)
	last := ""
	for i, t := range turns {
		word := turnWord(i, t.Turn, due)
		if word != last {
			a.put(0, i, tui.Faint, word)
		}
		last = word
		letter, name := tui.Strong, " "+t.Vessel+" "
		if t.Vessel == meant {
			letter, name = tui.Chip(t.Tone), chosen(t.Vessel)
		}
		x := a.put(5, i, letter, name)
		x = a.put(x+1, i, tui.Shade(t.Tone), a.tone(t.Tone)+" ")
		when := turnTime(t.Turn, short)
		role := tui.Ink
		if !t.Open && t.Closes < 0 {
			role = tui.Warn
		}
		a.right(i, role, when)
		room, wordings := a.w-a.width(when)-2-x, turnWordings(t)
		do := a.first(room, wordings[0], wordings[1])
		if do == "" {
			do = a.named(wordings[1], room)
		}
		a.put(x, i, tui.Ink, do)
	}
	if shown < a.h && len(more) > 0 {
		if last != turnWords[2] {
			a.put(0, shown, tui.Faint, turnWords[2])
		}
		drawOthers(a.sub(6, shown, a.w-6, 1), apart(more), "")
	}
}

// drawOthers writes the other vessels into one line: letter, shape and time, and how many there are more where they do not fit.
func drawOthers(a area, turns []run.Turn, meant string) {
	turns = slices.DeleteFunc(slices.Clone(turns), func(t run.Turn) bool { return t.Vessel == meant })
	x := 0
	for i, t := range turns {
		text := t.Vessel + " " + a.tone(t.Tone)
		if short := turnShort(t); short != "" {
			text += " " + short
		}
		after := ""
		if more := len(turns) - i - 1; more > 0 {
			after = fmt.Sprintf("  +%d", more)
		}
		if x+a.width(text)+len(after) > a.w {
			a.put(x, 0, tui.Strong, fmt.Sprintf("+%d", len(turns)-i))
			return
		}
		x = a.put(x, 0, tui.Strong, t.Vessel)
		x = a.put(x, 0, tui.Shade(t.Tone), text[len(t.Vessel):]) + 2
	}
}
