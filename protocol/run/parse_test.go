package run

import (
	"strings"
	"testing"

	"example.org/meniscus/protocol"
)

// TestWhatCannotBe: what no thing can weigh, no time can last and nothing can be as cold as is refused, not asked about; also
// where it corrects a value that was good.
func TestWhatCannotBe(t *testing.T) {
	h := heated(t)
	h.typed("0:10", "A", "126.41")
	h.refused("0:15", "A", Correct{Typed: "-126.41", Why: "misread"}, "cannot be -126.41 g")
	h.typed("0:20", "A", "226.40")
	h.typed("0:30", "A", "11.0")
	h.do("1:30", "A", Forward{})
	h.typed("1:40", "A", "8.5")
	for typed, want := range map[string]string{"-500": "Water: -500 °C is below absolute zero.", "-274": "absolute zero", "-460 °F": "absolute zero"} {
		h.refused("2:00", "A", Take{Typed: typed}, want)
	}
	h.typed("2:00", "A", "20.0")
	h.refused("2:10", "A", Correct{Typed: "-500", Why: "misread"}, "below absolute zero")
	_, err := h.try("2:30", "A", Take{Typed: "-40"}, false)
	asked(t, "a cold day", err, "below what is expected")
	for _, r := range []*protocol.Reading{{Title: "Wait", Kind: protocol.Stopwatch, Unit: seconds}, {Title: "Wait", Unit: minutes}} {
		if _, err := parse(r, "-3"); err == nil || !strings.Contains(err.Error(), "Wait: ") {
			t.Errorf("a time of -3: %v", err)
		}
	}
}
