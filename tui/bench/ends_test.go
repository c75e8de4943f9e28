package bench

import (
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/tui"
)

// TestTypingIsTold: the open line is known after every key, so that it can be kept when the program ends.
func TestTypingIsTold(t *testing.T) {
	p := atBench(t, 2)
	var line string
	var at time.Duration
	o := p.now().Options
	o.Typing = func(vessel, text string, typedAt time.Duration) { line, at = vessel+" "+text, typedAt }
	p.model = New(o)
	p.at = 40 * time.Second
	p.send(typed("5"))
	p.at = 50 * time.Second
	p.send(typed("0.0"))
	if line != "A 50.0" || at != 40*time.Second {
		t.Errorf("told %q since %v, want A 50.0 since 40s", line, at)
	}
	p.send(tea.KeyMsg{Type: tea.KeyEsc})
	if line != "A " {
		t.Errorf("after esc, told %q", line)
	}
}

// TestDraftOnScreen: a line that was not entered is offered as a question, and counts from when it was typed.
func TestDraftOnScreen(t *testing.T) {
	p := atBench(t, 2)
	p.at = 40 * time.Second
	g := p.now().Operator.Engine
	if err := g.KeepDraft("A", "50.0", p.at); err != nil {
		t.Fatal(err)
	}
	p.at = time.Minute
	o := p.options()
	o.Operator = tui.NewOperator(g)
	p.model = New(o)
	if text := p.text(); !strings.Contains(text, "typed and not entered") || !strings.Contains(text, "“50.0”") {
		t.Errorf("the draft is not offered:\n%s", text)
	}
	p.play("")
	taken := g.State.Vessels[0].Taken
	if len(taken) != 1 || taken[0].Value != 50 || taken[0].At.Elapsed != 40*time.Second {
		t.Errorf("Enter took %+v, want 50.0 at 40 s", taken)
	}
	if g.State.Draft != nil {
		t.Error("an entered draft stays one")
	}
}
