package tui

import (
	"fmt"
	"strings"
	"time"

	"example.org/meniscus/protocol/run"
)

// tell says in sentences what events did that the operator should hear at once. fell is what fell due while the hands
// were away.
func (o *Operator) tell(events []run.Event, fell []string) []string {
	var said []string
	for _, e := range events {
		say := func(format string, args ...any) { said = append(said, o.of(e.Vessel, fmt.Sprintf(format, args...))) }
		switch f := e.What.(type) {
		case run.ReadingTaken:
			if t := o.Engine.State.Vessel(e.Vessel).TakenBy(e.N); t != nil {
				say("%s: %s%s%s", t.Title(), t.Shown(), o.readAt(t), marked(f.Unlikely, f.Planned))
			}
		case run.ReadingCorrected:
			if t := o.Engine.State.Vessel(e.Vessel).TakenBy(f.Of); t != nil {
				instead := t.ShownAs(t.Was[len(t.Was)-1])
				if f.Why == run.Mistyped {
					instead += ", " + f.Why
				}
				say("%s: %s%s instead of %s%s", t.Title(), t.Shown(), o.readAt(t), instead, marked(f.Unlikely, f.Planned))
			}
		case run.ReadingTakenBack:
			if t := o.Engine.State.Vessel(e.Vessel).TakenBy(f.Of); t != nil {
				say("%s: %s is taken back%s", t.Title(), t.ShownAs(t.Was[len(t.Was)-1]), o.instead(e.Vessel, t))
			}
		case run.Undone:
			say("Undone: %s%s", f.What, o.goesOn(e.Vessel))
		case run.ReadingNotTaken:
			r := o.Engine.State.Protocol.Reading(f.Reading)
			say("%s: not taken", r.Title)
			if cost := o.Engine.State.CostOf(r); r.Needed && cost != nil {
				say("Without it there is no %s; u takes that back", cost.Title)
			}
		case run.GuardSpoke:
			say("Look again: %s", f.Say)
		case run.Noted:
			say("Noted.")
		case run.WaitEnded:
			say("%s", o.waited(e, f))
		case run.VesselEnded:
			said = append(said, e.Vessel+" is given up")
		case run.ClockExtended:
			say("The wait has %s more.", run.Hms(time.Duration(f.By)))
		case run.CalledAway:
			said = append(said, "Called away: the clocks go on.")
		case run.CameBack:
			said = append(append(said, "Back at the bench."), fell...)
		case run.VesselAdded:
			said = append(said, o.joined(f.Label))
		case run.ReminderAnswered:
			say("%s", o.answered(e, f))
		case run.Ended:
			said = append(said, "The run has ended.")
		}
	}
	return said
}

// goesOn tells how long the wait that an undone act leads back to has run.
func (o *Operator) goesOn(vessel string) string {
	w := o.Engine.State.Look(vessel, o.Engine.Now().Elapsed)
	if w.Clock == nil || w.Clock.OfHands || w.Clock.ToBegin {
		return ""
	}
	return "; " + w.Stage.Title + " has run for " + run.Hms(w.Clock.Elapsed)
}

// answered tells that what a reminder asks for is done, and when; that it was to bring a reading, where none came; and
// how many were missed before it.
func (o *Operator) answered(e run.Event, f run.ReminderAnswered) string {
	p := o.Engine.State.Protocol
	r := p.Stage(f.Stage).Reminders[f.Reminder]
	said := r.Say.Fill(o.Engine.State.Values(e.Vessel), f.Portion) + ": done at " + run.Hms(e.Elapsed)
	if of := p.Reading(r.Reading); of != nil {
		said += ", no reading of " + of.Title
	}
	switch f.Missed {
	case 0:
	case 1:
		said += "; 1 before it was missed"
	default:
		said += fmt.Sprintf("; %d before it were missed", f.Missed)
	}
	return said
}

// waited tells a wait that ended, and how it differs from what was planned for it.
func (o *Operator) waited(e run.Event, f run.WaitEnded) string {
	st := o.Engine.State.Protocol.Stage(f.Stage)
	said := st.Title
	if st.Portions > 1 {
		said += fmt.Sprintf(" %d", f.Portion)
	}
	said += ": wait ended after " + run.Hms(time.Duration(f.Waited))
	for _, d := range o.Engine.State.Deviations {
		if OfWait(d, e) {
			said += differs(d)
		}
	}
	return said
}

// differs tells a deviation of a wait that ended, after what was said of it before.
func differs(d run.Deviation) string {
	switch d.Kind {
	case "gate":
		return "; not shown: " + d.Planned + because(d.Why)
	case "reminder missed":
		got, _, _ := strings.Cut(d.Done, " ")
		return "; " + d.What + ": " + got + " of " + d.Planned
	}
	planned, _, _ := strings.Cut(d.Planned, ", aim")
	return ", " + d.Kind + ", planned " + planned + because(d.Why)
}

func because(why string) string {
	if why == "" {
		return ""
	}
	return ": " + Clean(why)
}

// OfWait tells whether a deviation is of the wait that an event ended, so that what the operator says of the event
// tells it.
func OfWait(d run.Deviation, e run.Event) bool {
	ended, ok := e.What.(run.WaitEnded)
	if !ok || d.Vessel != e.Vessel || d.Stage != ended.Stage || d.At.Elapsed != e.Elapsed {
		return false
	}
	switch d.Kind {
	case "early", "late":
		return strings.HasSuffix(d.What, ", wait")
	}
	return d.Kind == "gate" || d.Kind == "reminder missed"
}

// readAt tells the time of a reading that was entered later.
func (o *Operator) readAt(t *run.Taken) string {
	if t.Entered == nil {
		return ""
	}
	return ", read at " + t.At.At.In(run.Place(o.Engine.State.Here)).Format("15:04") + ", entered later"
}

func marked(unlikely bool, planned string) string {
	switch {
	case !unlikely:
		return ""
	case planned != "":
		return " (kept with a mark)"
	}
	return " (outside what is expected, kept with a mark)"
}

// instead tells how the right value of a reading that was taken back is entered, where it is needed and is not asked
// for again by itself.
func (o *Operator) instead(vessel string, t *run.Taken) string {
	v := o.Engine.State.Look(vessel, o.Engine.Now().Elapsed)
	if !t.Reading.Needed || v.Through || v.Asked != nil && v.Asked.Reading == t.Reading {
		return ""
	}
	return "; the right one is entered as @10:42 " + t.Reading.ID + ", then the value"
}
