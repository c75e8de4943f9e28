package tui

import (
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
)

// TestMomentAfterTheClockChanged: the run begins at 01:20 UTC+1 (00:20 UTC), and at 01:00 UTC summer begins: from 02:00 the clock
// goes to 03:00, as in Central Europe on the last Sunday of March (Directive 2000/84/EC). Now it is 03:10.
func TestMomentAfterTheClockChanged(t *testing.T) {
	begun := time.Date(2026, 3, 29, 0, 20, 0, 0, time.UTC)
	s := &run.State{Zone: "+01:00", Here: "+02:00"}
	change := run.Moment{At: begun.Add(40 * time.Minute), Elapsed: 40 * time.Minute}
	s.Breaks = []run.Break{{At: change, What: run.ZoneChanged{Zone: "+02:00"}}}
	s.Ended = &run.Ending{At: run.Moment{At: begun.Add(50 * time.Minute), Elapsed: 50 * time.Minute}}
	o := &Operator{Engine: run.NewEngine(s, nil, still{})}
	for typed, want := range map[string]time.Duration{
		"03:05": 45 * time.Minute, // in summer time, after the change
		"01:50": 30 * time.Minute, // as the clock showed it then
		"02:30": 10 * time.Minute, // never shown; in summer time it falls within the run
		"01:20": 0,
	} {
		if got, ok := o.moment(typed); !ok || got != want {
			t.Errorf("@%s is %v of the run, %v; want %v", typed, got, ok, want)
		}
	}
	s.Zone, s.Here, s.Breaks = "+02:00", "+02:00", nil
	if got, _ := o.moment("02:30"); got != 10*time.Minute {
		t.Errorf("without a change @02:30 is %v, want 10m", got)
	}
}

type still struct{}

func (still) Now() run.Moment { return run.Moment{} }
