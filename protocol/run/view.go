package run

import (
	"time"

	"example.org/meniscus/protocol"
)

// A Tone is how urgent a vessel is; each face gives it a word, a shape and a colour.
type Tone uint8

// The tones.
const (
	Idle    Tone = iota // not begun, or through
	Waiting             // a clock runs and the hands are free
	Hands               // hands needed
	Late                // past the latest end
)

// A View is everything a face shows of one vessel at one moment: already worked out, filled in and ready to be said.
type View struct {
	Vessel            string
	Own               []string // what is given to this vessel, in words: "coconut", "60 g"
	Tone              Tone
	Through           bool // the last stage was left, or the vessel was given up
	GivenUp           bool // it was given up
	Begun             bool
	Stage             *protocol.Stage // nil before the first stage and after the last
	Number, Stages    int             // the stage's place, from 1
	Portion, Portions int
	Do                string // what the hands do now, in a sentence
	Step, Steps       int    // the step at hand, from 1; 0 while waiting
	Next              string // what comes after, in a few words
	Enter             string // what the forward key does now, in a few words: "step done", "end the wait"
	Clock             *ClockView
	Gate              *GateView
	Wants             string // what a wait that is up still waits for, in a sentence; "" when it waits for nothing
	Asked             *Asked
	Needed            string        // what is to be read before a result that hangs on it is lost; "" where none is
	Due               []DueReminder // fallen due and not answered yet
	NextReminder      *NextReminder
	again             time.Duration // where Wants tells something: until that is looked at again
	Live              []LiveView
	Busy              []string          // resources that others hold: "Balance: with B"
	Hazards           []protocol.Hazard // of what is on the bench in this stage
	Cautions          []string          // of this stage, in plain words
	Attended          bool
	Pause             string
	Planned           *time.Duration // until the timetable has the hands here next: to begin, or after this wait; nil: it says nothing
	Level             float64        // how far through the plan, 0 to 1: where the liquid stands
	PlannedLevel      float64        // where it should stand by the plan at this moment
	Marks             []Graduation
}

// HeldBack tells that the timetable has the hands here so much later than the wait is up that it is worth saying.
func (v View) HeldBack() bool {
	return v.Clock != nil && v.Clock.Held && !v.Clock.ToBegin && *v.Planned >= max(v.Clock.Left, 0)+ahead
}

// NotYet is what the forward key does in a wait that is not to end yet: nothing.
const NotYet = "nothing yet: y and why ends it"

// A ClockView is the running clock: of the wait, or of the hands.
type ClockView struct {
	OfHands bool
	ToBegin bool // it counts down to the begin of the vessel
	Held    bool // the timetable has the hands elsewhere for now, so its aim calls nobody
	Elapsed time.Duration
	Window  protocol.Window // with what was extended
	Left    time.Duration   // to the aim; negative when past it
}

// A GateView is the stage's condition for going on.
type GateView struct {
	Say   string
	Met   bool
	Lacks string // every part of the condition that does not hold, in words: "oil at 53.6 °C: wait for 54.0 °C"; Say when it has no parts to tell
}

// IsUp reports whether a wait has reached its aim and nothing holds the hands back from it.
func (w *View) IsUp() bool {
	c := w.Clock
	return c != nil && !c.OfHands && !c.Held && c.Window.Aim > 0 && c.Left <= 0
}

// Reached tells that a wait which the hands attend has shown what it was for, and may end: a burn at its aimed rise.
func (w *View) Reached() bool {
	return w.Attended && w.Gate != nil && w.Gate.Met && w.Clock != nil && !w.Clock.OfHands && w.Clock.Elapsed >= w.Clock.Window.AtLeast
}

// reached says what the hands do once a wait is Reached.
func (l *look) reached(w *View) string {
	if w.Number == w.Stages && l.v.Position.afterWait(l.st).complete(l.st) {
		return "Reached. Now: end the wait."
	}
	return "Reached. Now: " + w.Next + "."
}

// An Asked is the reading that is asked for.
type Asked struct {
	Reading    *protocol.Reading
	Title      string
	Say        string
	Unit       string         // as shown: °C
	Instrument string         // its title
	Expected   string         // "10.5 to 11.5 mL"; "" when nothing is expected
	Aim        string         // series: the value to be reached, "32.8 °C"; "" when there is none
	Nth        int            // series: which point is next, from 1
	Running    *time.Duration // a stopwatch that runs: for how long
}

// A DueReminder has fallen due and was not answered.
type DueReminder struct {
	Index  int
	Say    string
	For    time.Duration // how long it has been due
	Missed int           // how many before it were not answered
}

// A NextReminder is the next one to fall due.
type NextReminder struct {
	Say string
	In  time.Duration
}

// A Graduation is a stage on the vessel's scale.
type Graduation struct {
	At    float64 // where the stage ends, 0 to 1 of the planned time
	Title string
	Done  bool
}
