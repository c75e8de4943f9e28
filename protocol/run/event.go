package run

import "time"

// An Event is one fact of a run, in the order of N. Vessel is "" for a fact of the whole run.
type Event struct {
	N int
	Moment
	Vessel string
	What   Fact
}

// A Fact is what happened, in the past tense.
type Fact interface {
	// Kind names the fact in a journal.
	Kind() string
	apply(s *State, v *Vessel, e Event) error
}

// Begun opens every run. It carries all that a replay needs.
type Begun struct {
	Run         string        `json:"run"`      // the run's id
	Program     string        `json:"program"`  // name and version of the program that wrote it
	File        string        `json:"file"`     // the protocol's file name, for error messages
	Protocol    string        `json:"protocol"` // the file's whole text
	Instruments string        `json:"instruments,omitempty"`
	Vessels     []VesselBegun `json:"vessels"`
	Zone        string        `json:"zone,omitempty"`  // UTC offset of the place, as +01:00
	Bench       *Bench        `json:"bench,omitempty"` // what a timetable is made for; nil: each vessel begins when the hands like
	Anchor      *Anchor       `json:"anchor,omitempty"`
	Unfit       string        `json:"unfit,omitempty"` // why it is begun with amounts that do not fit
}

// A Bench is what a timetable counts with.
type Bench struct {
	Operators int            `json:"operators,omitempty"` // pairs of hands; 0: one
	Places    map[string]int `json:"places,omitempty"`    // how often a resource is there, where not as the protocol says
	Breaks    []BreakTime    `json:"breaks,omitempty"`    // when nobody is present
}

// A BreakTime is a time on the run's clock.
type BreakTime struct {
	From Span `json:"from"`
	To   Span `json:"to"`
}

// VesselBegun is a vessel with its givens as they were typed.
type VesselBegun struct {
	Label  string            `json:"label"`
	Givens map[string]string `json:"givens,omitempty"`
}

