package bench

import (
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol/run"
)

// TestAQuestionGoesStale: where time alone changes what the yes of an open question does, the question goes and says so, and the
// Enter that comes at that moment does nothing; a question left open for minutes says that Enter asks it again.
func TestAQuestionGoesStale(t *testing.T) {
	p := newPlanned(t, 3)
	p.playPlanned("", "", "+20s", "B", "")
	q := p.now().Operator.Open()
	if q == nil || !strings.Contains(q.Say, "By the timetable B begins at") {
		t.Fatalf("no question: %+v", q)
	}
	p.withHands()
	before := len(p.events)
	for range 240 { // without an act, until the time to begin has come
		p.at += time.Second
		p.send(tickMsg{})
		m := p.now()
		shown := strings.Contains(p.text(), "Enter ▸ "+q.Yes)
		_, err := run.Decide(m.Run(), run.Command{Vessel: "B", Do: run.Forward{}}, p.Now())
		_, asks := err.(*run.Question)
		if shown && !asks {
			t.Fatalf("at %s the screen offers %q, and Enter would do something else:\n%s", run.Hms(p.at), q.Yes, p.text())
		}
		if !asks {
			break
		}
	}
	text := strings.Join(strings.Fields(p.text()), " ")
	if p.now().Operator.Open() != nil || !strings.Contains(text, "The question is withdrawn, time has passed over it: Enter means “begin” from now on.") {
		t.Fatalf("at %s:\n%s", run.Hms(p.at), p.text())
	}
	p.play("")
	if len(p.events) != before {
		t.Errorf("the Enter for the question did: %s", p.facts())
	}
	p.at += time.Second
	if p.play(""); len(p.events) == before {
		t.Errorf("a second later Enter does nothing:\n%s", p.text())
	}

	p = atBench(t, 1)
	p.play("z fire drill", "+61s")
	if text := p.text(); strings.Contains(text, "Enter ▸ end the run") || !strings.Contains(text, "Enter ▸ ask it again: it was left open") {
		t.Errorf("a question of a minute ago:\n%s", text)
	}
	if p.play(""); p.now().Ended() || !strings.Contains(p.text(), "Enter ▸ end the run") {
		t.Errorf("Enter does not ask it again:\n%s", p.text())
	}
}

// TestLateFromAfar: where another vessel is late, the far view shows that one, and the vessel in hand beside it.
func TestLateFromAfar(t *testing.T) {
	p := newPlayer(t, 2)
	p.play(after(at("A", catalyst), "+5m", "B", "", "A", "n")...) // A waits for its next portion, B is charged
	p.play("+30m")
	p.send(tea.KeyMsg{Type: tea.KeyEsc})
	for _, hand := range []string{"A", "B"} {
		p.play(hand)
		p.send(typed("f"))
		m := p.now()
		queue := m.Operator.Turns()
		if queue[0].Tone != run.Late || m.Operator.Vessel != hand {
			t.Fatalf("not late: %+v", queue)
		}
		head := queue[0].Vessel
		text := strings.Join(strings.Fields(p.text()), " ")
		for _, v := range m.views {
			if v.Vessel == head && !strings.Contains(text, clockWords(v.Clock)) {
				t.Errorf("%s in hand: the far view lacks the late %s, %q:\n%s", hand, head, clockWords(v.Clock), p.text())
			}
			if v.Vessel == hand && hand != head && (!strings.Contains(text, "In hand: "+hand) || !strings.Contains(text, hand+" ▶ Enter ▸ "+v.Enter)) {
				t.Errorf("%s in hand is not told:\n%s", hand, p.text())
			}
		}
		p.send(typed("f"))
	}
}

// TestGivenUpIsNotDone: no screen calls a vessel done, or through, that was given up.
func TestGivenUpIsNotDone(t *testing.T) {
	p := newPlayer(t, 2)
	p.play("", "", "d flask broke", "")
	p.at += time.Second
	p.play("A")
	for _, size := range [][2]int{{80, 24}, {48, 20}, {120, 40}, {28, 9}, {200, 60}} {
		p.size(size[0], size[1])
		for _, far := range []bool{false, true} {
			m := p.now()
			m.far = far
			text := strings.ToLower(m.View())
			if strings.Contains(text, "done") || strings.Contains(text, "through") || !strings.Contains(text, "given up") {
				t.Errorf("%v, far %t:\n%s", size, far, m.View())
			}
		}
	}
	p.size(80, 24)
	if p.play("x why"); !strings.Contains(p.text(), "Vessel A is given up.") {
		t.Errorf("refused as:\n%s", p.text())
	}
}
