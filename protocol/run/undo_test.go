package run

import (
	"testing"
	"time"
)

// TestUndoneEarlyEnd: the early end of a wait is undone, and the wait goes on as if it had never ended; the deviation is gone,
// and the record shows what was undone.
func TestUndoneEarlyEnd(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm") // the wait begins at 1:30
	h.do("2:00", "A", Forward{})
	h.typed("3:00", "A", "40.0")
	h.typed("3:20", "A", "44.0")
	before := outline(h.engine.State)
	h.do("4:00", "A", EndWait{Why: "a slip"})
	h.do("6:00", "A", Undo{})
	s := h.engine.State
	if got := outline(s); len(got) != len(before) || got[1] != before[1] || got[4] != before[4] {
		t.Errorf("before the act:\n%v\nafter it was undone:\n%v", before, got)
	}
	if w := s.Look("A", 6*time.Minute); w.Stage.ID != "warm" || w.Clock.Elapsed != 4*time.Minute+30*time.Second || len(w.Due) != 1 {
		t.Errorf("in %s, %v of the clock, %d reminders due", w.Stage.ID, w.Clock.Elapsed, len(w.Due))
	}
	if u := s.Undone; len(u) != 1 || u[0].What != "the end of the wait of Warm after 2:30" || u[0].Of.Elapsed != 4*time.Minute || u[0].Stage != "warm" {
		t.Errorf("recorded: %+v", u)
	}
}

// TestUndoGoesBack: undone again and again, a vessel comes back to where it had not begun, and no further; readings are asked
// about, and every step on the way is a fold of the journal.
func TestUndoGoesBack(t *testing.T) {
	h := begin(t, "A", "B")
	h.upTo("A", "dose")
	h.do("13:00", "B", Forward{})
	h.typed("13:20", "A", "241.87")
	h.typed("14:00", "A", "15")
	other := outline(h.engine.State)
	for n := 0; ; n++ {
		what := h.engine.State.UndoesNext("A")
		if what == "" {
			break
		}
		if _, err := h.try("14:30", "A", Undo{}, true); err != nil || n > 60 {
			t.Fatalf("%s: %v", what, err)
		}
		again, err := Fold(h.events)
		if err != nil {
			t.Fatal(err)
		}
		if a, b := outline(again), outline(h.engine.State); len(a) != len(b) || a[4] != b[4] {
			t.Fatalf("replayed:\n%v\nlived:\n%v", a, b)
		}
	}
	a := h.engine.State.Vessel("A")
	if a.Stage != -1 || len(a.Taken) > 0 || len(a.Spells) > 0 || len(a.stays) > 0 || len(h.engine.State.Deviations) > 0 {
		t.Errorf("A is at %+v with %+v", a.Position, a.Taken)
	}
	if b := outline(h.engine.State); b[len(b)-1] != other[len(other)-1] {
		t.Errorf("B was %v and is %v", other[len(other)-1], b[len(b)-1])
	}
	h.refused("14:31", "A", Undo{}, "no act that can be undone")
}

// TestUndoneReadingIsAskedAbout: it is gone from what was read, and asked for again.
func TestUndoneReadingIsAskedAbout(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "dose")
	h.typed("13:20", "A", "241.87")
	h.typed("14:00", "A", "15")
	h.asks("14:10", "A", Undo{}, "Portion, portion 1: 15 g, of 14:00: undo it, as if it had never been?")
	if w := h.engine.State.Look("A", h.now); w.Asked == nil || w.Asked.Reading.ID != "portion" {
		t.Errorf("asked: %+v", w.Asked)
	}
	h.typed("14:20", "A", "14")
	h.do("14:30", "A", Correct{Typed: "13", Why: "misread"})
	h.asks("14:40", "A", Undo{}, "the correction of Portion to 13")
	if got := h.engine.State.Vessels[0].newest("portion"); got.Value != 14 || len(got.Was) != 0 {
		t.Errorf("the portion is %+v", got)
	}
}
