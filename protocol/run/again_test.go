package run

import (
	"math"
	"strings"
	"testing"
	"time"
)

// TestGivenAgain: a second pour is added to the newest portion after a question, and both stay in the record.
func TestGivenAgain(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "dose")
	h.refused("13:15", "A", Again{Typed: "3"}, "has no portion yet")
	h.typed("13:20", "A", "241.87")
	h.typed("14:00", "A", "15")
	h.refused("14:10", "A", Again{}, "how much was given once more to A, beside the 15 g")
	h.refused("14:10", "A", Again{Typed: "0"}, "more than nothing")
	h.refused("14:10", "A", Again{Typed: "3 mL"}, "no unit for a reading in g")
	h.asks("14:20", "A", Again{Typed: "9", Why: "g meant for B"}, "Portion, portion 1 of A had 15 g. 9 g more makes 24 g: recorded as given again?")
	got := h.engine.State.Vessels[0].newest("portion")
	if got.Value != 24 || !got.Unlikely || got.Was[0].Value != 15 || got.Was[0].Why != "9 g given again, meant for B" {
		t.Errorf("the portion is %+v", got)
	}
	dev := h.engine.State.Deviations
	if d := dev[len(dev)-1]; d.Planned != "15 g, given once" || d.Done != "24, kept all the same" {
		t.Errorf("recorded: %+v", d)
	}
}

// TestGivenAgainToWhatWasGiven: a portion that was taken back is not added to, and guards look at the sum.
func TestGivenAgainToWhatWasGiven(t *testing.T) {
	h := heatedAs(t, heating+`[[given]]
id = "flask"
value = "12 mL"
[[guard]]
id = "too_much"
holds = "max(poured) <= flask"
say = "More than the flask holds."
`)
	h.typed("0:10", "A", "126.41")
	h.typed("0:20", "A", "226.40")
	h.typed("0:30", "A", "11.0")
	h.do("1:30", "A", Forward{})
	h.typed("1:40", "A", "8.5")
	h.asks("1:50", "A", Again{Typed: "4"}, "Poured, portion 2 of A had 8.5 mL. 4 mL more makes 12.5 mL")
	if g := h.engine.State.Guards; len(g) != 1 || g[0].Guard != "too_much" {
		t.Errorf("spoken: %+v", g)
	}
	h.confirmed("2:00", "A", TakeBack{Reading: "poured", Why: "of B"})
	h.asks("2:10", "A", Again{Typed: "1"}, "Poured, portion 1 of A had 11 mL")
}

// TestFillsAreReadings: what is poured in several fills, or at two times, is as uncertain as so many readings of one pipette:
// the error of a mark that is reached each time adds up, the reading of it as the square root (JCGM 100:2008, 5.2.2 and
// 5.1.2).
func TestFillsAreReadings(t *testing.T) {
	const step, limit = 0.1 / 2, 0.1 // half-widths of the instrument, mL
	text := strings.NewReplacer("[instrument.balance]", "[instrument.pipette]\nunit = \"mL\"\nstep = \"0.1 mL\"\ngraduation = \"0.1 mL\"\n[instrument.balance]",
		`title = "Poured"`, `title = "Poured"`+"\ninstrument = \"pipette\"\nfill = \"10 mL\"", "20 mL", "200 mL").Replace(heating)
	h := heatedAs(t, text)
	h.typed("0:10", "A", "126.41")
	h.typed("0:20", "A", "226.40")
	portion := 0
	check := func(what string, want float64) {
		t.Helper()
		v, err := h.engine.State.Values("A").Value("poured")
		if err != nil {
			t.Fatal(err)
		}
		if u := v.List[portion].U(); math.Abs(u-want) > 1e-9 {
			t.Errorf("%s: u = %.4f mL, want %.4f", what, u, want)
		}
	}
	u := func(fills, sameMark, otherMark float64) float64 { // by hand: half of a mark's variance is the pipette's at every mark
		common := limit * limit / 2 * fills * fills
		return math.Sqrt((step*step*fills + common + limit*limit/2*(sameMark*sameMark+otherMark)) / 3)
	}
	h.typed("0:30", "A", "143")
	h.do("1:30", "A", Forward{})
	h.typed("1:40", "A", "8.5")
	check("15 fills, the last of 3 mL", u(15, 14, 1))
	if e := 1.96 * u(15, 14, 1); math.Abs(e-1.66) > 0.01 { // the tolerance alone, 15 times: 1.7
		t.Errorf("15 fills of 10 mL are known to %.2f mL", e)
	}
	h.do("1:50", "A", Correct{Reading: "poured.1", Typed: "10", Why: "misread"})
	check("one fill", u(1, 1, 0))
	h.asks("2:10", "A", Again{Typed: "4"}, "4.0 mL more makes 12.5 mL")
	portion = 1
	check("8.5 mL and 4 mL more", u(2, 1, 1))
	if got := h.engine.State.Vessels[0].newest("poured.2"); got.Again[0] != 4 || got.Was[0].Typed != "8.5" {
		t.Errorf("the pours are not kept: %+v", got)
	}
	h.do("2:20", "A", Correct{Reading: "poured.2", Typed: "13.5", Why: "misread"})
	check("9.5 mL and 4 mL more", u(2, 1, 1))
	h.do("2:30", "A", Correct{Reading: "poured.2", Typed: "3.5", Why: "misread"})
	check("less than was given again", u(1, 1, 0))
}

// TestReasonAfterTheEnd: what is corrected when the run is over says why.
func TestReasonAfterTheEnd(t *testing.T) {
	h := heated(t)
	h.typed("0:10", "A", "126.41")
	h.asks("0:20", "", End{Why: "out of water"}, "End it for good")
	h.unfinished("0:30", "A", Correct{Typed: "126.51"}, "This correction needs a reason")
}

// TestLatestEndMovesForAReason: what moves the latest end of a wait says why.
func TestLatestEndMovesForAReason(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm")
	h.unfinished("2:00", "A", Extend{By: time.Minute}, "Moving the latest end needs a reason")
	h.do("2:00", "A", Extend{By: time.Minute, Why: "the bath lags"})
}

// TestSharedReadingIsCorrectedFromAnyVessel: the reading that serves all is corrected, and taken back, with whichever
// vessel is in hand.
func TestSharedReadingIsCorrectedFromAnyVessel(t *testing.T) {
	h := begin(t, "A", "B")
	h.upTo("A", "weigh")
	h.typed("1:00", "A", "112.36")
	h.typed("1:20", "A", "142.36")
	h.typed("1:30", "A", "21.8")
	h.do("1:40", "B", Forward{})
	events := h.do("1:50", "B", Correct{Reading: "room", Typed: "22.8", Why: "misread"})
	if a := h.engine.State.Vessels[0].newest("room"); a.Value != 22.8 || events[0].Vessel != "A" {
		t.Errorf("the room is %+v, by an event of %s", a, events[0].Vessel)
	}
	h.refused("2:00", "B", Correct{Reading: "flask", Typed: "112.4", Why: "misread"}, `Vessel B has no reading "flask"`)
	h.confirmed("2:10", "B", TakeBack{Reading: "room", Why: "by the window"})
	if a := h.engine.State.Vessels[0].newest("room"); !a.TakenBack {
		t.Errorf("the room is %+v", a)
	}
	h.refused("2:20", "B", TakeBack{Reading: "room", Why: "again"}, "not taken as it is")
	h.refused("2:30", "A", TakeBack{Reading: "warmth", Why: "slip"}, "Vessel A has no reading \"warmth\" to take back; it has flask, filled, room.")
}
