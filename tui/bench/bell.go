package bench

import (
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol/run"
)

const (
	bellAgain = 20 * time.Second       // until someone answers
	bellGap   = 300 * time.Millisecond // between strokes; terminals make one of two that touch
)

// strokes of the bell, by what calls.
const (
	strokesReminder = 1
	strokesHands    = 2
	strokesLate     = 4
)

// A bell remembers who calls. A call ends when its cause does, or when a key is pressed while its vessel is worked on,
// but for the one that mutes.
type bell struct {
	muted bool
	calls map[string]*call // by vessel
}

// A call is a vessel's wish to be looked at.
type call struct {
	cause    string
	rung     time.Duration // elapsed at the last strokes
	answered bool
}

func newBell() *bell { return &bell{calls: map[string]*call{}} }

// look compares the views with what was known and returns how many strokes are due now: the most that any vessel calls
// for.
func (b *bell) look(views []run.View, now time.Duration) int {
	due := 0
	for _, v := range views {
		cause, strokes := causeOf(v)
		known := b.calls[v.Vessel]
		switch {
		case strokes == 0:
			delete(b.calls, v.Vessel)
			continue
		case known == nil || known.cause != cause:
			known = &call{cause: cause}
			b.calls[v.Vessel] = known
		case known.answered || now-known.rung < bellAgain:
			continue
		}
		known.rung, due = now, max(due, strokes)
	}
	if b.muted {
		return 0
	}
	return due
}

// attend takes what a vessel wants as known: the operator's own act brought it about, or it stood so at the beginning.
// Only what a reading has just reached is rung for all the same: its figure may be typed without a look at the screen.
func (b *bell) attend(v run.View) {
	cause, strokes := causeOf(v)
	if strokes == 0 {
		delete(b.calls, v.Vessel)
		return
	}
	known := b.calls[v.Vessel]
	b.calls[v.Vessel] = &call{cause: cause, answered: !v.Reached() || known != nil && known.cause == cause}
}

// causeOf names why a vessel wants to be looked at, and with how many strokes; 0: it does not.
func causeOf(v run.View) (cause string, strokes int) {
	place := fmt.Sprint(v.Number, ".", v.Portion)
	switch {
	case v.Through:
		return "", 0
	case v.Tone == run.Late:
		return "late " + place, strokesLate
	case v.Reached():
		return "reached " + place, strokesHands
	case v.IsUp() && v.Wants == "":
		return "up " + place, strokesHands
	case len(v.Due) > 0:
		return fmt.Sprint("due ", place, " ", len(v.Due), " ", v.Due[0].Index, " ", v.Due[0].Missed), strokesReminder
	case v.Tone == run.Hands:
		return "hands " + place, strokesHands
	}
	return "", 0
}

// answer ends the call of a vessel.
func (b *bell) answer(vessel string) {
	if c := b.calls[vessel]; c != nil {
		c.answered = true
	}
}

// isRinging tells whether a call stands unanswered.
func (b *bell) isRinging() bool {
	for _, c := range b.calls {
		if !c.answered {
			return true
		}
	}
	return false
}

type (
	bellMsg    int             // asks for so many strokes
	bellFailed struct{ error } // there was no sound
)

// ring returns a command that sounds what is due.
func (m *Model) ring() tea.Cmd {
	if m.screen != working {
		return nil
	}
	return m.sound(bellMsg(m.bell.look(m.views, m.now)))
}

// sound strikes once, and asks for the other strokes after a while.
func (m *Model) sound(left bellMsg) tea.Cmd {
	if left <= 0 || m.Bell == nil {
		return nil
	}
	strike := m.Bell
	once := func() tea.Msg {
		if err := strike(); err != nil {
			return bellFailed{err}
		}
		return nil
	}
	if left == 1 {
		return once
	}
	return tea.Batch(once, tea.Tick(bellGap, func(time.Time) tea.Msg { return left - 1 }))
}
