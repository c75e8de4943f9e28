package run

import "time"

// A Moment is when something happened: by the wall clock, and by the run's own clock, which counts from the run's begin,
// never goes back, and does not care what the wall clock is set to.
type Moment struct {
	At      time.Time     // UTC, whole milliseconds
	Elapsed time.Duration // since the run began, whole milliseconds
}

// A Clock tells the moment. The program's clock is Timekeeper; a test holds its own.
type Clock interface{ Now() Moment }

// A Timekeeper counts Elapsed from a known moment with the monotonic clock that time.Now carries.
type Timekeeper struct {
	now   func() time.Time
	began time.Time
	from  Moment
}

// Start returns a clock whose Elapsed is zero now.
func Start(now func() time.Time) *Timekeeper {
	t := now()
	return &Timekeeper{now, t, Moment{At: t.UTC().Truncate(time.Millisecond)}}
}

// GoOn returns the clock of a run that is taken up again after its last event. The time in between counts as elapsed: a
// reaction does not stop for a restart. back is how far the wall clock stands before that event, in which case the gap
// cannot be known and counts as zero.
func GoOn(now func() time.Time, last Moment) (clock *Timekeeper, gap, back time.Duration) {
	t := now()
	gap = t.Sub(last.At).Truncate(time.Millisecond)
	if gap < 0 {
		gap, back = 0, -gap
	}
	return &Timekeeper{now, t, Moment{t.UTC().Truncate(time.Millisecond), last.Elapsed + gap}}, gap, back
}

// Now returns the moment.
func (k *Timekeeper) Now() Moment {
	t := k.now()
	return Moment{t.UTC().Truncate(time.Millisecond), k.from.Elapsed + t.Sub(k.began).Truncate(time.Millisecond)}
}
