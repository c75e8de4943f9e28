package tui_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/rehearsal"
)

// burning returns an operator at the burn of vessel A, rehearsed up to a moment, with its clock and its recorder.
func burning(t *testing.T, at time.Duration) (*tui.Operator, *moody) {
	t.Helper()
	script, _ := protocols.Demo("burn-test")
	b, err := rehearsal.Begun(script, "r", "test")
	if err != nil {
		t.Fatal(err)
	}
	m := &moody{held: &held{}}
	s, _, err := run.Begin(b, m.Now())
	if err != nil {
		t.Fatal(err)
	}
	o := tui.NewOperator(run.NewEngine(s, m, m))
	for _, line := range script.Lines {
		if line.At > at {
			break
		}
		m.now = line.At
		for _, typed := range rehearsal.Typed(o, line) {
			if a := o.Enter(typed, 0); a.Refused != "" {
				t.Fatalf("line %d, %q: %s", line.Number, typed, a.Refused)
			}
		}
	}
	m.now = at
	return o, m
}

// series are the points of the burn, each with the time that it counts from and a mark where it was kept on a doubt.
func series(o *tui.Operator) []string {
	var out []string
	for _, taken := range o.Engine.State.Vessels[0].Taken {
		if taken.Reading.ID != "burn_temperature" {
			continue
		}
		text := run.Hms(taken.At.Elapsed) + " " + taken.Typed
		if taken.Unlikely {
			text += " doubted"
		}
		out = append(out, text)
	}
	return out
}

// A point of a series that is asked about and not answered is kept when the one after it is typed, and replaced when it is
// typed anew. The points are 30 s apart; the question came at 13:37 about what was begun at 13:35.
func TestTheNextPointKeepsTheOneBefore(t *testing.T) {
	begun, asked := 13*time.Minute+35*time.Second, 13*time.Minute+37*time.Second
	for _, tt := range []struct {
		after time.Duration // the next line's first digit, after the question
		line  string
		want  []string // the newest points
		hears string
	}{
		{28 * time.Second, "25.9", []string{"13:35 94.5 doubted", "14:05 25.9"}, "A Water: 94.5 °C (outside what is expected, kept with a mark)"},
		{15 * time.Second, "25.9", []string{"13:35 94.5 doubted", "13:52 25.9"}, "A Water: 94.5 °C (outside what is expected, kept with a mark)"},
		{5 * time.Minute, "25.9", []string{"13:35 94.5 doubted", "18:37 25.9"}, "A Water: 94.5 °C (outside what is expected, kept with a mark)"},
		{14900 * time.Millisecond, "25.9", []string{"13:05 21.8", "13:51 25.9"}, "A 94.5 not taken."},
		{2 * time.Second, "24.5", []string{"13:05 21.8", "13:39 24.5"}, "A 94.5 not taken."},
		{28 * time.Second, "@-1 22.9", []string{"13:05 21.8", "13:06 22.9"}, "A 94.5 not taken."},
		{28 * time.Second, "n the display", []string{"12:35 19.7", "13:05 21.8"}, "A 94.5 not taken."},
		{28 * time.Second, "-", []string{"12:35 19.7", "13:05 21.8"}, "Nothing was changed."},
	} {
		o, m := burning(t, 13*time.Minute+10*time.Second)
		m.now = asked
		if a := o.Enter("94.5", begun); a.Ask == nil {
			t.Fatalf("not asked: %+v", a)
		}
		m.now = asked + tt.after + time.Second
		got := heard(o.Enter(tt.line, asked+tt.after))
		if points := series(o); !slices.Equal(points[len(points)-2:], tt.want) || !strings.HasPrefix(got, tt.hears) {
			t.Errorf("%s typed %s after the question: %q and %q, want %q and %q", tt.line, tt.after, points[len(points)-2:], got, tt.want, tt.hears)
		}
	}
}

// Both points do what their reminders asked for, and each is told.
func TestBothPointsCount(t *testing.T) {
	o, m := burning(t, 13*time.Minute+10*time.Second)
	m.now = 13*time.Minute + 37*time.Second
	o.Enter("94.5", 13*time.Minute+36*time.Second)
	m.now = 14*time.Minute + 6*time.Second
	a := o.Enter("25.9", 14*time.Minute+5*time.Second)
	if want := "A Water: 94.5 °C (outside what is expected, kept with a mark) A Water: 25.9 °C"; heard(a) != want || len(a.Events) != 2 {
		t.Errorf("%q, %d events; want %q", heard(a), len(a.Events), want)
	}
	o.Enter("", 0)
	o.Enter("", 0)
	for _, d := range o.Engine.State.Deviations {
		if d.Kind == "reminder missed" {
			t.Errorf("%+v", d)
		}
	}
}

// Where the disk takes no more, the point that is asked about and the one after it are kept once there is room, once each.
func TestTheNextPointOnAFullDisk(t *testing.T) {
	o, m := burning(t, 13*time.Minute+10*time.Second)
	m.now = 13*time.Minute + 37*time.Second
	o.Enter("94.5", 13*time.Minute+35*time.Second)
	m.now, m.fails = 14*time.Minute+6*time.Second, errFull
	if a := o.Enter("25.9", 14*time.Minute+5*time.Second); a.NotSaved == nil || o.Open() == nil {
		t.Fatalf("%+v", a)
	}
	m.fails = nil
	o.Enter("25.9", 14*time.Minute+5*time.Second)
	m.now += time.Second
	o.Enter("", 0)
	if got := series(o); !slices.Equal(got[len(got)-2:], []string{"13:35 94.5 doubted", "14:05 25.9"}) || len(got) != 7 {
		t.Errorf("%q", got)
	}
}

// A vessel's letter at an open question names what the question itself offers.
func TestAnswerFirst(t *testing.T) {
	o, m := burning(t, 13*time.Minute+10*time.Second)
	m.now += time.Second
	o.Enter("s no fuel", 0)
	if a := o.Enter("B", 0); a.Refused != "Answer first. Enter: skip it. Esc or a dash (-): no." || o.Open() == nil {
		t.Errorf("%+v", a)
	}
}
