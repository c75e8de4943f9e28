package run

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

// burning is a protocol whose headline hangs on the moment of a reading.
const burning = `format = 1
[protocol]
id = "burning"
title = "Burning"
version = "1"
[[stage]]
id = "before"
title = "Before"
clock = { aim = "2 min" }
  [[stage.reading]]
  id = "pre"
  title = "Water before"
  kind = "series"
  unit = "Cel"
[[stage]]
id = "burn"
title = "Burn"
steps = ["Light"]
hands = "30 s"
clock = { aim = "3 min" }
  [[stage.reading]]
  id = "lit"
  title = "Lit"
  kind = "mark"
  step = 1
  needed = true
  [[stage.reading]]
  id = "burn_temperature"
  title = "Water"
  kind = "series"
  unit = "Cel"
[[stage]]
id = "after"
title = "After"
clock = { at_least = "5 min", aim = "6 min" }
  [[stage.reading]]
  id = "post"
  title = "Water after"
  kind = "series"
  unit = "Cel"
[[stage]]
id = "end"
title = "End"
steps = ["Wipe"]
[[given]]
id = "room"
value = "20 Cel"
[[result]]
id = "begin"
title = "Begin"
formula = "start_temperature(burn_temperature, lit, pre)"
unit = "Cel"
[[result]]
id = "cooling"
title = "Cooling"
formula = "cooling_constant(post, room)"
unit = "/min"
[[result]]
id = "rise"
title = "Rise"
say = "What the can took up."
formula = "max(post) - begin"
unit = "K"
[[result]]
id = "mean_rise"
title = "Mean rise"
formula = "mean(across(rise))"
unit = "K"
of = "run"
`

// lit is the vessel just lit at 4:00, the last reading of the pre-period some time before.
func lit(t *testing.T, last int) *hand {
	h := beginOf(t, burning, nil, "A")
	h.do("0:00", "", Acknowledge{})
	h.do("0:00", "A", Forward{})
	for i := range 4 {
		h.typed(fmt.Sprintf("%d:%02d", (last-90+30*i)/60, (last-90+30*i)%60), "A", "14.5")
	}
	h.do("3:50", "A", Forward{})
	h.do("4:00", "A", Forward{}) // the mark
	return h
}

// TestNeededWhileItCanBeHad: before the time is over in which a reading must come for a result that hangs on it, the
// vessel calls and says so; neither earlier, nor where the result can do without, nor once it is too late.
func TestNeededWhileItCanBeHad(t *testing.T) {
	const say = "Read it now: Water. Later there is no Rise."
	for at, want := range map[string]string{"4:10": "", "4:16": say, "4:59": say, "5:10": ""} {
		h := lit(t, 110) // 2:10 before the flame: too far for a line
		h.now, _ = ParseHms(at)
		w := h.engine.State.Look("A", h.now)
		if w.Needed != want || (w.Tone == Hands) != (want != "") {
			t.Errorf("at %s: %q, tone %d; want %q", at, w.Needed, w.Tone, want)
		}
	}
	h := lit(t, 110)
	h.typed("4:30", "A", "15.0")
	if w := h.engine.State.Look("A", h.now); w.Needed != "" {
		t.Errorf("with the reading taken: %q", w.Needed)
	}
	h = lit(t, 228) // 12 s before the flame: the line tells the start
	h.now, _ = ParseHms("4:50")
	if w := h.engine.State.Look("A", h.now); w.Needed != "" {
		t.Errorf("where the pre-period tells it: %q", w.Needed)
	}
}

// TestLeavingWhatAResultHangsOn: a stage is not left without a word while a result that hangs on its readings cannot be
// worked out with them, and the vessel says so as soon as its wait may end.
func TestLeavingWhatAResultHangsOn(t *testing.T) {
	h := lit(t, 228)
	h.typed("4:00", "A", "14.6")
	h.do("7:00", "A", Forward{})
	h.typed("8:00", "A", "34.0")
	h.typed("10:00", "A", "33.5")
	const say = "No Cooling yet: the cooling has 2 readings: it needs 3 or more."
	at, _ := ParseHms("11:00")
	if w := h.engine.State.Look("A", at); w.Needed != "" {
		t.Errorf("with a minute to go: %q", w.Needed)
	}
	at, _ = ParseHms("12:00")
	if w := h.engine.State.Look("A", at); w.Needed != say {
		t.Errorf("when it may end: %q, want %q", w.Needed, say)
	}
	_, err := h.try("13:00", "A", Forward{}, false)
	var q *Question
	if !errors.As(err, &q) || q.Say != say+" Leave After all the same?" {
		t.Errorf("leaving it: %v", err)
	}
	h.typed("13:10", "A", "33.1")
	if w := h.engine.State.Look("A", h.now); w.Needed != "" {
		t.Errorf("with three readings: %q", w.Needed)
	}
	h.do("13:20", "A", Forward{})
	if v := h.engine.State.Vessel("A"); h.engine.State.stage(v).ID != "end" {
		t.Error("the stage is not left")
	}
}

// TestHeadline: what is named is what a result of the run takes, or what is checked, or what comes last.
func TestHeadline(t *testing.T) {
	for without, want := range map[string]string{"": "rise", burning[strings.Index(burning, "[[result]]\nid = \"mean_rise\""):]: "rise",
		burning[strings.Index(burning, "[[result]]\nid = \"rise\""):]: "begin"} {
		h := beginOf(t, strings.Replace(burning, without, "", 1), nil, "A")
		s := h.engine.State
		if got := s.headline(s.Protocol.Result("begin")).ID; got != want {
			t.Errorf("the headline is %s, want %s", got, want)
		}
	}
}
