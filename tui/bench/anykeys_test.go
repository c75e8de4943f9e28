package bench

import (
	"errors"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol/run"
)

// TestAnyKeys: under ten thousand sequences of keys, at whatever size and with a disk that fails now and then, nothing
// panics, every frame has the screen's size, and every reading that was kept is in the run.
func TestAnyKeys(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 11))
	lines := []string{"", "", "", "", "50.04", "1", "8.7", "54.5", "x why", "n 日本語 e\u0301 \u202e", "c 3 why", "e 5 why", "s why", "A", "B", "C", "?", "a", "m", "f",
		"-", "t lot", "d why", "u why", "@-1 50.1", "@8:31 8.8", "@8:30 oil_weighed 50", "c in_bath @8:31 why", "@"}
	kinds := []tea.KeyType{tea.KeyEnter, tea.KeyEsc, tea.KeyBackspace, tea.KeyTab, tea.KeyShiftTab, tea.KeyUp, tea.KeyDown, tea.KeyPgUp, tea.KeyPgDown, tea.KeyCtrlL, tea.KeyF1, tea.KeySpace}
	p := newPlayer(t, 3)
	w, h := 80, 24
	readings := 0
	for i := range 10_000 {
		switch rnd.IntN(9) {
		case 0:
			w, h = 1+rnd.IntN(140), 1+rnd.IntN(50)
			if rnd.IntN(3) == 0 {
				w, h = 1+rnd.IntN(20), 1+rnd.IntN(12)
			}
			p.size(w, h)
		case 1:
			p.at += time.Duration(rnd.Int64N(int64(6 * time.Minute)))
			p.send(tickMsg{})
		case 2:
			p.send(tea.KeyMsg{Type: kinds[rnd.IntN(len(kinds))]})
		case 3:
			p.send(typed(string([]rune{rune(rnd.IntN(0x3000)), rune(' ' + rnd.IntN(95))})))
		case 4:
			if p.fails = nil; rnd.IntN(4) == 0 {
				p.fails = errors.New("disk full")
			}
		default:
			p.play(lines[rnd.IntN(len(lines))])
		}
		checkSize(t, p.text(), w, h)
		if over := p.now().left || p.now().Ended() && rnd.IntN(20) == 0; over || i%50 == 0 {
			readings += checkKept(t, p)
			if over {
				p = newPlayer(t, 1+rnd.IntN(12))
				p.size(w, h)
			}
		}
		if t.Failed() {
			t.Fatalf("after %d sequences", i+1)
		}
	}
	if readings < 100 {
		t.Errorf("only %d readings were looked for", readings)
	}
	p.send(tea.WindowSizeMsg{})
	if got := p.model.View(); got != "" {
		t.Errorf("no screen shows %q", got)
	}
}

// checkKept looks for every reading that the recorder took in the run, where it is, or is among what it was before a
// correction; it returns how many there are.
func checkKept(t *testing.T, p *player) (n int) {
	t.Helper()
	for _, e := range p.events {
		f, ok := e.What.(run.ReadingTaken)
		if !ok {
			continue
		}
		n++
		taken := p.now().Run().Vessel(e.Vessel).TakenBy(e.N)
		if taken == nil {
			t.Errorf("event %d, %s %q of vessel %s, is lost", e.N, f.Reading, f.Typed, e.Vessel)
			continue
		}
		was := func(c run.Correction) bool { return c.Value == f.Value && c.Text == f.Text }
		if (taken.Value != f.Value || taken.Text != f.Text) && !slices.ContainsFunc(taken.Was, was) {
			t.Errorf("event %d, %s %q of vessel %s, is now %+v", e.N, f.Reading, f.Typed, e.Vessel, taken)
		}
	}
	return n
}
