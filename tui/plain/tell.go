package plain

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// tell says what a typed line led to.
func (f *face) tell(a tui.Answer) {
	said, end := a.Said, []string(nil)
	if n := len(said); n > 0 && f.state().Ended != nil {
		said, end = said[:n-1], said[n-1:] // the last word
	}
	for _, s := range said {
		f.say("", s)
	}
	for _, e := range a.Events {
		if text := f.event(e); text != "" {
			f.say("", f.whose(e)+text)
		}
		if w, added := e.What.(run.VesselAdded); added {
			f.haveReady([]*run.Vessel{f.state().Vessel(w.Label)})
		}
	}
	f.deviated(a.Events)
	if a.Moved != "" {
		f.say("", a.Moved)
	}
	for _, s := range end {
		f.say("", s)
	}
	if a.Refused != "" {
		f.say("Not done: ", a.Refused)
	}
	if a.NotSaved != nil {
		f.say("Not saved: ", sentence(a.WhyNotSaved())+" Nothing was done. Enter tries again; w and a folder: the journal goes on there; -: leave it.")
	}
	if a.Ask != nil {
		f.ask(a.Ask)
	}
	if a.Timetable {
		f.timetable()
	}
	if a.Help {
		f.help()
	}
}

func (f *face) ask(q *run.Question) {
	f.say("Question: ", sentence(q.Say)+" Enter: "+sentence(q.Yes)+" A dash (-): no. Or type it afresh.")
}

// sentence ends text with a full stop where it has no end yet.
func sentence(text string) string {
	if strings.HasSuffix(text, "?") || strings.HasSuffix(text, ".") || strings.HasSuffix(text, "!") {
		return text
	}
	return text + "."
}

// whose names the vessel of an event, where there are several.
func (f *face) whose(e run.Event) string {
	if e.Vessel == "" || len(f.state().Vessels) < 2 {
		return ""
	}
	return e.Vessel + " "
}

// event is one line for what happened, "" where the answer or the new situation says it.
func (f *face) event(e run.Event) string {
	switch w := e.What.(type) {
	case run.Acknowledged:
		return "Read and acknowledged."
	case run.StepDone:
		return "Step done."
	case run.StageLeft:
		return f.title(w.Stage) + " left after " + run.Hms(time.Duration(w.Took)) + "."
	case run.StopwatchStarted:
		return "Stopwatch runs."
	}
	return ""
}

// title is how the stage is called.
func (f *face) title(stage string) string {
	if s := f.state().Protocol.Stage(stage); s != nil {
		return s.Title
	}
	return stage
}

// deviated tells the deviations that were not told yet, but for those that were told with the wait that one of the
// events ended.
func (f *face) deviated(events []run.Event) {
	for _, d := range f.state().Deviations[min(f.deviations, len(f.state().Deviations)):] { // an undone act takes its own away
		if slices.ContainsFunc(events, func(e run.Event) bool { return tui.OfWait(d, e) }) {
			continue
		}
		text := fmt.Sprintf("%s, %s: ", d.Kind, d.What)
		if d.Planned != "" {
			text += "planned " + d.Planned + ", "
		}
		text += "done " + d.Done
		if d.Why != "" {
			text += " (" + d.Why + ")"
		}
		f.say("Deviation: ", text)
	}
	f.deviations = len(f.state().Deviations)
}

// lines that can be typed, as the help tells them.
var lines = [][2]string{
	{"Enter alone", "go forward; yes to a question"},
	{"-", "no to a question"},
	{"12,5", "a reading, with its unit if it is another one: 500 uL"},
	{"2", "a choice, by its number"},
	{"t LOT 7", "a reading in words"},
	{"n TEXT", "a note"},
	{"x WHY", "the reading asked for is not taken"},
	{"c 12.6", "correct the last reading to 12.6, as mistyped"},
	{"c 12.6 WHY", "the same for another reason, after the end too"},
	{"c NAME 12.6", "the same for the newest reading of that name"},
	{"c NAME.2 12.6", "the same for its 2nd portion, or the 2nd point of a series"},
	{`c NAME "LOT 8" WHY`, "the same for several words: they stand in quotes"},
	{"c NAME @10:42 WHY", "the same for a mark: its moment was 10:42"},
	{"u", "undo this vessel's newest act; again: the one before it"},
	{"u WHY", "take the last reading back, asked first; the record has it"},
	{"u NAME WHY", "the same for the newest reading of that name"},
	{"g 8.5 WHY", "given once more: added to this vessel's newest portion"},
	{"@10:42 53.9", "a reading that was read at 10:42; @-5 is five minutes ago"},
	{"@10:42 NAME 53.9", "the same for one of a stage that is passed"},
	{"@13:39 NAME 10 WHY", "the same after the end: one that was missed, and why"},
	{"e 5 WHY", "give the wait 5 minutes more"},
	{"y WHY", "end the wait before its time, or with something not shown"},
	{"s WHY", "skip what is left of this stage"},
	{"a", "called away; again: back at the bench"},
	{"A, B, C", "to that vessel, until something was done on it"},
	{"p", "the timetable: what the hands are to do when"},
	{"v", "one more vessel joins; v ID=VALUE sets a given of its own"},
	{"d WHY", "give this vessel up"},
	{"z WHY", "end the run for good"},
	{"w FOLDER", "save there from now on, when the disk takes nothing more"},
	{"q", "leave the program; the run stays open and its clocks go on"},
	{"?", "this help, and where everything stands"},
}

// help lists the lines that can be typed, where the other vessels stand, and everything of this one once more.
func (f *face) help() {
	for _, l := range lines {
		f.item(l[0], l[1])
	}
	for i, n := range f.o.Names() {
		if i == 0 {
			f.say("", "A NAME is one of these, of what vessel "+f.o.Vessel+f.o.NamesAre()+":")
		}
		f.item(n.ID, n.Title)
	}
	for _, v := range f.state().Vessels {
		if v.Label != f.o.Vessel {
			f.say("", place(f.state().Look(v.Label, f.o.Engine.Now().Elapsed)))
		}
	}
	f.told = map[string]string{}
}
