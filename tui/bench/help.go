package bench

import (
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// helpPage is drawn from the keys and the signs, so that it tells what there is.
func helpPage(k tui.Keys, g *glyphs, v run.View, w int) page {
	t := &writer{glyphs: g, w: w - 2}
	line := func(b key.Binding, text string) {
		t.wrapped(tui.Ink, padded(g, b.Help().Key, 10), tui.Key, text)
	}
	writeStage(t, v)
	t.heading("One key goes on")
	line(k.Forward, "does what stands beside it: confirms a step, marks a moment, answers a reminder, ends a wait")
	t.heading("A reading")
	line(k.Digit, "begin it; a comma or a point, and a unit where it is not the one asked for: 12,5 or 0.35 mL or 500 uL")
	line(k.Late, "one that was read earlier: @10:42 53.9 by the wall clock, @-5 53.9 for five minutes ago; with its name for one of a stage that is passed: @10:42 NAME 112.36, and then why, once the run is over")
	line(k.Clear, "clears the line; after a question, with nothing typed: no")
	line(k.No, "as the first sign: a value below zero; alone and then Enter, after a question: no")
	line(k.Erase, "takes back the last sign")
	t.heading("A letter opens a line; Enter takes it")
	for _, o := range k.Openers() {
		line(o.Key, o.Asks+": "+o.Shape)
	}
	t.text(tui.Ink, "On the summary, too, "+k.Correct.Help().Key+", "+k.TakeBack.Help().Key+", "+k.Note.Help().Key+" and "+k.Late.Help().Key+
		" do this: a slip that is seen only there is corrected there. Taking back always asks.")
	t.heading("At once")
	line(k.Vessel, "take this vessel until something was done on it; else the hands go on to the one that is due. "+k.NextVessel.Help().Key+" takes the next")
	line(k.Away, "called away, and again: back. The clocks of the vessels go on")
	line(k.Mute, "the bell is silent, and again: it sounds")
	line(k.Far, "the far view: the letter, the clock and one sentence fill the screen, of a vessel that is late before the one in hand; and again: the bench")
	line(k.Timetable, "the timetable of several vessels: what the hands are to do when, and what was moved last")
	line(k.Leave, "leaves the program. The run stays open and can be resumed; its clocks go on")
	t.heading("The vessel")
	sign := func(s, text string) { t.wrapped(tui.Ink, padded(g, s, 10), tui.Glass, text) }
	sign(g.tick, "a graduation: a stage ends there, spaced by its planned time")
	sign(g.plan, "where the liquid should stand by the plan; its curved surface is now")
	for _, tone := range []run.Tone{run.Idle, run.Waiting, run.Hands, run.Late} {
		t.wrapped(tui.Ink, padded(g, g.tone(tone)+" "+toneShort[tone], 10), tui.Shade(tone), toneMeaning[tone])
	}
	sign(chosen("A"), "among several vessels: the one that the keys go to")
	sign(g.doubt, "on the tape: a doubtful value, kept after a question")
	sign(turnWords[0], "with "+turnWords[1]+" and "+turnWords[2]+", where there are several vessels: what the hands do in this order: as the timetable has it, or without one what closes soonest first")
	return page{title: "Help", rows: t.rows, enter: "back", hints: scrollKeys(k)}
}

// writeStage tells whole what the bench may have too few rows for: what the hands do, what to beware of, how to rest.
func writeStage(t *writer, v run.View) {
	if v.Stage != nil {
		t.heading(v.Vessel + ", " + v.Stage.Title)
		t.text(tui.Strong, doWords(v))
		if v.Next != "" {
			t.text(tui.Ink, "Then: "+v.Next)
		}
		if v.Asked != nil && v.Asked.Say != "" {
			t.text(tui.Ink, v.Asked.Title+": "+v.Asked.Say)
		}
		if v.Pause != "" {
			t.text(tui.Ink, "The work may rest here: "+v.Pause)
		}
	}
	if len(v.Hazards)+len(v.Cautions) > 0 {
		t.heading("Beware, in this stage")
		if len(v.Hazards) > 0 {
			t.wrapped(tui.Strong, t.caution+" ", tui.Warn, protocol.Beware(v.Hazards, len(v.Hazards), nil))
		}
		for _, c := range v.Cautions {
			t.wrapped(tui.Ink, t.caution+" ", tui.Warn, c)
		}
	}
}

func (m *Model) helpPage() page {
	var v run.View
	for _, w := range m.views {
		if w.Vessel == m.meant() && m.screen == working {
			v = w
		}
	}
	p := helpPage(m.keys, m.look.glyphs, v, m.Width)
	p.rows = append(p.rows, m.nameRows()...)
	return p
}

// nameRows tell what a NAME may be.
func (m *Model) nameRows() []row {
	if m.Operator == nil {
		return nil
	}
	t := &writer{glyphs: m.look.glyphs, w: m.Width - 2, rows: []row{{}}}
	for i, n := range m.Operator.Names() {
		if i == 0 {
			t.text(tui.Key, "A NAME is one of these, of what vessel "+m.Operator.Vessel+m.Operator.NamesAre())
		}
		t.wrapped(tui.Ink, padded(t.glyphs, n.ID, 20), tui.Key, n.Title)
	}
	return t.rows[:len(t.rows):len(t.rows)]
}

// toneMeaning explains the tones, by run.Tone.
var toneMeaning = [4]string{
	run.Idle:    "not begun, or done; " + outWord + ": given up",
	run.Waiting: "a clock runs, the hands are free",
	run.Hands:   "hands are needed now",
	run.Late:    "the latest end has passed",
}

func padded(g *glyphs, s string, w int) string {
	return s + strings.Repeat(" ", max(1, w-g.width(s)))
}
