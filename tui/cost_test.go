package tui_test

import (
	"strings"
	"testing"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
)

// TestWhatALeftOutReadingCosts: who leaves a needed reading out hears at once which result it costs, while it can still be had.
func TestWhatALeftOutReadingCosts(t *testing.T) {
	text, _ := protocols.Text("burn-test")
	m := &moody{held: &held{}}
	s, _, err := run.Begin(run.Begun{Run: "r", File: "burn-test.toml", Protocol: string(text), Vessels: []run.VesselBegun{{Label: "A"}}}, m.Now())
	if err != nil {
		t.Fatal(err)
	}
	o := tui.NewOperator(run.NewEngine(s, m, m))
	o.Enter("", 0) // the briefing
	o.Enter("", 0) // the first stage
	for range 20 {
		w := o.View()
		if w.Asked != nil && w.Asked.Reading.ID == "can" {
			break
		}
		if w.Asked != nil {
			o.Enter("x busy", 0)
			continue
		}
		o.Enter("", 0)
	}
	if got := heard(o.Enter("x the balance is taken", 0)); !strings.Contains(got, "Without it there is no Energy per gram, as measured; u takes that back") {
		t.Errorf("the can left unweighed: %q", got)
	}
	if got := heard(o.Enter("u", 0)); !strings.Contains(got, "Take") && !strings.Contains(got, "Undone") {
		t.Errorf("u: %q", got)
	}
}
