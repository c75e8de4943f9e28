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
