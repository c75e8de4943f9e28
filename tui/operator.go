package tui

import (
	"errors"
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

	// MoveTo lets the journal go on in another folder, and says where it was and where it is then. nil: there is no
	// journal.
	MoveTo func(folder string) (from, to string, err error)

	open      *openQuestion
	withdrawn *time.Duration   // elapsed time at which a question was withdrawn last
	keeper    timetable.Keeper // of the timetable, where the run has one
	noTable   string           // why there is none, as it was said
	unsaved   *run.Command     // what could not be saved, and can be tried again
	elsewhere string           // folder in which the run may go on, if the answer is yes
	struck    *time.Duration   // elapsed time of the last Enter, whether it did anything or not
	held      bool             // the vessel was chosen by its letter, and no act was done on it yet
	recent    string           // vessel of the last act, from which the hands went on to another one; "" once they were led elsewhere
	chosen    bool             // a letter chose the vessel, and the hands are still there
	lost      bool             // what was typed last was not taken, for it was begun too soon after a change
	changed   *change          // the last change of vessel, if the queue made it
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
			if o.changed != nil {
				o.changed.at = o.Engine.Now().Elapsed // whoever struck it has yet to look
			}
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
	if _, undone := c.Do.(run.Undo); undone && done {
		o.choose(c.Vessel) // what comes next is there
	} else if done {
		o.recent = c.Vessel
		a.Moved = o.goOn(c, wasDue)
	}
	return a
}

// carryOut is do with the hands staying where they are. done is false where a question, or a reason not to, stands in
// the way.
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
		var unfinished *run.Unfinished
		a.Refused, a.Keep = refusal.Say, errors.As(err, &unfinished)
	case err != nil:
		a.NotSaved, o.unsaved = err, &c
	}
	return a, err == nil
}
