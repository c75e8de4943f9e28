package run

import (
	"strings"
	"testing"
)

// TestTwoNumbersInACorrection: "c portion 1 2.25 why" is no correction to 1 before it was asked about.
func TestTwoNumbersInACorrection(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "look")
	h.asks("31:00", "A", Correct{Reading: "portion", Typed: "6", Why: "6.20 swapped"}, "Two numbers, one after the other: ")
	h.asks("31:10", "A", Correct{Reading: "portion", Typed: "6", Why: "6,20 swapped"}, "write c portion.2, the value, then why.")
	h.asks("31:20", "A", Correct{Reading: "portion", Typed: "1", Why: "6.20 swapped"}, "below what is expected")
	h.asks("31:30", "A", Correct{Reading: "bottle", Typed: "241.0", Why: "240,2 swapped"}, "becomes 241.0, for the reason “240,2 swapped”?")
	h.asks("31:40", "A", Correct{Reading: "bottle", Typed: "241.0", Why: "1,240 swapped"}, "Two numbers")
	h.asks("31:50", "A", Correct{Reading: "bottle", Typed: "241.0", Why: "240.2g swapped"}, "Two numbers")
	h.do("31:55", "A", Correct{Reading: "bottle", Typed: "241.0", Why: "- no more"})
	h.do("32:00", "A", Correct{Reading: "portion.1", Typed: "15.2", Why: "2nd look"})
	if got := h.engine.State.Vessels[0].newest("portion.1"); got.Value != 15.2 || got.Was[len(got.Was)-1].Why != "2nd look" {
		t.Errorf("the portion is %+v", got)
	}
	h.refused("33:00", "A", Correct{Reading: "bottel", Typed: "3", Why: "typing"}, "it has flask, filled, room, in_bath, warmth, bottle, portion.")
}

// TestUnitInACorrection: a unit may follow the value, as it may when the value is first typed.
func TestUnitInACorrection(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "weigh")
	h.typed("1:00", "A", "112.36")
	h.do("1:10", "A", Correct{Typed: "112360", Why: "mg read from the second balance"})
	h.do("1:20", "A", Correct{Reading: "flask", Typed: "112.5", Why: "g"})
	h.do("1:30", "A", Correct{Typed: "112.4", Why: "good light now"})
	v := h.engine.State.Vessels[0]
	was := v.Taken[0].Was
	if got := v.Taken[0]; got.Value != 112.4 || len(was) != 3 || was[2].Why != "good light now" || was[1].Why != Mistyped || was[1].Value != 112.36 || was[1].Typed != "112360 mg" {
		t.Errorf("the flask is %+v", got)
	}
}

// TestTextInACorrection: where the value of a text ends and the reason begins is asked about.
func TestTextInACorrection(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "look")
	h.typed("60:10", "A", "1")
	h.typed("60:20", "A", "LOT 7")
	h.asks("60:30", "A", Correct{Reading: "lot", Typed: "LOT", Why: "8 misread"}, "becomes “LOT”, for the reason “8 misread”? A text of several words stands in quotes.")
	h.do("60:40", "A", Correct{Reading: "lot", Typed: "LOT 8", Why: "misread"})
	if got := h.engine.State.Vessels[0].newest("lot"); got.Text != "LOT 8" || got.Was[1].Text != "LOT" {
		t.Errorf("the lot is %+v", got)
	}
}

// TestSignsThatCannotBeSeen: what is left of a number without them may be another number.
func TestSignsThatCannotBeSeen(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "weigh")
	for typed, found := range map[string]string{"11\x002.36": "(U+0000) came in after “11”", "112.3\b6": "(U+0008) came in after “112.3”",
		"112\xff.36": "(U+FFFD)", "\x1b[A112.36": "(U+001B) came in after “”"} {
		h.refused("1:00", "A", Take{Typed: typed}, found)
		h.refused("1:00", "A", late("0:50", "", typed), found)
		if shown, ok := Parsed(h.engine.State.Protocol.Reading("flask"), typed); ok {
			t.Errorf("%q is echoed as %s", typed, shown)
		}
	}
	h.typed("1:10", "A", "112.36\r")
	h.refused("1:20", "A", Correct{Typed: "11\x002.4", Why: "slip"}, "U+0000")
	h.do("1:30", "A", Note{Text: "wet\x00 neck"})
	if got := h.engine.State.Notes[0].Text; got != "wet neck" {
		t.Errorf("the note is %q", got)
	}
}