// The facts of a run.
type (
	// Acknowledged: the cautions and the list of what to have ready were read.
	Acknowledged struct {
		Why string `json:"why,omitempty"` // why it is begun with amounts that do not fit
	}
	// StageEntered: the vessel's hands or wait phase of the stage began.
	StageEntered struct {
		Stage string `json:"stage"`
	}
	// StepDone: one thing the hands do was done.
	StepDone struct {
		Stage   string `json:"stage"`
		Portion int    `json:"portion"`
		Step    int    `json:"step"` // from 1
	}
	// WaitEnded: a timed wait was ended by hand. Gate tells whether the stage's ready condition held.
	WaitEnded struct {
		Stage   string `json:"stage"`
		Portion int    `json:"portion"`
		Waited  Span   `json:"waited"`
		Gate    bool   `json:"gate_unmet,omitempty"`
		Why     string `json:"why,omitempty"` // why it was ended before its least time, or with the gate not met
	}
	// StageLeft: everything of the stage was done, or it was skipped.
	StageLeft struct {
		Stage   string `json:"stage"`
		Took    Span   `json:"took"`
		Skipped string `json:"skipped,omitempty"` // the reason
	}
	// ReadingTaken: a reading was typed, or a key marked it. TypedAt is the elapsed time at its first digit, and the
	// reading's own time.
	ReadingTaken struct {
		Stage    string  `json:"stage"`
		Portion  int     `json:"portion"`
		Reading  string  `json:"reading"`
		Typed    string  `json:"typed"`
		Value    float64 `json:"value"`          // in the reading's unit; a mark and a stopwatch: s
		Text     string  `json:"text,omitempty"` // choice and text
		Unit     string  `json:"unit,omitempty"`
		TypedAt  Span    `json:"typed_at"`
		Unlikely bool    `json:"unlikely,omitempty"`      // asked about, and kept all the same
		Planned  string  `json:"planned,omitempty"`       // what was expected instead; "": its range, as the run has it
		Late     bool    `json:"entered_later,omitempty"` // TypedAt is when it was read, as told; the event is when it was entered
		Why      string  `json:"why,omitempty"`           // Late: the reason, as far as it was told
	}
	// ReadingCorrected supersedes the reading of event Of; the old one stays.
	ReadingCorrected struct {
		Of       int     `json:"of"`
		Reading  string  `json:"reading"`
		Typed    string  `json:"typed"`
		Value    float64 `json:"value"`
		Text     string  `json:"text,omitempty"`
		Unlikely bool    `json:"unlikely,omitempty"`
		Planned  string  `json:"planned,omitempty"`
		At       *Span   `json:"read_at,omitempty"` // when it was read, on the run's clock, where that is corrected as well
		Why      string  `json:"why"`
		Again    *Pour   `json:"given_again,omitempty"` // what was given once more, where that is why: it is in Value
	}
	// A Pour is what was given at one time.
	Pour struct {
		Typed string  `json:"typed"`
		Value float64 `json:"value"`
	}
	// ReadingTakenBack: the reading of event Of is not taken after all; what it was stays in the record.
	ReadingTakenBack struct {
		Of      int    `json:"of"`
		Reading string `json:"reading"`
		Why     string `json:"why"`
	}
	// Undone: an act of the vessel, from event From on to the vessel's newest one, counts as never done.
	Undone struct {
		From int    `json:"from"`
		What string `json:"what"`
	}
	// ReadingNotTaken: a reading was left out, with the reason; optional ones may go without.
	ReadingNotTaken struct {
		Stage   string `json:"stage"`
		Portion int    `json:"portion"`
		Reading string `json:"reading"`
		Why     string `json:"why,omitempty"`
	}
	// StopwatchStarted: a stopwatch reading runs.
	StopwatchStarted struct {
		Stage   string `json:"stage"`
		Portion int    `json:"portion"`
		Reading string `json:"reading"`
	}
	// GuardSpoke: a relation that must hold did not, when its last reading arrived.
	GuardSpoke struct {
		Guard string `json:"guard"`
		Say   string `json:"say"`
	}
	// ReminderAnswered: the operator did what the Nth reminder of its kind asked. Missed counts those that fell due
	// before it and were not answered.
	ReminderAnswered struct {
		Stage    string `json:"stage"`
		Portion  int    `json:"portion"`
		Reminder int    `json:"reminder"` // index in the stage, from 0
		N        int    `json:"n"`        // how often it had fallen due in this wait
		Missed   int    `json:"missed,omitempty"`
	}
	// ClockExtended: the aim and the latest end of the running wait were moved.
	ClockExtended struct {
		Stage string `json:"stage"`
		By    Span   `json:"by"`
		Why   string `json:"why"`
	}
	// Noted: a remark, for the vessel or the whole run.
	Noted struct {
		Text string `json:"text"`
	}
	// CalledAway and CameBack bracket a time without hands; the chemistry's clocks go on.
	CalledAway struct{}
	CameBack   struct{}
	// VesselAdded: one more vessel joined the run; it has yet to begin.
	VesselAdded struct {
		Label  string            `json:"label"`
		Givens map[string]string `json:"givens,omitempty"`
	}
	// VesselEnded: a vessel was given up before its last stage.
	VesselEnded struct {
		Why string `json:"why"`
	}
	// Resumed: the program was started again on this run. Gap is the time since the last event, counted as elapsed.
	Resumed struct {
		Program  string  `json:"program"`
		Gap      Span    `json:"gap"`
		Back     Span    `json:"clock_back,omitempty"` // the wall clock stood this far before the last event: Gap is not known
		Rebooted bool    `json:"rebooted,omitempty"`   // the machine was started again: Gap is by the wall clock
		ClockSet Span    `json:"clock_set,omitempty"`  // the wall clock was set by so much meanwhile; forward is positive
		Zone     string  `json:"zone,omitempty"`       // the UTC offset, where it is another one
		Anchor   *Anchor `json:"anchor,omitempty"`
		Torn     string  `json:"torn,omitempty"` // an unfinished last line that was set aside
	}
	// Slept: the machine slept, as with its lid closed; that time counts. Unsure: its wall clock may have been set
	// forward instead, which this machine cannot tell.
	Slept struct {
		For    Span `json:"for"`
		Unsure bool `json:"unsure,omitempty"`
	}
	// Stopped: the program stood still while the machine was awake, as by ctrl-z.
	Stopped struct {
		For Span `json:"for"`
	}
	// ClockSet: the wall clock was set, forward by a positive time. The run's clock does not follow it.
	ClockSet struct {
		By Span `json:"by"`
	}
	// ZoneChanged: from now on the place's time is at this offset from UTC, as when daylight saving begins.
	ZoneChanged struct {
		Zone string `json:"zone"`
	}
	// Drafted: a line was typed and not entered when the program ended; "" sets such a line aside. It means nothing
	// until it is entered.
	Drafted struct {
		Vessel  string `json:"vessel,omitempty"`
		Line    string `json:"line"`
		TypedAt Span   `json:"typed_at"` // elapsed time at its first digit
	}
	// Planned: a timetable of what had not begun by then, made anew from how the run stood.
	Planned struct {
		Turns    []PlannedTurn `json:"turns"`               // vessel by vessel, each in the protocol's order
		End      Span          `json:"end"`                 // when the last vessel is through
		OverWait Span          `json:"over_wait,omitempty"` // what all waits last longer than their aims, over ones included
		Missed   []PlannedMiss `json:"missed,omitempty"`    // windows that cannot be kept, by half a minute and more
		Proven   bool          `json:"proven,omitempty"`    // there is no better one
	}
	// Ended: the run is over. Abandoned tells a run that was given up.
	Ended struct {
		Abandoned bool   `json:"abandoned,omitempty"`
		Why       string `json:"why,omitempty"`
	}
)

// A PlannedTurn is when the hands are at a portion of a stage.
type PlannedTurn struct {
	Vessel  string `json:"vessel"`
	Stage   string `json:"stage"`
	Portion int    `json:"portion"`
	Start   Span   `json:"start"`
	End     Span   `json:"end"`
}

// A PlannedMiss is a wait of a vessel that will last longer than it may.
type PlannedMiss struct {
	Vessel string `json:"vessel"`
	From   string `json:"from"` // what it follows, as catalyst.2
	To     string `json:"to"`
	By     Span   `json:"by"`
	Remedy string `json:"remedy,omitempty"`
}

// A Span is a duration in a journal, written as seconds with milliseconds.
type Span time.Duration
