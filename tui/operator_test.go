package tui_test

import (
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
)

// held is a clock that the test sets, and a place for events.
type held struct{ now time.Duration }

func (h *held) Now() run.Moment {
	return run.Moment{At: time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC).Add(h.now), Elapsed: h.now}
}
func (h *held) Append(...run.Event) error { return nil }

func sit(t *testing.T) (*tui.Operator, *held) {
	t.Helper()
	text, _ := protocols.Text("burn-test")
	h := &held{}
	s, _, err := run.Begin(run.Begun{Run: "r", File: "burn-test.toml", Protocol: string(text),
		Vessels: []run.VesselBegun{{Label: "A"}, {Label: "B"}}}, h.Now())
	if err != nil {
		t.Fatal(err)
	}
	return tui.NewOperator(run.NewEngine(s, h, h)), h
}

func TestWhatLinesMean(t *testing.T) {
	o, h := sit(t)
	for _, tt := range []struct {
		line, want string // want is part of what is said, asked or refused; "" for nothing
	}{
		{"n too early", "Noted"},
		{"12.5", "cautions come first"},
		{"", ""},
		{"", ""},
		{"hello", "means nothing here"},
		{"note this", "means nothing here"},
		{"w", "no journal that could go on elsewhere"},
		{"x", "needs a reason"},
		{"c", "no reading to correct"},
		{"e", "by how many minutes"},
		{"e 5", "No wait is running"},
		{"B", "Vessel B"},
		{"A", "Vessel A"},
		{"a", "Called away"},
		{"a", "Back at the bench"},
		{"z bell", "End it for good"},
		{"-", "Nothing was changed"},
	} {
		h.now += time.Second
		a := o.Enter(tt.line, 0)
		got := strings.Join(a.Said, " ") + a.Refused
		if a.Ask != nil {
			got += a.Ask.Say
		}
		if !strings.Contains(got, tt.want) || tt.want == "" && got != "" {
			t.Errorf("%q: %q, want %q", tt.line, got, tt.want)
		}
	}
	if a := o.Enter("?", 0); !a.Help {
		t.Error("? asks for no help")
	}
	if a := o.Enter("q", 0); !a.Leave {
		t.Error("q does not leave")
	}
}

func TestAStaleQuestionIsAskedAnew(t *testing.T) {
	o, h := sit(t)
	o.Enter("", 0)
	if a := o.Enter("z fire drill", 0); a.Ask == nil {
		t.Fatalf("not asked: %+v", a)
	}
	h.now += 3 * time.Minute
	if a := o.Enter("", 0); a.Ask == nil || len(a.Events) > 0 {
		t.Fatalf("an Enter after three minutes went through: %+v", a)
	}
	h.now += 10 * time.Second
	if a := o.Enter("", 0); a.Ask != nil || o.Engine.State.Ended == nil {
		t.Errorf("asked anew and answered, it does not go through: %+v", a)
	}
}

// enter types lines one second apart, each of which must go through.
func enter(t *testing.T, o *tui.Operator, h *held, lines ...string) {
	t.Helper()
	for _, line := range lines {
		h.now += time.Second
		if a := o.Enter(line, 0); a.Refused != "" || a.Ask != nil {
			t.Fatalf("%q: refused %q, asked %v", line, a.Refused, a.Ask)
		}
	}
}

// takeBack takes a reading back, which is asked about first.
func takeBack(t *testing.T, o *tui.Operator, h *held, line string) {
	t.Helper()
	if a := o.Enter(line, 0); a.Ask == nil || len(a.Events) > 0 {
		t.Fatalf("%q: not asked first: %+v", line, a)
	}
	enter(t, o, h, "")
}

// barred wants the next line refused with a sentence that holds every part.
func barred(t *testing.T, o *tui.Operator, h *held, line string, parts ...string) {
	t.Helper()
	h.now += time.Second
	a := o.Enter(line, 0)
	for _, part := range parts {
		if !strings.Contains(a.Refused, part) {
			t.Fatalf("%q: refused %q, want %q in it", line, a.Refused, part)
		}
	}
}

// A burner is filled only while it is known to be cold: not once the tick is taken back, not while another vessel has the
// rig, and not on a tick from before that vessel let go of it.
func TestBurnerIsNotFilledUnseen(t *testing.T) {
	o, h := sit(t)
	enter(t, o, h, "", "A", "", "", "", "6.84", "96.42", "") // A stands before the filling, cold
	takeBack(t, o, h, "u felt warm")
	barred(t, o, h, "", "Fill the burner is barred")
	barred(t, o, h, "", "c burner_cold yes, then why")
	enter(t, o, h, "c burner_cold yes felt again")
	enter(t, o, h, "B", "", "B", "", "B", "", "B", "6.84", "B", "96.42", "B", "") // B ticks its burner cold too
	barred(t, o, h, "", "Fill the burner is barred", "Burner rig is with A")
	h.now += time.Second
	if a := o.Enter("A", 0); a.Refused != "" {
		t.Fatal(a.Refused)
	}
	o.Enter("d spilt", 0)
	enter(t, o, h, "") // yes: A is given up, and the rig is free
	o.Enter("B", 0)
	barred(t, o, h, "", "was noted before another vessel let go of Burner rig")
	takeBack(t, o, h, "u looked too early")
	enter(t, o, h, "B", "") // B ticks it anew, and goes on to fill
	if got := o.Engine.State.Look("B", h.now).Stage.ID; got != "fill" {
		t.Errorf("B is at %s", got)
	}
}
