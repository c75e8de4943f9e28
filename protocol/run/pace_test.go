package run

import (
	"math"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// TestPace: a rate may also be the least that a series changes by, and an end is asked about as it is shown.
func TestPace(t *testing.T) {
	for _, tt := range []struct{ name, rate, at, typed, asked, planned string }{
		{"has to rise", `["2 K/min", "6 K/min"]`, "3:30", "33.0", "is a slower rise than expected (to 33.9 °C)", "1:00 after 32.0 °C, a rise to 33.9 °C at least"},
		{"has to rise, a moment later", `["2 K/min", "6 K/min"]`, "2:31", "32.0", "", ""},
		{"has to fall", `["-6 K/min", "-2 K/min"]`, "3:30", "31.0", "is a slower fall than expected (to 30.1 °C)", "1:00 after 32.0 °C, a fall to 30.1 °C at least"},
		{"has to fall, a moment later", `["-6 K/min", "-2 K/min"]`, "2:31", "32.0", "", ""},
		{"reads like the end", `["", "5.9 K/min"]`, "3:00", "35.1", "", ""}, // 32.0 + 2.95 + 0.115
		{"just above", `["", "5.9 K/min"]`, "3:00", "35.2", "a faster rise than expected (to 35.1 °C)", "0:30 after 32.0 °C, a rise to 35.1 °C at most"},
		{"any fall", `["", "6 K/min"]`, "3:00", "12.0", "", ""},
		{"any rise", `["-1 K/min", ""]`, "3:00", "59.0", "", ""},
	} {
		h := heatedAs(t, strings.Replace(heating, `["-1 K/min", "6 K/min"]`, tt.rate, 1), "30.0")
		h.try("2:30", "A", Take{Typed: "32.0"}, true)
		before := len(h.engine.State.Deviations)
		_, err := h.try(tt.at, "A", Take{Typed: tt.typed}, false)
		asked(t, tt.name, err, tt.asked)
		if tt.asked == "" {
			continue
		}
		h.try(tt.at, "A", Take{Typed: tt.typed}, true)
		if dev := h.engine.State.Deviations[before:]; len(dev) != 1 || dev[0].Planned != tt.planned {
			t.Errorf("%s: recorded %+v", tt.name, dev)
		}
	}
}

// TestPaceByTheTimeOfReading: a point is held against the one that was read before it, not against the one that was typed
// before it, nor against itself.
func TestPaceByTheTimeOfReading(t *testing.T) {
	h := heated(t, "30.0")
	h.typed("4:00", "A", "41.0")
	h.do("4:10", "A", Take{Typed: "36.0", TypedAt: 3 * time.Minute, Late: true})
	h.asks("4:30", "A", Take{Typed: "35.0"}, "35.0 °C, 0:30 after 41.0 °C, is a faster fall")
	h.do("4:40", "A", Correct{Typed: "42.0"})
	_, err := h.try("4:50", "A", Correct{Typed: "35.5"}, false)
	asked(t, "corrected", err, "35.5 °C, 0:30 after 41.0 °C, is a faster fall")
}

// TestPaceOfASharedSeries: whoever of the vessels is at hand reads on.
func TestPaceOfASharedSeries(t *testing.T) {
	const bath = `format = 1
[protocol]
id = "bath"
title = "Bath"
version = "1"
[[stage]]
id = "bath"
title = "Bath"
clock = "10 min"
  [[stage.reading]]
  id = "water"
  title = "Water"
  kind = "series"
  unit = "Cel"
  rate = ["-1 K/min", "6 K/min"]
  shared = true
`
	h := beginOf(t, bath, nil, "A", "B")
	h.do("0:00", "", Acknowledge{})
	h.do("0:01", "A", Forward{})
	h.do("0:02", "B", Forward{})
	h.typed("1:00", "A", "30")
	h.typed("1:30", "B", "32")
	h.asks("2:00", "A", Take{Typed: "23"}, "23 °C, 0:30 after 32 °C, is a faster fall than expected (to 31.5 °C)")
}

// TestPaceOfWhatCounts: a point that was taken back is none, and each portion begins anew.
func TestPaceOfWhatCounts(t *testing.T) {
	h := heated(t, "30.0", "33.0")
	h.confirmed("2:40", "A", TakeBack{Why: "by the wall"})
	h.typed("3:00", "A", "29.5")

	text := strings.NewReplacer("title = \"Heat\"\n", "title = \"Heat\"\nportions = 2\nsteps = [\"Fill\"]\nhands = \"1 min\"\nwait_last = true\n", `clock = "10 min"`, `clock = "1 min"`).Replace(heating)
	h = heatedAs(t, text, []string{}...)
	h.do("2:00", "A", Forward{})
	h.typed("2:30", "A", "30.0")
	for _, at := range []string{"3:30", "3:32", "3:40"} { // the reminder, the end of the wait, the second filling
		h.do(at, "A", Forward{})
	}
	h.typed("3:50", "A", "20.0")
	h.asks("4:00", "A", Take{Typed: "30.0"}, "after 20.0 °C")
}

// TestBeat: points count as half a minute apart at least, or as the reminder has it where that is sooner.
func TestBeat(t *testing.T) {
	for _, tt := range []struct {
		reading string
		every   time.Duration
		want    time.Duration
	}{{"water", 10 * time.Second, 10 * time.Second}, {"water", 5 * time.Minute, 30 * time.Second}, {"oil", 10 * time.Second, 30 * time.Second}, {"water", 0, 30 * time.Second}} {
		st := &protocol.Stage{Reminders: []protocol.Reminder{{Reading: tt.reading, Every: tt.every}}}
		r := &protocol.Reading{ID: "water", Stage: st}
		if got := beat(r); got != tt.want {
			t.Errorf("with a reminder of %s each %s: %s, want %s", tt.reading, tt.every, got, tt.want)
		}
		if got, want := r.Beat(), max(tt.want, tt.every); tt.reading == "water" && got != want {
			t.Errorf("with a reminder each %s the points are %s apart, want %s", tt.every, got, want)
		}
	}
}

// TestScatter: an offset that both points share is no difference between them.
func TestScatter(t *testing.T) {
	celsius := quantity.MustUnit("Cel")
	r := &protocol.Reading{ID: "water", Unit: celsius, Instrument: &protocol.Instrument{ID: "t", Unit: celsius, Step: 0.1, Tolerance: 0.05, Offset: 0.5}}
	want := 2 * math.Sqrt(4*0.05*0.05/3) // four half-widths of 0.05 K, rectangular
	if got := scatter(&Taken{Reading: r, Value: 30}); math.Abs(got-want) > 1e-9 {
		t.Errorf("two points differ by %g K, want %g", got, want)
	}
	if got := scatter(&Taken{Reading: &protocol.Reading{ID: "water", Unit: celsius}, Value: 30}); got != 0 {
		t.Errorf("without an instrument they differ by %g", got)
	}
}

// TestExpectedNow: what a series is expected to be is told by its last point too, and stands still between two beats.
func TestExpectedNow(t *testing.T) {
	told := func(h *hand, at, want string) {
		t.Helper()
		now, _ := ParseHms(at)
		if got := h.engine.State.Look("A", now).Asked.Expected; got != want {
			t.Errorf("at %s: %s, want %s", at, got, want)
		}
	}
	told(heated(t), "0:02", "100 to 200 g")
	h := heated(t, "30.0", "32.0")
	told(h, "2:31", "31.4 to 35.1 °C")
	told(h, "3:00", "31.4 to 35.1 °C")
	told(h, "3:29", "31.4 to 35.1 °C")
	told(h, "3:30", "30.9 to 38.1 °C")
	told(h, "9:30", "24.9 to 60 °C") // the range ends there
	h.asks("3:00", "A", Take{Typed: "23.0"}, "a faster fall")
	told(h, "3:10", "10 to 60 °C")
	h.do("3:20", "A", Correct{Typed: "33.0"})
	told(h, "3:20", "32.4 to 36.1 °C")
	h.confirmed("3:25", "A", TakeBack{Why: "by the wall"})
	told(h, "3:25", "31.4 to 35.1 °C")
	told(heatedAs(t, strings.Replace(heating, `["-1 K/min", "6 K/min"]`, `["", "6 K/min"]`, 1), "30.0"), "2:10", "10 to 33.1 °C")
	open := strings.NewReplacer(`["-1 K/min", "6 K/min"]`, `["", "6 K/min"]`, `["10 Cel", "60 Cel"]`, `["", "60 Cel"]`).Replace(heating)
	told(heatedAs(t, open, "30.0"), "2:10", "at most 33.1 °C")
}
