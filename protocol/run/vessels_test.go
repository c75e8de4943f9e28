package run

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol"
)

func TestSharedReadingServesAll(t *testing.T) {
	h := begin(t, "A", "B")
	h.do("0:00", "", Acknowledge{})
	h.do("0:10", "A", Forward{})
	h.typed("1:00", "A", "112.36")
	h.typed("1:20", "A", "142.36")
	h.typed("1:30", "A", "21.8") // the room, once
	h.do("1:40", "B", Forward{})
	h.typed("2:00", "B", "110.00")
	h.typed("2:40", "B", "140.00")
	if got := h.engine.State.Look("B", h.now).Stage.ID; got != "warm" {
		t.Errorf("B is asked for the room again: at %s", got)
	}
	for _, v := range []string{"A", "B"} {
		if got, ok := h.engine.State.Values(v).Show("room", 0); !ok || got != "21.8 °C" {
			t.Errorf("%s sees the room at %q", v, got)
		}
	}
}

func TestResourcesTellWhoHasThem(t *testing.T) {
	h := begin(t, "A", "B", "C")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{})
	h.do("2:10", "B", Forward{})
	if got := h.engine.State.Look("C", h.now).Busy; len(got) != 0 {
		t.Errorf("before B weighs, C is told %q", got)
	}
	h.do("2:20", "C", Forward{})
	h.typed("2:30", "B", "110.00")
	if got := strings.Join(h.engine.State.Look("C", h.now).Busy, "; "); got != "Balance: with B" {
		t.Errorf("C is told %q", got)
	}
	h.typed("2:50", "B", "140.00")
	h.do("3:00", "B", Forward{})
	if got := strings.Join(h.engine.State.Look("C", h.now).Busy, "; "); got != "Bath: with A and B" {
		t.Errorf("C is told %q", got)
	}
}

func TestVesselAddedDuringTheRun(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm")
	h.refused("2:00", "", AddVessel{map[string]string{"batch": "5000 g"}}, "batch")
	h.do("2:00", "", AddVessel{map[string]string{"batch": "20 g"}})
	h.do("2:10", "B", Forward{})
	if got := h.engine.State.Look("B", h.now).Next; got != "Add 20 g and weigh again" {
		t.Errorf("B's next step: %q", got)
	}
	if s, err := Fold(h.events); err != nil || len(s.Vessels) != 2 {
		t.Errorf("replayed: %v", err)
	}
}

func TestLiveFigures(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{})
	if got := h.engine.State.Look("A", h.now).Live; len(got) != 0 {
		t.Errorf("without a reading: %+v", got)
	}
	h.typed("3:00", "A", "44.0")
	live := h.engine.State.Look("A", h.now).Live
	if len(live) != 1 || live[0].Say != "Still to rise" || !strings.HasPrefix(live[0].Value, "10.000 ± 0.057") {
		t.Errorf("after one reading: %+v", live)
	}
	h.typed("4:00", "A", "49.0")
	h.typed("5:00", "A", "51.5")
	live = h.engine.State.Look("A", h.now).Live
	// 54 - T halves each minute, so the time constant is 1/ln 2 = 1.4427 min after the mark at 2:00
	if len(live) != 2 || live[1].In == nil || live[1].In.Round(time.Second) != 2*time.Minute+87*time.Second-5*time.Minute {
		t.Errorf("after three readings: %+v", live)
	}
}

func TestQueueIsOrderedByClosingWindow(t *testing.T) {
	h := begin(t, "A", "B", "C")
	h.upTo("A", "dose")
	h.typed("13:20", "A", "241.87")
	h.typed("14:00", "A", "15") // A waits from 14:00: aim 18:00, at most 20:00
	h.do("14:30", "B", Forward{})
	order := func(at string) string {
		d, _ := ParseHms(at)
		words := []string{}
		for _, turn := range h.engine.State.Queue(d) {
			words = append(words, turn.Vessel)
		}
		return strings.Join(words, " ")
	}
	if got := order("14:40"); got != "B C A" { // B's hands are due, C may begin, A waits
		t.Errorf("at 14:40: %s", got)
	}
	if got := order("18:10"); got != "B A C" { // B's hands close at 19:30, A's wait at 20:00
		t.Errorf("at 18:10: %s", got)
	}
	h.refused("15:00", "A", Forward{}, "A is not due for portion 2 before 12:17: Dose wants at least 3:00, 2:00 to go. B is due: Weigh.")
}

// A reminder that is due as well neither names what is late nor says when its window closed.
func TestLateIsNamedBeforeAReminder(t *testing.T) {
	h := begin(t, "A", "B")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{}) // A waits from 1:30, at most 25 min, to be swirled each 2 min
	h.do("30:00", "B", Forward{})
	first := h.engine.State.Queue(30*time.Minute + 40*time.Second)[0]
	if first.Vessel != "A" || first.Do != "flask temperature is not read yet" || first.Closes != -(4*time.Minute+10*time.Second) {
		t.Errorf("first: %+v; want A, for its window that closed at 26:30", first)
	}
	if due := h.engine.State.Look("A", h.now).Due; len(due) == 0 {
		t.Error("no reminder is due, so nothing was shown")
	}
}

