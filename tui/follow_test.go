package tui_test

import (
	"os"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// atBatch returns an operator past the briefing of an invented batch: 3 min of charging by hand, a wait of 8, aim 12 and at
// most 20 min with a reminder each 4 min, three portions of 2 min at most, and what follows.
func atBatch(t *testing.T, vessels string) (*tui.Operator, *moody) {
	t.Helper()
	return atBench(t, vessels, nil)
}

func atBench(t *testing.T, vessels string, bench *run.Bench) (*tui.Operator, *moody) {
	t.Helper()
	text, err := os.ReadFile("../testdata/screens/small-batch.toml")
	if err != nil {
		t.Fatal(err)
	}
	b := run.Begun{Run: "r", File: "small-batch.toml", Protocol: string(text), Bench: bench}
	for _, v := range vessels {
		b.Vessels = append(b.Vessels, run.VesselBegun{Label: string(v)})
	}
	m := &moody{held: &held{}}
	s, _, err := run.Begin(b, m.Now())
	if err != nil {
		t.Fatal(err)
	}
	o := tui.NewOperator(run.NewEngine(s, m, m))
	o.Enter("", 0)
	return o, m
}

// A heard is what a line led to, as one text: what was said, refused, asked, and where the hands went.
func heard(a tui.Answer) string {
	said := append(append([]string{}, a.Said...), a.Refused, a.Moved)
	if a.Ask != nil {
		said = append(said, a.Ask.Say)
	}
	return strings.Join(strings.Fields(strings.Join(said, " ")), " ")
}

// "+30s" lets time go by, and the face looks at the clock; other lines are typed.
func TestFollow(t *testing.T) {
	type step struct{ line, vessel, hears string } // the vessel in hand afterwards
	charged := []step{
		{"+1s", "A", ""}, {"", "A", ""}, {"+1s", "A", ""}, {"50", "A", ""}, {"+1s", "A", ""},
		{"1", "B", "Vessel B now: Charge."}, // A waits from 0:03
	}
	for name, steps := range map[string][]step{
		"an Enter too soon, and one that is meant": {
			{"+500ms", "B", ""}, {"", "B", "B is in hand now: Enter again."},
			{"+900ms", "B", ""}, {"", "B", ""}, {"50", "B", "Oil weighed: 50.00 g"},
		},
		"a waiting vessel gives way to the one that is due": {
			{"A", "A", "Vessel A."}, {"34", "A", "Oil temperature"}, {"+3m50s", "A", ""}, {"+20s", "A", ""}, // its reminder is due
			{"", "B", "Vessel B now: Charge."}, {"+1s", "B", ""}, {"", "B", ""}, {"+1s", "B", ""}, {"50", "B", ""}, {"+1s", "B", ""},
			{"1", "B", "How the oil looks"}, {"+3m30s", "B", ""}, // both wait
			{"+20s", "A", "Vessel A now: Prewarm."}, // 8:03 after A's wait began, B's reminder is due at 4:12 of its own
		},
		"what waits to begin comes after what is due": {
			{"+4m", "A", "Vessel A now: Prewarm."}, {"+1s", "A", ""}, {"n slow", "A", "Noted."}, {"", "B", "Vessel B now: Charge."},
			{"+1s", "B", ""}, {"n later", "B", "Noted."}, {"A", "A", ""}, {"34", "A", "Oil temperature"},
		},
		"a letter holds": {
			{"A", "A", ""}, {"+30m", "A", ""}, {"B", "B", "Vessel B."}, {"+30m", "B", ""}, {"", "A", "Vessel A now: Prewarm."},
		},
		"in the middle of the hands' work it stays": {
			{"+1s", "B", ""}, {"", "B", ""}, {"+1s", "B", ""}, {"50", "B", ""}, {"+5m", "B", ""}, {"n a reminder of A is due", "B", "Noted."},
			{"+14m", "B", ""}, {"n A has a minute left", "B", "Noted."}, {"+40s", "B", ""},
			{"n A closes within half a minute", "A", "Noted. Vessel A now: Prewarm."},
		},
		"a question holds": {
			{"A", "A", ""}, {"s broken", "A", "Skip what is left"}, {"+15m", "A", ""}, {"-", "A", ""}, {"+1s", "A", ""},
		},
		"what is through is left": {
			{"A", "A", ""}, {"d broken", "A", "Give up"}, {"", "B", "Vessel B now: Charge."}, {"A", "A", ""}, {"n why", "B", "Vessel B now"},
		},
	} {
		o, m := atBatch(t, "AB")
		for i, s := range append(append([]step{}, charged...), steps...) {
			got := ""
			if by, err := time.ParseDuration(strings.TrimPrefix(s.line, "+")); err == nil && strings.HasPrefix(s.line, "+") {
				m.now += by
				got = o.Follow()
			} else {
				got = heard(o.Enter(s.line, 0))
			}
			if o.Vessel != s.vessel || !strings.Contains(got, s.hears) {
				t.Fatalf("%s: step %d, %q at %s: %s in hand, %q; want %s, %q", name, i+1, s.line, run.Hms(m.now), o.Vessel, got, s.vessel, s.hears)
			}
		}
	}
}

// A run that is taken up again begins with the vessel that needs the hands.
func TestTakenUpWhereHandsAreNeeded(t *testing.T) {
	o, m := atBatch(t, "ABC")
	for _, line := range []string{"", "50", "1", "B", ""} {
		o.Enter(line, 0)
	}
	if got := tui.NewOperator(o.Engine).Vessel; got != "B" {
		t.Errorf("%s is in hand, want B, which is being charged", got)
	}
	m.now = 21 * time.Minute
	if got := tui.NewOperator(o.Engine).Vessel; got != "A" {
		t.Errorf("%s is in hand, want A, which is late", got)
	}
}

// What could not be saved stays with its vessel until it is saved.
func TestFollowWaitsForWhatIsNotSaved(t *testing.T) {
	o, m := atBatch(t, "AB")
	for _, line := range []string{"", "50", "1"} {
		o.Enter(line, 0)
	}
	o.Enter("A", 0)
	m.fails = errFull
	if a := o.Enter("34", 0); a.NotSaved == nil {
		t.Fatalf("saved: %+v", a)
	}
	m.now = 5 * time.Minute
	if o.Follow(); o.Vessel != "A" {
		t.Errorf("%s is in hand while a line of A is not saved", o.Vessel)
	}
	m.fails = nil
	if a := o.Enter("", 0); a.NotSaved != nil || a.Events[0].Vessel != "A" {
		t.Errorf("tried again: %+v", a)
	}
}

// A line that begins so soon after a change that nobody can have seen it is meant for the vessel before.
func TestALineBegunTooSoon(t *testing.T) {
	for after, want := range map[time.Duration]string{300 * time.Millisecond: "A", time.Second: "B"} {
		o, m := atBatch(t, "AB")
		for _, line := range []string{"", "50", "1"} {
			o.Enter(line, 0)
		}
		m.now += after
		if o.StartLine('n'); o.Vessel != want {
			t.Errorf("a line begun %s after the change is for %s, want %s", after, o.Vessel, want)
		}
	}
}

func TestAddVessel(t *testing.T) {
	o, m := atBatch(t, "A")
	for _, tt := range []struct{ line, want string }{
		{"v 60 g", "as v id=value"},
		{"v oil_mas=60 g", "no given “oil_mas”; it has oil_mass"},
		{"v gate=50 Cel", "Warm enough from is the same for all vessels"},
		{"v oil_mass=5 kg", "oil_mass"},
		{"v oil_mass=60 g", "Vessel B is in the run"},
		{"v", "Vessel C is in the run"},
	} {
		if got := heard(o.Enter(tt.line, 0)); !strings.Contains(got, tt.want) || o.Vessel != "A" {
			t.Errorf("%q: %q with %s in hand; want %q and A", tt.line, got, o.Vessel, tt.want)
		}
	}
	for label, want := range map[string]string{"A": "26.0 g", "B": "31.2 g", "C": "26.0 g"} { // 0.52 of the oil
		if got, _ := o.Engine.State.Vessel(label).Sheet.Show("solution_mass", 0); got != want {
			t.Errorf("%s gets %s of the solution, want %s", label, got, want)
		}
	}
	o.Enter("B", 0)
	m.now = time.Second
	if a := o.Enter("", 0); len(a.Events) == 0 || a.Events[0].Vessel != "B" {
		t.Errorf("the new vessel does not begin: %+v", a)
	}
}

// A vessel that joins gets what was set for all, not what another one has for itself.
func TestAddedVesselSharesWhatIsTheSameForAll(t *testing.T) {
	o, _ := atBatch(t, "A")
	o.Engine.State.Vessels[0].Set = map[string]string{"gate": "50 Cel", "oil_mass": "60 g"}
	o.Enter("v", 0)
	if got := o.Engine.State.Vessel("B").Set; len(got) != 1 || got["gate"] != "50 Cel" {
		t.Errorf("B is given %v", got)
	}
}

// Whoever comes back is told once what fell due meanwhile, whatever they do first.
func TestBackFromAway(t *testing.T) {
	for _, first := range []string{"a", "34", "n here again"} {
		o, m := atBatch(t, "A")
		for _, line := range []string{"", "50", "1", "a"} {
			o.Enter(line, 0)
		}
		m.now = 9 * time.Minute
		got := heard(o.Enter(first, 0))
		want := "Back at the bench. Meanwhile fell due: A: Swirl the flask, due 2 times; A: the least time of Prewarm passed 1:00 ago."
		if !strings.Contains(got, want) {
			t.Errorf("%q: %q, want %q", first, got, want)
		}
		if got := heard(o.Enter("34", 0)); strings.Contains(got, "Meanwhile") {
			t.Errorf("after %q told again: %q", first, got)
		}
	}
}

// A bare Enter so soon after time alone has changed what it means does nothing but tell it: a swirl that nobody can have seen
// fall due is not recorded as done, and a wait that has just passed its latest end is not ended by an answer to a reminder.
func TestEnterThatHasJustTurned(t *testing.T) {
	o, m := atBatch(t, "A")
	for _, line := range []string{"", "", "50", "1"} {
		m.now += 10 * time.Second
		o.Enter(line, 0)
	}
	began := m.now // of the wait: a reminder each 4 min, 20 min at most
	events := o.Engine.State.Last.N
	for _, tt := range []struct {
		after time.Duration
		does  string
	}{
		{4*time.Minute + 500*time.Millisecond, "done: Swirl the flask"},
		{20*time.Minute + 700*time.Millisecond, run.NotYet},
	} {
		m.now = began + tt.after
		if got := heard(o.Enter("", 0)); !strings.Contains(got, "Enter means “"+tt.does+"” since this moment") || o.Engine.State.Last.N != events {
			t.Errorf("%s after the begin of the wait: %q, %d events", tt.after, got, o.Engine.State.Last.N-events)
		}
	}
	m.now = began + 24*time.Minute
	if a := o.Enter("", 0); !strings.HasPrefix(a.Refused, "Not shown yet") {
		t.Errorf("an Enter when it could be seen what it does: %+v", a)
	}
}

// TestStaysWhereItWasChosen: a wait that was ended at a vessel chosen by its letter leads to work there whose window closes;
// the timetable has the hands elsewhere for work that may rest, and they stay all the same.
func TestStaysWhereItWasChosen(t *testing.T) {
	o, m := atBench(t, "AB", &run.Bench{})
	enter := func(lines ...string) {
		t.Helper()
		for _, line := range lines {
			m.now += 2 * time.Second
			if a := o.Enter(line, 0); a.Refused != "" || a.NotSaved != nil {
				t.Fatalf("%q at %s: %+v", line, run.Hms(m.now), a)
			}
		}
	}
	enter("A", "", "A", "50", "A", "1") // A is warmed
	enter("B", "")                      // B is charged: its time for the hands has no end
	turn := func(vessel, stage string, from time.Duration) run.PlannedTurn {
		return run.PlannedTurn{Vessel: vessel, Stage: stage, Portion: 1, Start: run.Span(from), End: run.Span(from + time.Minute)}
	}
	m.now = 13 * time.Minute
	if err := o.Engine.KeepTimetable(run.Planned{Turns: []run.PlannedTurn{turn("B", "charge", m.now), turn("A", "catalyst", m.now+5*time.Minute)}}); err != nil {
		t.Fatal(err)
	}
	enter("A", "54.2", "A", "", "A", "") // two reminders' worth of swirls, then the end of the wait
	if w := o.View(); o.Vessel != "A" || w.Stage == nil || w.Stage.ID != "catalyst" {
		t.Errorf("%s is in hand, at %+v", o.Vessel, w.Stage)
	}
}
