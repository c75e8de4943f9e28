package tui_test

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

var days = flag.Uint64("days", 150, "how many days at the bench are played")

// A day of typed lines: four vessels, a hand that types for the vessel it sees, is late, now and then chooses another one,
// and is sometimes overtaken by a change while it reaches for the key. Whatever the seed, every act lands on the vessel that
// was meant, no portion is given twice, and a vessel that waits is never held on to while another one is due. Every other
// day goes by a timetable, which is made anew after each line; on the others the queue goes by what closes first.
func TestADayOfTypedLines(t *testing.T) {
	overtaken, made := 0, 0
	for seed := uint64(0); seed < *days; seed++ {
		d := &day{t: t, seed: seed, rnd: rand.New(rand.NewPCG(seed, 11)), planned: seed%2 == 1}
		var bench *run.Bench
		if d.planned {
			bench = &run.Bench{}
		}
		d.o, d.m = atBench(t, "ABCD", bench)
		d.play()
		if n := len(d.o.Engine.State.Timetables); n > 0 != (bench != nil) {
			t.Fatalf("seed %d: %d timetables", seed, n)
		}
		made += len(d.o.Engine.State.Timetables)
		overtaken += d.overtaken
	}
	if overtaken < int(*days)/5 {
		t.Errorf("only %d lines were overtaken by a change", overtaken)
	}
	t.Logf("%d lines overtaken by a change, %d timetables", overtaken, made)
}

type day struct {
	t         *testing.T
	seed      uint64
	rnd       *rand.Rand
	o         *tui.Operator
	m         *moody
	overtaken int
	planned   bool // it goes by a timetable
	chosen    bool // by letter, or by a line begun too soon, and no act was done since
}

func (d *day) play() {
	for i := 0; d.o.Engine.State.Ended == nil; i++ {
		if i > 3000 {
			d.t.Fatalf("seed %d: the day does not end", d.seed)
		}
		d.pass(time.Duration(1+d.rnd.IntN(30)) * time.Second)
		if turns := d.o.Turns(); !turns[0].Due() {
			d.pass(turns[0].In + time.Duration(d.rnd.ExpFloat64()*20-3)*time.Second)
		}
		if d.rnd.IntN(25) == 0 {
			d.o.Enter(string(rune('A'+d.rnd.IntN(4))), 0)
			d.chosen = true
		}
		d.followed()
		if !d.planned {
			d.ordered(d.o.Turns())
		}
		d.m.now += time.Second
		d.reach()
	}
	d.judge()
}

// pass lets time go by, with a look at the clock at its end.
func (d *day) pass(by time.Duration) {
	d.m.now += by
	d.plan()
	d.o.Follow()
}

// plan has the timetable made anew.
func (d *day) plan() {
	if task := d.o.ToPlan(); task != nil {
		d.o.Adopt(task, task.Plan())
	}
}

// ordered holds the queue against its rule: what is due comes first, and of that what begun and closes first.
func (d *day) ordered(turns []run.Turn) {
	begun := func(t run.Turn) bool { return d.o.Engine.State.Vessel(t.Vessel).Stage >= 0 }
	for i := 1; i < len(turns); i++ {
		a, b := turns[i-1], turns[i]
		switch {
		case b.Due() && !a.Due():
			d.t.Fatalf("seed %d: %s is due and stands behind %s", d.seed, b.Vessel, a.Vessel)
		case !a.Due() && b.In < a.In:
			d.t.Fatalf("seed %d: %s is sooner due and stands behind %s", d.seed, b.Vessel, a.Vessel)
		case b.Due() && begun(a) && begun(b) && !b.Open && (a.Open || b.Closes < a.Closes):
			d.t.Fatalf("seed %d: the window of %s closes first, and it stands behind %s", d.seed, b.Vessel, a.Vessel)
		}
	}
}

// followed fails where the vessel in hand waits while another one that has begun is due.
func (d *day) followed() {
	turns := d.o.Turns()
	i := slices.IndexFunc(turns, func(t run.Turn) bool { return t.Vessel == d.o.Vessel })
	begun := turns[0].Planned || d.o.Engine.State.Vessel(turns[0].Vessel).Stage >= 0
	if i > 0 && !turns[i].Due() && turns[0].Due() && begun && !d.chosen {
		d.t.Fatalf("seed %d: %s waits and is in hand while %s is due", d.seed, d.o.Vessel, turns[0].Vessel)
	}
}

// reach types what the vessel in hand asks for; a clock may move on, and the queue with it, before the first key.
func (d *day) reach() {
	meant := d.o.Vessel
	w := d.o.View()
	if w.Through {
		return
	}
	line := d.line(w)
	if d.rnd.IntN(4) == 0 {
		d.pass(time.Duration(d.rnd.IntN(2000)) * time.Millisecond)
	}
	d.m.now += time.Duration(d.rnd.IntN(700)) * time.Millisecond
	if d.o.Vessel != meant {
		d.overtaken++
	}
	if line != "" {
		before := d.o.Vessel
		refused := d.o.StartLine('1')
		d.chosen = d.chosen || d.o.Vessel != before
		if refused != "" || d.o.Vessel != meant { // it was seen, and is done at the next turn
			return
		}
	}
	a := d.o.Enter(line, 0)
	for _, e := range a.Events {
		if e.Vessel != meant && e.Vessel != "" {
			d.t.Fatalf("seed %d at %s: %q for %s landed on %s", d.seed, run.Hms(d.m.now), line, meant, e.Vessel)
		}
	}
	d.chosen = d.chosen && len(a.Events) == 0
	d.plan()
	if a.Ask != nil {
		d.o.Enter("-", 0)
	}
}

// line is what a hand types for what is asked.
func (d *day) line(w run.View) string {
	if w.Asked == nil || len(w.Due) > 0 && w.Tone != run.Late { // what is late is ended first, and its gate wants a reading
		return ""
	}
	switch w.Asked.Reading.Kind {
	case protocol.Choice:
		return "1"
	case protocol.FreeText:
		return "t LOT 7"
	case protocol.Number:
		return map[string]string{"oil_weighed": "50", "portion_weighed": "8.7"}[w.Asked.Reading.ID]
	}
	switch {
	case w.Clock.Left <= 0 && (w.Gate == nil || w.Gate.Met):
		return ""
	case w.Gate == nil:
		return "17"
	}
	return fmt.Sprintf("%.1f", min(54.5, 34+2*w.Clock.Elapsed.Minutes()))
}

// judge counts the portions.
func (d *day) judge() {
	for _, v := range d.o.Engine.State.Vessels {
		given := map[int]int{}
		for _, t := range v.Taken {
			if t.Reading.ID == "portion_weighed" && !t.NotTaken {
				given[t.Portion]++
			}
		}
		if len(given) != 3 || given[1] != 1 || given[2] != 1 || given[3] != 1 {
			d.t.Fatalf("seed %d: %s got its portions %v times", d.seed, v.Label, given)
		}
	}
}
