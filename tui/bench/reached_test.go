package bench

import (
	"strings"
	"testing"
	"time"
)

// TestReachedCalls: with the reading that reaches the aimed rise the bell strikes for the hands, once, and the screen and
// the far view say what to do now.
func TestReachedCalls(t *testing.T) {
	p := demo(t, "burn-test", 15*time.Minute+50*time.Second)
	m := p.now()
	m.bell.look(m.views, m.now)
	p.play("31.9") // 15.1 K above the first one, of 18
	if m = p.now(); m.views[0].Reached() || strings.Contains(p.text(), "Reached") {
		t.Fatalf("reached too early:\n%s", p.text())
	}
	m.bell.look(m.views, m.now)
	p.play("34.0")
	m = p.now()
	if n := m.bell.look(m.views, m.now); n != strokesHands {
		t.Errorf("%d strokes of the bell, want %d", n, strokesHands)
	}
	const want = "Reached. Now: Put out."
	if !strings.Contains(p.text(), want) {
		t.Errorf("the screen lacks %q:\n%s", want, p.text())
	}
	if n := m.bell.look(m.views, m.now); n != 0 {
		t.Errorf("the bell strikes again at once, %d times", n)
	}
	p.play("34.1")
	if m = p.now(); m.bell.look(m.views, m.now+time.Minute) != 0 {
		t.Error("the bell goes on though a further reading was typed")
	}
	if p.play("f"); !strings.Contains(p.text(), "Put out") {
		t.Errorf("the far view does not say it:\n%s", p.text())
	}
}
