package bench

import (
	"strings"
	"testing"
	"time"
)

// TestMutedStillCalls: the key that mutes the bell is no answer, so the screen goes on to show that a vessel calls; any other
// key is one, and the bell stays muted.
func TestMutedStillCalls(t *testing.T) {
	for _, size := range sizes[:3] {
		p := newPlayer(t, 1)
		p.size(size[0], size[1])
		p.play(after(warmed, "+4m10s")...)
		m := p.now()
		m.bell.look(m.views, m.now)
		p.model = m
		header := func() string {
			top, _, _ := strings.Cut(p.text(), "\n")
			return top
		}
		for _, tt := range []struct {
			key         string
			bell, muted bool
		}{{"", true, false}, {"m", true, true}, {"m", true, false}, {"m", true, true}, {"f", false, true}} {
			if tt.key != "" {
				p.send(typed(tt.key))
			}
			if tt.key == "f" {
				p.send(typed("f")) // back from the far view
			}
			if top := header(); strings.Contains(top, " BELL ") != tt.bell || strings.Contains(top, "bell muted") != tt.muted {
				t.Errorf("at %dx%d after %q: %q, want BELL %v, muted %v", size[0], size[1], tt.key, top, tt.bell, tt.muted)
			}
		}
	}
}

// TestHeaderMakesRoomForTheCall: who calls, and that the hands are away, stand whole whatever the width; that the bell is muted
// is told in as many words as there is room for.
func TestHeaderMakesRoomForTheCall(t *testing.T) {
	for w, want := range map[int]string{
		30: "  AWAY    BELL   run 12:10:30",
		39: "    AWAY    BELL   muted  run 12:10:30",
		48: " Acid   AWAY    BELL   bell muted  run 12:10:30",
	} {
		f := &frame{title: "Acid", elapsed: 12*time.Hour + 10*time.Minute + 30*time.Second, muted: true, ringing: true, away: true}
		if got := drawn(w, 1, true, func(a area) { drawHeader(a, f) })[0]; got != want {
			t.Errorf("on %d columns the header is %q, want %q", w, got, want)
		}
	}
}
