package timetable

import (
	"testing"
	"time"

	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/protocol/run"
)

// TestIsNews: what somebody at the bench would notice is news, and seconds are not.
func TestIsNews(t *testing.T) {
	span := func(s int) run.Span { return run.Span(time.Duration(s) * time.Second) }
	table := func(a, b, end int, missed ...run.PlannedMiss) run.Planned {
		return run.Planned{End: span(end), Missed: missed, Turns: []run.PlannedTurn{
			{Vessel: "A", Stage: "dose", Portion: 1, Start: span(a)}, {Vessel: "B", Stage: "dose", Portion: 1, Start: span(b)}}}
	}
	old := table(600, 630, 3000)
	joined := table(600, 630, 3000)
	joined.Turns = append(joined.Turns, run.PlannedTurn{Vessel: "C", Stage: "dose", Portion: 1, Start: span(900)})
	for name, test := range map[string]struct {
		made run.Planned
		want bool
	}{
		"the same":        {table(600, 630, 3000), false},
		"seconds":         {table(615, 674, 3059), false},
		"a turn moved":    {table(600, 690, 3000), true},
		"the end moved":   {table(600, 630, 3060), true},
		"another order":   {table(640, 630, 3000), true},
		"a window missed": {table(600, 630, 3000, run.PlannedMiss{Vessel: "A", To: "dose.1", By: span(30)}), true},
		"a vessel more":   {joined, true},
	} {
		if got := isNews(old, test.made); got != test.want {
			t.Errorf("%s: news %v, want %v", name, got, test.want)
		}
	}
}

// TestMissIsNews: a window that is missed is news where another one, or another vessel's, was missed before, or it is missed by
// a minute more or less.
func TestMissIsNews(t *testing.T) {
	miss := func(vessel, to string, by time.Duration) run.Planned {
		return run.Planned{Missed: []run.PlannedMiss{{Vessel: vessel, To: to, By: run.Span(by * time.Second)}}}
	}
	old := miss("A", "dose.1", 90)
	for _, test := range []struct {
		made run.Planned
		want bool
	}{{miss("A", "dose.1", 149), false}, {miss("A", "dose.1", 150), true}, {miss("A", "dose.1", 30), true}, {miss("A", "dose.2", 90), true},
		{miss("B", "dose.1", 90), true}, {run.Planned{}, true}} {
		if got := isNews(old, test.made); got != test.want {
			t.Errorf("%+v: news %v, want %v", test.made.Missed, got, test.want)
		}
	}
}

// TestIsWorth: the order of the hands is turned round for half a minute of a window or two minutes, and for less it is not.
func TestIsWorth(t *testing.T) {
	p := func(excess, makespan, over time.Duration) *plan.Plan {
		return &plan.Plan{Excess: excess * time.Second, Makespan: makespan * time.Second, OverWait: over * time.Second}
	}
	kept := p(60, 3000, 600)
	for _, test := range []struct {
		anew *plan.Plan
		want bool
	}{
		{p(60, 3000, 600), false},
		{p(31, 3000, 600), false}, {p(30, 3600, 900), true},
		{p(60, 2881, 600), false}, {p(60, 2880, 900), true}, {p(61, 2000, 0), false},
		{p(60, 3000, 481), false}, {p(60, 3000, 480), true}, {p(60, 3001, 0), false},
	} {
		if got := isWorth(kept, test.anew); got != test.want {
			t.Errorf("excess %v, makespan %v, over-wait %v: worth %v, want %v", test.anew.Excess, test.anew.Makespan, test.anew.OverWait, got, test.want)
		}
	}
}
