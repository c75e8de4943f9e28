package tui_test

import (
	"flag"
	"math/rand/v2"
	"testing"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

var stuck = flag.Uint64("stuck", 20, "how many days with a sticking key are played")

// A day with a sticking key: whatever is typed, the Enter after it comes 2 to 80 times, 20 ms to 1.5 s apart. No wait ends
// before its least time or with its gate not met, and what is typed next for a wait lands in it.
func TestADayWithAStickingKey(t *testing.T) {
	struck, ignored := 0, 0
	for seed := uint64(0); seed < *stuck; seed++ {
		d := &sticking{day: day{t: t, seed: seed, rnd: rand.New(rand.NewPCG(seed, 12))}}
		var bench *run.Bench
		if d.planned = seed%8 == 3; d.planned {
			bench = &run.Bench{}
		}
		d.o, d.m = atBench(t, "ABCD"[:1+seed%4], bench)
		d.play()
		struck, ignored = struck+d.struck, ignored+d.ignored
	}
	if ignored < struck/4 || struck-ignored < struck/4 {
		t.Errorf("of %d Enters %d were set aside: neither case is tried well", struck, ignored)
	}
	t.Logf("%d Enters, %d of them set aside", struck, ignored)
}

type sticking struct {
	day
	struck, ignored int
}

func (d *sticking) play() {
	for i := 0; d.o.Engine.State.Ended == nil; i++ {
		if i > 3000 {
			d.t.Fatalf("seed %d: the day does not end", d.seed)
		}
		d.pass(time.Duration(1+d.rnd.IntN(90)) * time.Second)
		if turns := d.o.Turns(); d.rnd.IntN(3) > 0 && !turns[0].Due() {
			d.pass(turns[0].In)
		}
		w := d.o.View()
		if w.Through {
			continue
		}
		line := d.line(w)
		switch d.rnd.IntN(4) {
		case 0:
			d.types(w, line)
			continue
		case 1:
			if d.stick(); d.o.Vessel == w.Vessel { // the line is for what was seen before
				d.types(w, line)
			}
			continue
		}
		d.types(w, line)
		d.stick()
	}
}

// stick strikes Enter again and again, as a face on which hands type takes it.
func (d *sticking) stick() {
	apart := time.Duration(20+d.rnd.IntN(1480)) * time.Millisecond
	var looked time.Duration
	for range 2 + d.rnd.IntN(1+d.rnd.IntN(79)) {
		if d.m.now += apart; d.o.Engine.State.Ended != nil {
			return
		}
		if d.m.now-looked >= 250*time.Millisecond {
			d.o.Follow()
			looked = d.m.now
		}
		d.struck++
		if _, soon := d.o.TooSoon(tui.Guard); soon {
			d.ignored++
			continue
		}
		d.judge(d.o.Enter("", 0))
	}
}

// types types a line for what was seen of a vessel.
func (d *sticking) types(w run.View, line string) {
	if line == "" || d.o.Engine.State.Ended != nil {
		return
	}
	d.m.now += tui.Guard
	d.o.Strike()
	a := d.o.Enter(line, 0)
	d.judge(a)
	for _, e := range a.Events {
		f, ok := e.What.(run.ReadingTaken)
		if ok && e.Vessel == w.Vessel && w.Enter == run.NotYet && w.Asked.Reading.Kind == protocol.Series && !d.isUp(w) && f.Reading != w.Asked.Reading.ID {
			d.t.Fatalf("seed %d at %s: %q for %s was taken as %s", d.seed, run.Hms(d.m.now), line, w.Asked.Reading.ID, f.Reading)
		}
	}
	if a.Ask != nil {
		d.o.Enter("-", 0)
	}
}

// isUp tells whether a wait that was seen can have come to its proper end since.
func (d *sticking) isUp(w run.View) bool {
	return (w.Gate == nil || w.Gate.Met) && d.m.now-d.o.Engine.State.Vessel(w.Vessel).Entered > w.Clock.Window.AtLeast
}

func (d *sticking) judge(a tui.Answer) {
	d.plan()
	for _, e := range a.Events {
		f, ok := e.What.(run.WaitEnded)
		if !ok {
			continue
		}
		st := d.o.Engine.State.Protocol.Stage(f.Stage)
		if time.Duration(f.Waited) < st.Clock.AtLeast || f.Gate {
			d.t.Fatalf("seed %d at %s: %s of %s ended after %s, gate unmet: %t", d.seed, run.Hms(d.m.now), st.Title, e.Vessel, run.Hms(time.Duration(f.Waited)), f.Gate)
		}
	}
}
