package bench

import (
	"errors"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
)

// A reading that could not be saved stays in its line; after Esc, w and a folder it is saved there, with the time of its
// first digit.
func TestSavedElsewhere(t *testing.T) {
	p := atBench(t, 1)
	p.now().Operator.MoveTo = func(folder string) (string, string, error) {
		p.fails = nil
		return "/old/run-1.journal", folder + "/run-1.journal", nil
	}
	p.fails = errors.New("disk full")
	p.at += 20e9
	typed := p.at
	p.play("50.04")
	p.send(tea.KeyMsg{Type: tea.KeyEsc})
	if len(p.now().line) > 0 {
		t.Fatalf("Esc leaves the line %q", string(p.now().line))
	}
	p.at += 90e9
	p.play("w /spare")
	if text := p.text(); strings.Contains(text, "not saved") || !strings.Contains(text, "The journal goes on in /spare/run-1.journal") {
		t.Errorf("not told where it goes on:\n%s", text)
	}
	taken := p.now().Run().Vessels[0].Taken
	if len(taken) != 1 || taken[0].Typed != "50.04" || taken[0].At.Elapsed != typed {
		t.Errorf("readings %+v, want 50.04 once, typed at %v", taken, typed)
	}
}