// A day at the bench: four vessels, hands that come late, answer reminders or miss them, and now and then reach for the
// wrong vessel. Whatever happens, every act lands on the vessel it was meant for, no portion is given twice, what was
// late or early is recorded, and the queue is in order.
func TestADayAtTheBench(t *testing.T) {
	for seed := uint64(0); seed < 1000; seed++ {
		day{t: t, rnd: rand.New(rand.NewPCG(seed, 7)), seed: seed}.play()
	}
}

type day struct {
	t    *testing.T
	rnd  *rand.Rand
	seed uint64
}

func (d day) play() {
	labels := []string{"A", "B", "C", "D"}
	h := begin(d.t, labels...)
	h.do("0:00", "", Acknowledge{})
	h.now = time.Second
	for i := 0; h.engine.State.Ended == nil; i++ {
		if i > 1500 {
			d.t.Fatalf("seed %d: the day does not end", d.seed)
		}
		h.now += time.Duration(1+d.rnd.IntN(40)) * time.Second
		queue := h.engine.State.Queue(h.now)
		d.ordered(queue)
		turn := queue[0]
		if !turn.Due() {
			h.now += turn.In + time.Duration(d.rnd.ExpFloat64()*30)*time.Second
			turn = h.engine.State.Queue(h.now)[0]
		}
		vessel := turn.Vessel
		if d.rnd.IntN(20) == 0 {
			vessel = labels[d.rnd.IntN(len(labels))] // the wrong one
		}
		d.act(h, vessel)
	}
	d.judge(h)
}

// ordered holds the queue against its rule, worked out anew.
func (d day) ordered(queue []Turn) {
	for i := 1; i < len(queue); i++ {
		a, b := queue[i-1], queue[i]
		switch {
		case a.Due() != b.Due():
			if b.Due() {
				d.t.Fatalf("seed %d: %s is due and stands behind %s", d.seed, b.Vessel, a.Vessel)
			}
		case !a.Due():
			if b.In < a.In {
				d.t.Fatalf("seed %d: %s is sooner due and stands behind %s", d.seed, b.Vessel, a.Vessel)
			}
		case a.begun && b.begun && !b.Open && (a.Open || b.Closes < a.Closes):
			d.t.Fatalf("seed %d: the window of %s closes first, and it stands behind %s", d.seed, b.Vessel, a.Vessel)
		}
	}
}

// act does for a vessel what a hand would do at it: types what is asked for, or presses the key; a question is answered
// with no.
func (d day) act(h *hand, vessel string) {
	w := h.engine.State.Look(vessel, h.now)
	if w.Through {
		return
	}
	before := len(h.events)
	var act Act = Forward{}
	if a := w.Asked; a != nil && (len(w.Due) == 0 || w.Tone == Late) {
		switch a.Reading.Kind {
		case protocol.Number:
			act = Take{Typed: map[string]string{"flask": "112.36", "filled": "142.36", "room": "21.8", "bottle": "241.87", "portion": d.portion(h, vessel)}[a.Reading.ID]}
		case protocol.Series:
			act = Take{Typed: fmt.Sprintf("%.1f", 40+0.5*w.Clock.Elapsed.Minutes())}
			if w.Clock.Left <= 0 && w.Asked.Nth > 2 {
				act = Take{Typed: "54.5"}
				if w.Gate.Met {
					act = Forward{}
				}
			}
		case protocol.Choice:
			act = Take{Typed: "2"}
		case protocol.FreeText:
			act = Take{Typed: "LOT 7"}
		}
	}
	events, err := h.engine.Do(Command{Vessel: vessel, Do: act})
	var q *Question
	var notYet *Refusal
	if errors.As(err, &notYet) && w.Enter == NotYet {
		return
	}
	if err != nil && !errors.As(err, &q) {
		d.t.Fatalf("seed %d, %s at %s: %T: %v", d.seed, vessel, Hms(h.now), act, err)
	}
	if q != nil && len(h.events) != before {
		d.t.Fatalf("seed %d: a question left a trace", d.seed)
	}
	for _, e := range events {
		if e.Vessel != vessel && e.Vessel != "" {
			d.t.Fatalf("seed %d: an act on %s landed on %s", d.seed, vessel, e.Vessel)
		}
	}
}

func (d day) portion(h *hand, vessel string) string {
	shown, _ := h.engine.State.Values(vessel).Show("portion_mass", h.engine.State.Vessel(vessel).Portion)
	return strings.TrimSuffix(shown, " g")
}

// judge counts portions and holds the recorded deviations against the events.
func (d day) judge(h *hand) {
	s := h.engine.State
	for _, v := range s.Vessels {
		given := map[int]int{}
		for _, t := range v.Taken {
			if t.Reading.ID == "portion" && !t.NotTaken {
				given[t.Portion]++
			}
		}
		if len(given) != 3 || given[1] != 1 || given[2] != 1 || given[3] != 1 {
			d.t.Fatalf("seed %d: %s got its portions %v times", d.seed, v.Label, given)
		}
	}
	late := 0
	for _, e := range h.events {
		if f, ok := e.What.(WaitEnded); ok {
			c := s.Protocol.Stage(f.Stage).Clock
			if w := time.Duration(f.Waited); w > c.AtMost || w < c.AtLeast {
				late++
			}
		}
	}
	told := 0
	for _, dev := range s.Deviations {
		if strings.HasSuffix(dev.What, ", wait") && (dev.Kind == "late" || dev.Kind == "early") {
			told++
		}
	}
	if late != told {
		d.t.Fatalf("seed %d: %d waits were outside their window, %d are recorded", d.seed, late, told)
	}
}
