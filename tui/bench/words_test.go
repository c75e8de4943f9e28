package bench

import (
	"testing"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// TestAskedWords: a mark is a moment and has no unit to be typed; how a series is read is told for its first two points.
func TestAskedWords(t *testing.T) {
	mark := &run.Asked{Reading: &protocol.Reading{Kind: protocol.Mark}, Title: "Flame out", Unit: "min", Say: "At the last blue."}
	series := func(nth int) *run.Asked {
		return &run.Asked{Reading: &protocol.Reading{Kind: protocol.Series}, Title: "Water", Unit: "°C", Nth: nth, Say: "The first one early."}
	}
	for _, tt := range []struct {
		asked      *run.Asked
		words, say string
	}{
		{mark, "Flame out", "At the last blue."},
		{series(1), "Water, no. 1 in °C", "The first one early."},
		{series(2), "Water, no. 2 in °C", "The first one early."},
		{series(3), "Water, no. 3 in °C", ""},
	} {
		if words, say := askedWords(tt.asked), tui.HowTo(tt.asked); words != tt.words || say != tt.say {
			t.Errorf("%q, %q; want %q, %q", words, say, tt.words, tt.say)
		}
	}
}