// TestCorrectedAfterTheEnd: a run closes with its last reading, and that one may be the slip.
func TestCorrectedAfterTheEnd(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "weigh")
	h.typed("0:50", "A", "112.36")
	h.typed("1:00", "A", "142.36")
	h.confirmed("1:10", "A", TakeBack{Why: "another flask"})
	h.refused("1:20", "A", Correct{Reading: "filled", Typed: "142.4", Why: "it was this one"}, "asked for again: type it")
	h.asks("1:30", "A", EndVessel{Why: "cracked"}, "Give up vessel A")
	if h.engine.State.Ended == nil {
		t.Fatal("the run goes on")
	}
	h.refused("2:00", "A", Take{Typed: "142.4"}, "notes and corrections can still be added")
	h.do("2:10", "A", Correct{Reading: "filled", Typed: "142.4", Why: "it was this one"})
	h.asks("2:20", "A", TakeBack{Why: "no, another"}, "Take Filled flask (142.40 g) back, for the reason “no, another”?")
	h.do("2:30", "A", Correct{Reading: "filled", Typed: "142.5", Why: "it was this one"})
	h.do("2:40", "A", Note{Text: "a long day"})
	if got := h.engine.State.Vessels[0].newest("filled"); got.NotTaken || got.Value != 142.5 || len(got.Was) != 4 {
		t.Errorf("the filled flask is %+v", got)
	}
	again, err := Fold(h.events)
	if err != nil || strings.Join(outline(again), "\n") != strings.Join(outline(h.engine.State), "\n") {
		t.Errorf("folded anew: %v", err)
	}
}

// TestPointOfASeries: a point that is not the newest is named by its number, as it was asked for.
func TestPointOfASeries(t *testing.T) {
	h := heated(t, "30.0", "32.0", "33.0")
	h.do("4:00", "A", Correct{Reading: "water.2", Typed: "31.5", Why: "misread"})
	h.confirmed("4:10", "A", TakeBack{Reading: "water.1", Why: "by the wall"})
	points := func(want string) {
		t.Helper()
		got := ""
		for _, p := range h.engine.State.Vessels[0].Taken {
			if p.Reading.ID == "water" {
				got += p.Shown() + "; "
			}
		}
		if got != want {
			t.Errorf("the points are %s, want %s", got, want)
		}
	}
	points("not taken; 31.5 °C; 33.0 °C; ")
	h.do("4:20", "A", Correct{Reading: "water.1", Typed: "31.6", Why: "misread"})
	points("not taken; 31.6 °C; 33.0 °C; ")
	if n := h.engine.State.Look("A", h.now).Asked.Nth; n != 3 {
		t.Errorf("point %d is asked for after two", n)
	}
	h.refused("4:30", "A", Correct{Reading: "water.3", Typed: "31.6", Why: "misread"}, "Water of vessel A has no point 3 to correct: its points are numbered from 1 to 2, as they came.")
	h.refused("4:30", "A", TakeBack{Reading: "water.0", Why: "misread"}, "no point 0 to take back")
	h.refused("4:30", "A", Correct{Reading: "water.x", Typed: "31.6", Why: "misread"}, "no point x to correct")
	h.refused("4:30", "A", Correct{Reading: "can.2", Typed: "31.6", Why: "misread"}, `no reading "can.2" to correct`)
}

// TestNamedAsMistyped: a reading that is named was mistyped, while the run goes on, where no reason is told; one that was not
// taken is given a value for a reason.
func TestNamedAsMistyped(t *testing.T) {
	h := heated(t, "30.0", "32.0")
	h.do("3:00", "A", Correct{Reading: "can", Typed: "126.40"})
	h.do("3:10", "A", Correct{Reading: "water.1", Typed: "30.1"})
	for name, want := range map[string]string{"can": "126.41", "water.1": "30.0"} {
		if got := h.engine.State.Vessels[0].newest(name); len(got.Was) != 1 || got.Was[0].Typed != want || got.Was[0].Why != Mistyped {
			t.Errorf("%s: %+v", name, got)
		}
	}
	h.do("3:20", "A", LeaveOut{Why: "called away"})
	h.unfinished("3:40", "A", Correct{Reading: "water.3", Typed: "33.0"}, "needs a reason: c water.3, the new value")
	h.asks("3:30", "", End{Why: "out of water"}, "End it for good")
	h.unfinished("3:40", "A", Correct{Reading: "can", Typed: "126.41"}, "needs a reason: c can, the new value")
	h.unfinished("3:40", "A", Correct{Typed: "33.0"}, "needs a reason: c, the new value")
}
