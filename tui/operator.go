package tui

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/timetable"
)

// An Operator is the hands at a run: it turns typed lines into commands, lets the hands go from vessel to vessel as the
// queue has it, and holds the question that is open.
type Operator struct {
	Engine *run.Engine
	Vessel string // label of the vessel in hand

	// MoveTo lets the journal go on in another folder, and says where it was and where it is then. nil: there is no journal.
	MoveTo func(folder string) (from, to string, err error)

	open    *openQuestion
	keeper  timetable.Keeper // of the timetable, where the run has one
	noTable string           // why there is none, as it was said
	unsaved *run.Command     // what could not be saved, and can be tried again
	held    bool             // the vessel was chosen by its letter, and no act was done on it yet
	chosen  bool             // a letter chose the vessel, and the hands are still there
	lost    bool             // what was typed last was not taken, for it was begun too soon after a change
	changed *change          // the last change of vessel, if the queue made it
}

// An Answer is what a typed line led to.
type Answer struct {
	Events    []run.Event
	Said      []string      // sentences that tell what was done: the reading with its unit, a guard that spoke
	Ask       *run.Question // a question is open: an empty line says yes, "-" no, anything else is taken afresh
	Moved     string        // the hands go on with another vessel, and which
	Refused   string        // why nothing was done, and what to do instead
	Keep      bool          // the line is to be kept: only something at its end is missing
	NotSaved  error         // the recorder's error: nothing was done, the line is to be kept
	Help      bool          // help was asked for
	Timetable bool          // the timetable was asked for
	Leave     bool          // the program is to be left
}

// NewOperator returns an operator at the vessel that is the first to need the hands.
func NewOperator(g *run.Engine) *Operator {
	o := &Operator{Engine: g, Vessel: g.State.Vessels[0].Label}
	if turns := o.Turns(); len(turns) > 0 {
		o.Vessel = turns[0].Vessel
	}
	o.offerDraft()
	return o
}

// View returns the view of the vessel that is worked on.
func (o *Operator) View() run.View {
	return o.Engine.State.Look(o.Vessel, o.Engine.Now().Elapsed)
}

// Enter takes a typed line; typedAt is the elapsed time at its first digit, 0 for now.
func (o *Operator) Enter(line string, typedAt time.Duration) Answer {
	line = strings.TrimSpace(line)
	if typedAt == 0 {
		typedAt = o.Engine.Now().Elapsed // a reading that is asked about keeps the time it was first typed at
	}
	if o.open != nil {
		return o.answer(o.open, line, typedAt)
	}
	return o.afresh(line, typedAt)
}

// afresh takes a line that answers no question.
func (o *Operator) afresh(line string, typedAt time.Duration) Answer {
	if a, done := o.again(line); done {
		return a
	}
	switch line {
	case "?":
		return Answer{Help: true}
	case "p":
		if o.Engine.State.Timetable() == nil {
			return Answer{Refused: o.untimed()}
		}
		return Answer{Timetable: true}
	case "q":
		return Answer{Leave: true}
	}
	if v := o.Engine.State.Vessel(line); v != nil {
		o.choose(v.Label)
		return Answer{Said: []string{"Vessel " + v.Label + "."}}
	}
	if line == "" {
		lost := o.lost
		o.lost = false
		if moved := o.Follow(); moved != "" || lost || o.Unseen() {
			return Answer{Moved: moved, Refused: o.Vessel + " is in hand now: Enter again."}
		}
		if does := o.Turned(o.Vessel); does != "" {
			return Answer{Refused: "Nothing done: Enter means “" + does + "” since this moment. Enter again."}
		}
	}
	c, refused := o.command(line, typedAt)
	if refused != "" {
		return Answer{Refused: refused}
	}
	return o.do(c)
}

// do carries out a command, and lets the hands go on.
func (o *Operator) do(c run.Command) Answer {
	wasDue := o.isDue()
	a, done := o.carryOut(c)
	if done {
		a.Moved = o.goOn(c, wasDue)
	}
	return a
}

// carryOut is do with the hands staying where they are. done is false where a question, or a reason not to, stands in the way.
func (o *Operator) carryOut(c run.Command) (a Answer, done bool) {
	fell := o.fellDue()
	events, err := o.Engine.Do(c)
	a = Answer{Events: events, Said: o.tell(events, fell)}
	var ask *run.Question
	var refusal *run.Refusal
	switch {
	case errors.As(err, &ask):
		ask = o.asks(c, ask)
		o.open, a.Ask = &openQuestion{about: c, ask: ask, since: o.Engine.Now().Elapsed}, ask
	case errors.As(err, &refusal):
		a.Refused, a.Keep = refusal.Say, refusal == run.ErrNoReason || refusal == run.ErrNoReasonNamed || refusal == run.ErrWhyLonger
	case err != nil:
		a.NotSaved, o.unsaved = err, &c
	}
	return a, err == nil
}

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
				say("%s: %s is taken back", t.Title(), t.ShownAs(t.Was[len(t.Was)-1]))
			}
		case run.ReadingNotTaken:
			say("%s: not taken", o.Engine.State.Protocol.Reading(f.Reading).Title)
		case run.GuardSpoke:
			say("Look again: %s", f.Say)
		case run.Noted:
			say("Noted.")
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
