package plain

import (
	"fmt"
	"time"

	"example.org/meniscus/protocol/run"
)

// again is how long an announcement that was not acted on waits before it is repeated.
const again = time.Minute

// announcements are what was heard of one vessel at one place of the protocol.
type announcements struct {
	place  string                // stage, portion and phase
	passed int                   // how many limits of the clock are passed: at least, aim, at most
	gate   bool                  // the gate was met
	needed string                // what was told to be lost otherwise
	due    map[int]time.Duration // reminder -> elapsed time it was last told
	late   time.Duration         // elapsed time that lateness was last told
}

// announce says what has come due in any vessel by the elapsed time.
func (f *face) announce(elapsed time.Duration) {
	if !f.state().Acknowledged || f.state().Ended != nil {
		return
	}
	news := false
	for _, vessel := range f.state().Vessels {
		v := f.state().Look(vessel.Label, elapsed)
		for _, said := range f.listen(v).update(v, elapsed) {
			news = true
			f.say("", fmt.Sprintf("[%s] %s: %s", run.Hms(elapsed), v.Vessel, said))
		}
	}
	if !news {
		return
	}
	if f.opts.Bell {
		f.write("\a")
	}
	if f.opts.Sound != nil {
		go f.sound()
	}
}

// sound makes the sound, and hands on why there was none, unless that is still to be said.
func (f *face) sound() {
	err := f.opts.Sound()
	if err == nil {
		return
	}
	select {
	case f.mute <- err:
	default:
	}
}

// notice takes the situation just said as heard.
func (f *face) notice(elapsed time.Duration) {
	v := f.state().Look(f.o.Vessel, elapsed)
	f.listen(v).update(v, elapsed)
}

// listen returns what was heard of the vessel where it is now; nothing at a new place.
func (f *face) listen(v run.View) *announcements {
	place := "-"
	if v.Stage != nil {
		place = fmt.Sprintf("%s/%d/%d/%t", v.Stage.ID, v.Portion, v.Step, v.Clock != nil && v.Clock.OfHands)
	}
	h := f.heard[v.Vessel]
	if h == nil || h.place != place {
		h = &announcements{place: place, due: map[int]time.Duration{}, gate: v.Gate != nil && v.Gate.Met}
		f.heard[v.Vessel] = h
	}
	return h
}

// update takes in the view and returns the sentences that are news.
func (h *announcements) update(v run.View, elapsed time.Duration) []string {
	var said []string
	open := map[int]bool{}
	for _, d := range v.Due {
		open[d.Index] = true
		last, told := h.due[d.Index]
		if told && elapsed-last < again {
			continue
		}
		h.due[d.Index] = elapsed
		said = append(said, reminder(d))
	}
	for i := range h.due {
		if !open[i] {
			delete(h.due, i)
		}
	}
	if v.Needed != h.needed {
		if h.needed = v.Needed; v.Needed != "" {
			said = append(said, "look: "+v.Needed)
		}
	}
	if v.Gate != nil && v.Gate.Met != h.gate {
		h.gate = v.Gate.Met
		said = append(said, gate(v.Gate))
	}
	if v.Clock != nil && !v.Clock.OfHands {
		said = append(said, h.clock(v, elapsed)...)
	}
	return said
}

func reminder(d run.DueReminder) string {
	text := "reminder: " + d.Say
	if d.For >= again {
		text += ", due for " + run.Hms(d.For)
	}
	if d.Missed > 0 {
		text += fmt.Sprintf(", %d before it not answered", d.Missed)
	}
	return text
}

// clock tells a limit of the wait that was passed since, and lateness again and again.
func (h *announcements) clock(v run.View, elapsed time.Duration) []string {
	c := v.Clock
	w := c.Window
	passed := 0
	if c.ToBegin {
		if c.Left <= 0 && h.passed == 0 {
			h.passed = 1
			return []string{"it is to begin by now"}
		}
		return nil
	}
	switch {
	case w.AtMost > 0 && c.Elapsed > w.AtMost:
		passed = 3
	case w.Aim > 0 && c.Elapsed >= w.Aim:
		passed = 2
	case w.AtLeast > 0 && c.Elapsed >= w.AtLeast:
		passed = 1
	}
	news := passed > h.passed
	h.passed = max(h.passed, passed)
	switch {
	case passed == 3 && (news || elapsed-h.late >= again):
		h.late = elapsed
		return []string{"late: over by " + run.Hms(c.Elapsed-w.AtMost) + ", at most " + run.Hms(w.AtMost) + " was meant"}
	case passed == 2 && news && v.Wants != "":
		return []string{wants(v)}
	case passed == 2 && news && w.AtMost > 0:
		return []string{"clock up: " + run.Hms(w.Aim) + " reached, at most " + run.Hms(w.AtMost-c.Elapsed) + " more"}
	case passed == 2 && news:
		return []string{"clock up: " + run.Hms(w.Aim) + " reached"}
	case passed == 1 && news:
		return []string{"the least time is over: " + run.Hms(w.AtLeast)}
	}
	return nil
}
