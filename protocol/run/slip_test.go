package run

import (
	"strings"
	"testing"
)

// TestSlipInThePointBefore: what makes a point look wrong may be a slip in the one before it.
func TestSlipInThePointBefore(t *testing.T) {
	const earlier, own = "Or was the one before 31.2 °C, not 13.2 °C? c water.1 31.2 corrects that one.", "Two figures in each other's place? "
	for _, tt := range []struct{ name, points, at, typed, asked, not string }{
		{"the first one", "13.2", "2:30", "32.0", "a faster rise than expected (to 16.3 °C). " + earlier + " Keep it?", own},
		{"a swap that is hardly nearer", "18.4", "2:30", "15.8", "(to 17.8 °C). Or was the one before 14.8 °C, not 18.4 °C? c water.1 14.8 corrects that one. Keep it?", own},
		{"a decimal mark", "12.3", "2:30", "1.2", "below what is expected", "Or was the one before"},
		{"the first one comes first", "34.2", "2:30", "45.0", "Or was the one before 43.2 °C, not 34.2 °C? c water.1 43.2 corrects that one. Keep it?", own},
		{"a point that fits the one before it", "31.0 32.1", "3:00", "23.9", own + "That would be 32.9 °C. Keep it?", "Or was"},
	} {
		h := heated(t, strings.Fields(tt.points)...)
		_, err := h.try(tt.at, "A", Take{Typed: tt.typed}, false)
		asked(t, tt.name, err, tt.asked)
		if err != nil && strings.Contains(err.Error(), tt.not) {
			t.Errorf("%s: %v\nnames %s", tt.name, err, tt.not)
		}
	}
}

// TestSlipAfterAPointThatWasDoubted: what was meant is held against the point before that one too.
func TestSlipAfterAPointThatWasDoubted(t *testing.T) {
	h := heated(t, "32.0")
	h.asks("2:30", "A", Take{Typed: "43.2"}, "That would be 34.2 °C. Keep it?")
	h.asks("3:00", "A", Take{Typed: "53.6"}, "53.6 °C, 0:30 after 43.2 °C, is a faster rise than expected (to 46.3 °C). Two figures in each other's place? That would be 35.6 °C. Keep it?")
}

// TestRetyped: the right value, typed right after a wrong one, is to stand for it.
func TestRetyped(t *testing.T) {
	for _, tt := range []struct{ name, at, typed, asked string }{
		{"figures in another order", "2:34", "43.1", "Is it to stand for the 34.1 °C of just now? Then say no, and type c water.2 43.1. Keep it?"},
		{"one figure", "2:34", "44.1", "Is it to stand for the 34.1 °C of just now?"},
		{"a comma", "2:34", "43,1", "type c water.2 43,1. Keep it?"},
		{"other figures", "2:34", "52.1", "a faster rise than expected (to 37.2 °C). Keep it?"},
		{"a figure less", "2:34", "43", "(to 37.2 °C). Two figures in each other's place? That would be 34.0 °C."},
		{"a third of a beat", "2:40", "43.1", "Is it to stand for"},
		{"later", "2:41", "43.1", "a faster rise than expected (to 37.2 °C). Two figures in each other's place? That would be 34.1 °C."},
	} {
		h := heated(t, "32.0", "34.1")
		_, err := h.try(tt.at, "A", Take{Typed: tt.typed}, false)
		asked(t, tt.name, err, tt.asked)
	}
}

// TestSlipOnAStep: what was meant is a figure that the instrument shows.
func TestSlipOnAStep(t *testing.T) {
	for typed, want := range map[string]string{"1.2": "below what is expected (10 to 60 °C). A decimal mark one place off? That would be 12.0 °C.", "1.255": "below what is expected (10 to 60 °C). Keep it?"} {
		h := heated(t, "30.0")
		_, err := h.try("2:30", "A", Take{Typed: typed}, false)
		asked(t, typed, err, want)
	}
}

// TestGuardIsExplained: a guard that holds with what was meant does not speak in the question, and of two the first does,
// without sending the eye to what is at hand. The record has both.
func TestGuardIsExplained(t *testing.T) {
	const second = `
[[guard]]
id = "tared-again"
holds = "full > can + 50"
say = "Was it tared again?"
`
	text := strings.Replace(heating, `say = "Was it tared?"`, `say = "Was it tared? Look at “Can with water”, then at the balance."`, 1) + strings.Replace(second, "can + 50", "can + margin", 1)
	for typed, want := range map[string]string{
		"22.640": "A decimal mark one place off? That would be 226.40 g. Keep it?",
		"100.02": "(225.41 to 227.41 g). Was it tared? Keep it?",
		"126.90": "(225.41 to 227.41 g). Was it tared again? Keep it?",
	} {
		h := heatedAs(t, text)
		h.typed("0:10", "A", "126.41")
		_, err := h.try("0:20", "A", Take{Typed: typed}, false)
		asked(t, typed, err, want)
	}
	h := heatedAs(t, text)
	h.typed("0:10", "A", "126.41")
	h.asks("0:20", "A", Take{Typed: "22.640"}, "Keep it?")
	if g := h.engine.State.Guards; len(g) != 2 || !strings.HasSuffix(g[0].Say, "Look at “Can with water”, then at the balance.") {
		t.Errorf("recorded: %+v", g)
	}
}

// TestWithoutLook: only a sentence of its own about the reading at hand is left out.
func TestWithoutLook(t *testing.T) {
	r := heated(t).engine.State.Protocol.Reading("can")
	for say, want := range map[string]string{
		"Was it tared? Look at “Can”.":            "Was it tared?",
		"Was it tared? Look at “Can with water”.": "Was it tared? Look at “Can with water”.",
		"Tared, or not: Look at “Can”.":           "Tared, or not: Look at “Can”.",
		"Look at “Can”.":                          "Look at “Can”.",
	} {
		if got := withoutLook(say, r); got != want {
			t.Errorf("%q is said as %q, want %q", say, got, want)
		}
	}
}
