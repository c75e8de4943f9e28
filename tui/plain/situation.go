package plain

import (
	"fmt"
	"strings"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// fact is one line of a vessel's situation. Of two facts on the same subject, the later is said only when its key
// differs: the time that passes is no news.
type fact struct{ subject, key, text string }

// now says what is new in the situation of the vessel that is worked on; all of it after a change of vessel.
func (f *face) now() {
	if !f.state().Acknowledged || f.state().Ended != nil || f.o.Open() != nil {
		return
	}
	if f.vessel != f.o.Vessel {
		f.vessel, f.told = f.o.Vessel, map[string]string{}
	}
	facts := f.situation(f.o.View())
	fresh := make(map[string]string, len(facts))
	for _, x := range facts {
		if _, twice := fresh[x.subject]; twice {
			continue // two substances share a hazard statement
		}
		fresh[x.subject] = x.key
		if f.told[x.subject] != x.key {
			f.say("", x.text)
		}
	}
	f.told = fresh
	f.notice(f.o.Engine.Now().Elapsed)
}

// situation lists what there is to say of v, the place first and what Enter does last.
func (f *face) situation(v run.View) []fact {
	var facts []fact
	add := func(subject, text string) { facts = append(facts, fact{subject, text, text}) }
	place := place(v)
	add("place", fmt.Sprintf("[%s] %s", run.Hms(f.o.Engine.Now().Elapsed), place))
	facts[0].key = place
	if len(v.Hazards) > 0 {
		beware := protocol.Beware(v.Hazards, len(v.Hazards), nil)
		add("hazards "+beware, beware)
	}
	for _, c := range v.Cautions {
		add("caution "+c, "Caution: "+c)
	}
	if v.Attended {
		add("attended", "Stay with it all the time.")
	}
	if v.Pause != "" {
		add("pause", "The work may rest here: "+v.Pause)
	}
	if v.Do != "" {
		add("do", doing(v))
	}
	if v.Clock != nil && !v.Clock.ToBegin {
		text := window(v.Clock)
		facts = append(facts, fact{"clock", place + text, text + ", " + run.Hms(v.Clock.Elapsed) + " so far"})
	}
	if v.HeldBack() {
		add("planned", "By the timetable the hands are here at "+f.state().Wall(f.o.Engine.Now().Elapsed+*v.Planned)+".")
	}
	if v.Gate != nil {
		add("gate", gate(v.Gate))
	}
	if v.Needed != "" {
		add("needed", "Look: "+v.Needed)
	}
	if v.Wants != "" {
		facts = append(facts, fact{"wants", v.Gate.Lacks, wants(v)})
	}
	now := f.o.Engine.Now().At.In(run.Place(f.state().Here))
	for _, l := range v.Live {
		add("live "+l.Say, l.Say+": "+tui.Live(l, now))
		if l.Over != "" {
			add("over "+l.Say, "Look again: "+l.Over)
		}
	}
	for _, busy := range v.Busy {
		add("busy "+busy, busy+".")
	}
	for _, d := range v.Due {
		add(fmt.Sprintf("due %d", d.Index), "Reminder due: "+d.Say)
	}
	if v.NextReminder != nil {
		text := "Next reminder: " + v.NextReminder.Say
		facts = append(facts, fact{"next", place + text, text + ", in " + run.Hms(v.NextReminder.In)})
	}
	if v.Asked != nil {
		add("asked", asked(v.Asked))
		for i, c := range v.Asked.Reading.Choices {
			facts = append(facts, fact{fmt.Sprintf("choice %d", i), v.Asked.Title + c, fmt.Sprintf("  %d  %s", i+1, c)})
		}
	}
	switch {
	case f.state().Away != nil:
		add("enter", "Enter: come back")
	case v.Enter != "":
		add("enter", "Enter: "+v.Enter)
	}
	return facts
}

// place names the vessel, where it is, and how urgent it is.
func place(v run.View) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Vessel %s", v.Vessel)
	if v.Own != nil {
		fmt.Fprintf(&b, " (%s)", strings.Join(v.Own, ", "))
	}
	if v.Stage != nil {
		fmt.Fprintf(&b, ", stage %d of %d: %s", v.Number, v.Stages, v.Stage.Title)
		if v.Portions > 1 {
			fmt.Fprintf(&b, ", portion %d of %d", v.Portion, v.Portions)
		}
	}
	switch {
	case v.GivenUp:
		b.WriteString(", given up")
	case v.Through:
		b.WriteString(", through")
	case !v.Begun:
		b.WriteString(", not begun")
	default:
		b.WriteString(", " + tone(v.Tone))
	}
	return b.String() + "."
}

func tone(t run.Tone) string {
	switch t {
	case run.Waiting:
		return "waiting"
	case run.Hands:
		return "hands needed"
	case run.Late:
		return "late"
	}
	return "idle"
}

func doing(v run.View) string {
	if v.Steps > 1 && v.Step > 0 {
		return fmt.Sprintf("Do, step %d of %d: %s", v.Step, v.Steps, v.Do)
	}
	return "Do: " + v.Do
}

func gate(g *run.GateView) string {
	if g.Met {
		return "Goes on when: " + g.Say + " (it is so)"
	}
	if g.Lacks == g.Say {
		return "Goes on when: " + g.Say + " (not yet)"
	}
	return "Goes on when: " + g.Say + " (not yet: " + g.Lacks + ")"
}

// wants tells what a wait that is up still waits for, and for how long it may.
func wants(v run.View) string {
	most := v.Clock.Window.AtMost - v.Clock.Elapsed
	if most < 0 {
		return v.Wants
	}
	return v.Wants + " At most " + run.Hms(most) + " more."
}

// window tells how long the clock is meant to run.
func window(c *run.ClockView) string {
	name := "Clock"
	if c.OfHands {
		name = "Time for the hands"
	}
	return name + ": " + run.Range(c.Window)
}

func asked(a *run.Asked) string {
	var b strings.Builder
	b.WriteString(verbs[a.Reading.Kind] + ": " + a.Title)
	if a.Nth > 0 {
		fmt.Fprintf(&b, ", reading %d", a.Nth)
	}
	if a.Unit != "" && a.Reading.Kind != protocol.Mark {
		b.WriteString(", in " + a.Unit)
	}
	if a.Instrument != "" {
		b.WriteString(", by " + a.Instrument)
	}
	if a.Expected != "" {
		b.WriteString(", expected " + a.Expected)
	}
	if a.Aim != "" {
		b.WriteString(", aim " + a.Aim)
	}
	if !a.Reading.Needed {
		b.WriteString(" (optional)")
	}
	if how := tui.HowTo(a); how != "" {
		b.WriteString(". " + how)
	}
	return b.String()
}

// verbs tell how a reading is taken.
var verbs = map[protocol.ReadingKind]string{
	protocol.Number: "Asked", protocol.Series: "Asked", protocol.Mark: "Mark", protocol.Stopwatch: "Time",
	protocol.Choice: "Choose", protocol.FreeText: "Asked in words, after t and a blank", protocol.Tick: "Tick",
}
