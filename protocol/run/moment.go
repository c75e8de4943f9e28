package run

import (
	"sync/atomic"
	"time"
)

// A Moment is when something happened: by the wall clock, and by the run's own clock, which counts from the run's begin,
// never goes back, and does not care what the wall clock is set to.
type Moment struct {
	At      time.Time     // UTC, whole milliseconds
	Elapsed time.Duration // since the run began, whole milliseconds
}

// A Clock tells the moment. The program's clock is Timekeeper; a test holds its own.
type Clock interface{ Now() Moment }

// Dials is what the clocks of a machine show at one moment. Only differences of Awake and of Up mean anything.
type Dials struct {
	Wall  time.Time     // as it is set; it may be set forward or back at any time
	Zone  string        // UTC offset of the place, as +01:00
	Awake time.Duration // runs evenly; on some machines it stands still while the machine sleeps
	Up    time.Duration // since the machine was started, with the time it slept; below 0 where it cannot be told
	Boot  string        // names this start of the machine; "" where it cannot be told
}

// A Machine is asked for its clocks.
type Machine interface{ Read() Dials }

// An Anchor ties the run's clock to the machine's, so that a restart of the program on the same start of the machine
// needs no wall clock.
type Anchor struct {
	Boot    string `json:"boot,omitempty"` // which start of the machine
	Up      Span   `json:"up"`             // what its clock showed
	Elapsed Span   `json:"elapsed"`        // what the run's clock showed then
}

// A Timekeeper counts Elapsed from a known moment. It follows the clock that goes on while the machine sleeps, since a
// reaction does not sleep with it; where there is none, it follows the clock of the waking machine, and Watch adds what
// the wall clock ran ahead. Now may be called from any goroutine, Watch from one only.
type Timekeeper struct {
	machine Machine
	began   Dials
	from    Moment
	added   atomic.Int64 // time.Duration: slept, as far as only the wall clock tells

	seen Dials // by Watch
}

// Start returns a clock whose Elapsed is zero now.
func Start(m Machine) *Timekeeper {
	return from(m, m.Read(), 0)
}

func from(m Machine, d Dials, elapsed time.Duration) *Timekeeper {
	return &Timekeeper{machine: m, began: d, from: Moment{utc(d.Wall), elapsed}, seen: d}
}

func utc(t time.Time) time.Time { return t.UTC().Truncate(time.Millisecond) }

// Now returns the moment.
func (k *Timekeeper) Now() Moment {
	d := k.machine.Read()
	return Moment{utc(d.Wall), k.elapsed(d)}
}

func (k *Timekeeper) elapsed(d Dials) time.Duration {
	passed, _ := between(k.began, d)
	return k.from.Elapsed + (passed + time.Duration(k.added.Load())).Truncate(time.Millisecond)
}

// Anchor returns where the run's clock stands by the machine's; nil where the machine cannot tell how long it is up.
func (k *Timekeeper) Anchor() *Anchor {
	if k.began.Up < 0 {
		return nil
	}
	return &Anchor{k.began.Boot, Span(k.began.Up.Truncate(time.Millisecond)), Span(k.from.Elapsed)}
}

// between returns the time that passed from a to b, within one start of the machine, and how long of it the machine
// slept. Where only the waking clock is known, asleep is not.
func between(a, b Dials) (passed, asleep time.Duration) {
	awake := max(0, b.Awake-a.Awake)
	if a.Up < 0 || b.Up < 0 {
		return awake, 0
	}
	passed = max(0, b.Up-a.Up)
	return passed, max(0, passed-awake)
}

// GoOn returns the clock of a run that is taken up again, with the fact to record. The time in between counts as
// elapsed: a reaction does not stop for a restart. On the same start of the machine its own clock tells how long that
// was; after a restart of the machine only the wall clock does, and where that stands before the last event the gap
// counts as zero.
func GoOn(m Machine, s *State) (*Timekeeper, Resumed) {
	d, last := m.Read(), s.Last.Moment
	var r Resumed
	gap, same := sinceAnchor(s.anchor, d, last.Elapsed)
	wall := utc(d.Wall).Sub(last.At)
	switch {
	case same:
		if by := wall - gap; by.Abs() >= stepLeast {
			r.ClockSet = Span(by)
		}
	case wall < 0:
		gap, r.Back = 0, Span(-wall)
	default:
		gap = wall
	}
	r.Gap, r.Rebooted = Span(gap), !same && wasRestarted(s.anchor, d)
	if d.Zone != s.Here {
		r.Zone = d.Zone
	}
	k := from(m, d, last.Elapsed+gap)
	r.Anchor = k.Anchor()
	return k, r
}

// sinceAnchor returns how long the last event lies back by the machine's own clock; same is false where the machine was
// started since, or cannot tell.
func sinceAnchor(a *Anchor, d Dials, last time.Duration) (gap time.Duration, same bool) {
	if a == nil || d.Up < 0 || a.Boot == "" || a.Boot != d.Boot {
		return 0, false
	}
	gap = (time.Duration(a.Elapsed) + d.Up - time.Duration(a.Up) - last).Truncate(time.Millisecond)
	return max(0, gap), gap >= -time.Second
}

// wasRestarted tells a machine that was started since the anchor was set: by its name, or because it is up for less.
func wasRestarted(a *Anchor, d Dials) bool {
	switch {
	case a == nil || d.Up < 0:
		return false
	case a.Boot != "" && d.Boot != "":
		return a.Boot != d.Boot
	}
	return d.Up < time.Duration(a.Up)
}
