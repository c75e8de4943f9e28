package run

import (
	"time"

	"example.org/meniscus/protocol"
)

// A State is a run as the events so far have made it. Only Apply changes it.
type State struct {
	Protocol *protocol.Protocol
	ID       string // the run's id
	Program  string // the program that began it
	Zone     string // UTC offset of the place at the begin
	Here     string // and by now
	Begun    Moment
	Bench    *Bench // what timetables are made for; nil: none is
	Last     Event  // the newest event

	Acknowledged bool
	Vessels      []*Vessel
	Away         *Moment // called away since then; nil: the hands are here
	Notes        []Noting
	Guards       []Spoken
	Deviations   []Deviation // in the order they arose, of all vessels
	Undone       []Undoing   // acts that were undone, in the order of that
	Restarts     []Restart
	Breaks       []Break       // sleep, stops and set clocks, in the order they were noticed
	Draft        *Drafted      // a line to come back to; nil once anything else was done
	Timetables   []Timetable   // the newest last
	Acted        time.Duration // elapsed time of the hands' last act
	Returned     time.Duration // elapsed time at which the hands came back, or the program was taken up, last
	Ended        *Ending

	anchor *Anchor
}

// A Vessel goes through the protocol on its own clock.
type Vessel struct {
	Label string
	Set   map[string]string // givens as typed
	Sheet *protocol.Sheet

	Position
	Began    time.Duration // elapsed time at which the first stage was entered
	Entered  time.Duration // elapsed time at which the stage was entered
	Since    time.Duration // elapsed time at which the phase began
	Extended time.Duration // what the running wait was extended by
	GivenUp  string        // the reason; "" while it goes on
	Through  *Moment       // when the last stage was left, or the vessel was given up

	Spells []Spell // of the hands, in their order
	Taken  []Taken // every reading in the order taken; a corrected one keeps its place

	own       []string               // what tells it from the others
	stays     []stay                 // in the order of the stages
	settled   map[slot]int           // how many values are taken or left out
	reminders map[int]answered       // by index in the stage, for the running wait
	stopwatch map[slot]time.Duration // running stopwatches: elapsed time of the start
	log       []before               // the newest events, each with what was before it
}

// answered counts the reminders of one kind in the running wait.
type answered struct {
	upTo  int // those up to this one are dealt with: answered or missed
	count int // answered
}

// A stay is a vessel's time in a stage, in elapsed time; to is 0 while it lasts.
type stay struct {
	stage    int
	from, to time.Duration
}

// A Taken is one reading of a vessel with its history.
type Taken struct {
	Event     int // number of the event that took it
	Reading   *protocol.Reading
	Portion   int
	At        Moment // when it was typed; Elapsed is its first digit's
	Typed     string
	Value     float64
	Text      string
	Unlikely  bool
	NotTaken  bool
	Why       string       // NotTaken, or Entered: the reason
	TakenBack bool         // NotTaken: it was taken first; Was has what it was
	Entered   *Moment      // when it was entered, where that was later than it was read; else nil
	Was       []Correction // superseded values, oldest first
	Again     []float64    // what was given once more and is in Value, one pour each
}

// A Correction is a value that was superseded, with when and why.
type Correction struct {
	Typed    string
	Value    float64
	Text     string
	Read     time.Duration // elapsed time at which it was read
	At       Moment        // when it was superseded
	Why      string        // why it was
	NotTaken bool          // there was no value; Typed says so
}

// A Deviation is planned against done.
type Deviation struct {
	At      Moment
	Vessel  string
	Stage   string
	Portion int    // 0 where portions do not matter
	Kind    string // early | late | gate | skipped | left out | unlikely | reminder missed | extended | given up | does not fit
	What    string // the step, wait or reading
	Planned string // "40 to 60 min"
	Done    string // "38 min 20 s"
	Why     string
	event   int  // that brought it
	Of      int  // unlikely: number of the event that took the reading
	Settled bool // unlikely: the value was corrected or taken back since
}

// A Noting is a remark with its time; Vessel "" is the whole run's.
type Noting struct {
	At     Moment
	Vessel string
	Text   string
}

// A Spoken is a guard that did not hold when its last reading arrived.
type Spoken struct {
	At      Moment
	Vessel  string
	Guard   string
	Say     string
	Settled bool // it holds by now, after a correction
	event   int  // that brought it
}

// A Restart is a time at which the program was started again on the run.
type Restart struct {
	At        Moment
	Gap, Back time.Duration
	Torn      string
	Rebooted  bool
	ClockSet  time.Duration
}

// A Break is where time did not go its ordinary way while the program ran. What is a Slept, Stopped, ClockSet or
// ZoneChanged.
type Break struct {
	At   Moment // when it was noticed
	What Fact
}

// An Ending is how the run was closed.
type Ending struct {
	At        Moment
	Abandoned bool
	Why       string
	event     int
}

// TakenBy returns the reading that an event took, or nil.
func (v *Vessel) TakenBy(event int) *Taken {
	if v == nil {
		return nil
	}
	for i := range v.Taken {
		if v.Taken[i].Event == event {
			return &v.Taken[i]
		}
	}
	return nil
}
