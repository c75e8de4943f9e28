package bench

import (
	"fmt"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol/run"
)

// atSummary returns a player at the summary of a run whose last reading was 49.6, with a summary that tells it.
func atSummary(t *testing.T) *player {
	p := newPlayer(t, 1)
	o := p.now().Options
	o.Summary = func(s *run.State, _ int) string {
		taken := s.Vessels[0].Taken
		return fmt.Sprintf("Oil weighed %s g, notes %d", taken[len(taken)-1].Typed, len(s.Notes))
	}
	p.model = New(o)
	p.play("", "", "49.6", "z fire drill", "")
	if p.now().screen != finished || !strings.Contains(p.text(), "Oil weighed 49.6 g") {
		t.Fatalf("not at the summary:\n%s", p.text())
	}
	return p
}

// TestCorrectedOnTheSummary: a slip that is seen only in the summary is corrected there, and the summary follows.
func TestCorrectedOnTheSummary(t *testing.T) {
	p := atSummary(t)
	p.send(typed("c"))
	if text := p.text(); !strings.Contains(text, "correct") || !strings.Contains(text, "49.6") || !strings.Contains(text, "Esc clear") {
		t.Errorf("no line is open:\n%s", text)
	}
	p.send(tea.KeyMsg{Type: tea.KeyEsc})
	p.play("c 60 display misread")
	if text := p.text(); !strings.Contains(text, "above what is expected") || !strings.Contains(text, "Enter ▸ keep it with a mark   Esc ▸ no") {
		t.Errorf("not asked:\n%s", text)
	}
	p.send(typed("7"))
	if text := p.text(); !strings.Contains(text, "a question is open") {
		t.Errorf("a digit on an open question:\n%s", text)
	}
	p.send(tea.KeyMsg{Type: tea.KeyEsc})
	if text := p.text(); !strings.Contains(text, "Nothing was changed") || !strings.Contains(text, "Oil weighed 49.6 g") {
		t.Errorf("after no:\n%s", text)
	}
	p.play("c 49.9 display misread")
	if text := p.text(); !strings.Contains(text, "49.90 g instead of 49.6") || !strings.Contains(text, "Oil weighed 49.9 g") {
		t.Errorf("after the correction:\n%s", text)
	}
	p.play("n told the person in charge")
	if text := p.text(); !strings.Contains(text, "notes 1") {
		t.Errorf("after the note:\n%s", text)
	}
	p.send(typed("4"))
	if text := p.text(); !strings.Contains(text, "the run is closed: c corrects a reading, @13:39 NAME 10.02 WHY enters") {
		t.Errorf("a digit:\n%s", text)
	}
	if p.now().Left() {
		t.Fatal("it was left")
	}
	p.at += 1e9
	if p.play(""); !p.now().Left() {
		t.Error("Enter alone does not leave")
	}
}

// TestACorrectionNotSaved: on a full disk the line stays, and Enter tries it again.
func TestACorrectionNotSaved(t *testing.T) {
	p := atSummary(t)
	p.fails = fmt.Errorf("the disk is full")
	p.play("c 49.9 display misread")
	if text := p.text(); !strings.Contains(text, "not saved: the disk is full") || !strings.Contains(text, "Oil weighed 49.6 g") {
		t.Errorf("told as:\n%s", text)
	}
	p.fails = nil
	p.play("")
	if text := p.text(); !strings.Contains(text, "Oil weighed 49.9 g") || p.now().Left() {
		t.Errorf("tried again:\n%s", text)
	}
}

// TestQuestionsCannotBeMisread: what is yes and what is no stands apart, whole, at every width.
func TestQuestionsCannotBeMisread(t *testing.T) {
	for _, w := range []int{30, 48, 80, 120} {
		p := atBench(t, 1)
		p.size(w, 20)
		p.play("5.06")
		text := p.text()
		for _, want := range []string{"Enter ▸ keep it", "   Esc ▸ no", "Enter yes  Esc no"} {
			if w < 48 && strings.HasPrefix(want, "Enter yes") {
				continue // the line above says it, and help comes first
			}
			if !strings.Contains(text, want) {
				t.Errorf("at %d columns there is no %q:\n%s", w, want, text)
			}
		}
	}
}

// TestHelpTurnsItsPages: space does what the line at the bottom says, and the names that a correction may use stand there.
func TestHelpTurnsItsPages(t *testing.T) {
	p := atBench(t, 1)
	p.play("50.04", "?")
	seen := ""
	for range 6 {
		seen += p.text()
		p.send(tea.KeyMsg{Type: tea.KeySpace, Runes: []rune(" ")})
		if !strings.Contains(p.text(), "Enter ▸ back") {
			t.Fatalf("space leaves the help:\n%s", p.text())
		}
	}
	for _, want := range []string{"A NAME is one of these, of what vessel A has read", "NAME.2 for its 2nd portion", "Oil weighed"} {
		if !strings.Contains(strings.Join(strings.Fields(seen), " "), want) {
			t.Errorf("no %q in the help:\n%s", want, seen)
		}
	}
	p.play("")
	if strings.Contains(p.text(), "Enter ▸ back") {
		t.Error("Enter does not leave the help")
	}
}
