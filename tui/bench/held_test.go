package bench

import (
	"strings"
	"testing"
	"time"

	"example.org/meniscus/tui"
)

// guarded is a player whose Enter is guarded, as hands need it, with the vessel in its first wait.
func guarded(t *testing.T) *player {
	p := newPlayer(t, 1)
	o := p.now().Options
	o.Debounce = tui.Guard
	p.model = New(o)
	for _, line := range []string{"", "", "50.04", "1"} {
		p.at += time.Second
		p.play(line)
	}
	if c := p.now().views[0].Clock; c == nil || c.OfHands {
		t.Fatalf("no wait runs:\n%s", p.text())
	}
	return p
}

// TestHeldEnter: Enter that repeats itself every 30 ms for 2.5 s, after the half second that a keyboard takes for it, and
// three Enters a second apart: neither ends a wait, and the next line is a reading of that wait.
func TestHeldEnter(t *testing.T) {
	for name, apart := range map[string][]time.Duration{
		"held":        append([]time.Duration{time.Minute, 500 * time.Millisecond}, times(80, 30*time.Millisecond)...),
		"three times": {time.Minute, time.Second, time.Second},
		"of 790 ms":   append([]time.Duration{time.Minute}, times(20, 790*time.Millisecond)...),
	} {
		p := guarded(t)
		before := len(p.events)
		for _, by := range apart {
			p.at += by
			p.play("")
		}
		if text := p.text(); len(p.events) != before || !strings.Contains(text, "all the same: y,") && !strings.Contains(text, "too soon") {
			t.Errorf("%s: %s\n%s", name, p.facts(), text)
		}
		p.at += time.Second
		if p.play("34.1"); !strings.Contains(p.text(), "Oil temperature: 34.1 °C") {
			t.Errorf("%s: then the line:\n%s", name, p.text())
		}
		if p.play("y the bath broke"); !strings.Contains(p.text(), "early") {
			t.Errorf("%s: with a reason:\n%s", name, p.text())
		}
	}
}

// TestHeldEnterDoesOneThing: the first Enter of a key that is held down does what it says, and no other does anything.
func TestHeldEnterDoesOneThing(t *testing.T) {
	p := guarded(t)
	p.at += 4*time.Minute + 30*time.Second // a reminder is due
	before := len(p.events)
	p.play("")
	for _, by := range append([]time.Duration{600 * time.Millisecond}, times(200, 33*time.Millisecond)...) {
		p.at += by
		p.play("")
	}
	if n := len(p.events) - before; n != 1 {
		t.Errorf("%d events: %s", n, p.facts())
	}
}

func times(n int, d time.Duration) []time.Duration {
	out := make([]time.Duration, n)
	for i := range out {
		out[i] = d
	}
	return out
}
