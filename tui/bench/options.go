package bench

import (
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// Options are what the screens are given. Nil functions and zero numbers have sensible meanings.
type Options struct {
	Operator *tui.Operator // the run to show; nil: the chooser comes first

	Protocols  []Offer
	Unfinished []Unfinished
	Begin      func(protocolID string) (*run.Engine, error) // a chosen protocol is begun
	Resume     func(runID string) (*run.Engine, error)      // an unfinished run is taken up

	Summary func(s *run.State, width int) string             // the summary as text of at most width cells a line
	MoveTo  func(folder string) (from, to string, err error) // lets the run's journal go on in another folder; nil: it cannot
	Place   func(runID string) string                        // where the run's journal is
	// Typing is told the open line after every key, so that a line which is not entered can be kept when the program
	// ends; nil: nobody is.
	Typing func(vessel, line string, typedAt time.Duration)
	Bell   func() error // sounds once; its error is shown; nil: silent

	PlanAtOnce  bool // a timetable is made before the next key is taken, for a clock that is held meanwhile
	ReadThrough bool // Enter pages through the briefing before it acknowledges it; else one Enter does

	Tick     time.Duration // between looks at the clock; 0: 500 ms, so that each second is shown and the machine rests
	Debounce time.Duration // a bare Enter so soon after another Enter does nothing; 0: no hands type, and none is too soon

	Width, Height int // in cells, until the terminal tells; 0: 80 by 24
	Ascii         bool
	Palette       tui.Palette
}

// An Offer is a protocol that can be chosen.
type Offer struct {
	ID, Title, Purpose string
	Planned            time.Duration // of one vessel, aim by aim
	Hands              time.Duration // of that, with busy hands
	Remark             string        // what is to be known before it is chosen; "" for nothing
}

// An Unfinished is a run that can be gone on with.
type Unfinished struct {
	Run, Title string
	Ago        time.Duration // since its last event
	Where      string        // the stage it stands in
	Wrong      string        // why it cannot be gone on with, and what to do; "" when it can
	Rehearsed  bool          // on invented readings and at an invented time: Ago means nothing
}

func (o Options) withDefaults() Options {
	if o.Tick <= 0 {
		o.Tick = 500 * time.Millisecond
	}
	if o.Width <= 0 || o.Height <= 0 {
		o.Width, o.Height = 80, 24
	}
	if o.Summary == nil {
		o.Summary = func(*run.State, int) string { return "" }
	}
	if o.Place == nil {
		o.Place = func(string) string { return "" }
	}
	return o
}
