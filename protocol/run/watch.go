package run

import "time"

// What counts as an interruption, and what as the unevenness of clocks.
const (
	sleepLeast = 2 * time.Second // the machine slept
	stepLeast  = 2 * time.Second // the wall clock was set
	stopLeast  = 10 * time.Second
)

// A Watcher is a clock that notices when time did not go its ordinary way.
type Watcher interface {
	Clock
	// Watch returns what happened to the clocks since it was called last. It is to be called every second or so: a
	// longer pause is told as a stop of the program.
	Watch() []Fact
}

// Watch tells sleep from a wall clock that was set, and both from a program that was stopped. Elapsed counts on through
// sleep and stop, and does not follow the wall clock.
func (k *Timekeeper) Watch() []Fact {
	d := k.machine.Read()
	passed, asleep := between(k.seen, d)
	ahead := d.Wall.Sub(k.seen.Wall) - passed
	var facts []Fact
	if d.Up < 0 && ahead >= sleepLeast { // slept or set: the longer time is the safer one
		asleep, passed, ahead = ahead, passed+ahead, 0
		k.added.Add(int64(asleep))
		facts = append(facts, Slept{For: milli(asleep), Unsure: true})
	} else if asleep >= sleepLeast {
		facts = append(facts, Slept{For: milli(asleep)})
	}
	if stopped := passed - asleep; stopped >= stopLeast {
		facts = append(facts, Stopped{milli(stopped)})
	}
	if ahead.Abs() >= stepLeast {
		facts = append(facts, ClockSet{milli(ahead)})
	}
	if d.Zone != k.seen.Zone {
		facts = append(facts, ZoneChanged{d.Zone})
	}
	k.seen = d
	return facts
}

func milli(d time.Duration) Span { return Span(d.Truncate(time.Millisecond)) }

// Watch asks the engine's clock what happened to it, and records that. It returns the events, of which the first tells
// when; none when time went its way, or could not be recorded yet: then they are kept for the next call.
func (g *Engine) Watch() ([]Event, error) {
	w, ok := g.clock.(Watcher)
	if !ok || g.State.Ended != nil {
		return nil, nil
	}
	g.noticed = append(g.noticed, w.Watch()...)
	if len(g.noticed) == 0 {
		return nil, nil
	}
	events, err := g.record(g.noticed...)
	if events != nil {
		g.noticed = nil
	}
	return events, err
}

// KeepDraft records a line that was typed and not entered, or with "" that there is none to come back to.
func (g *Engine) KeepDraft(vessel, line string, typedAt time.Duration) error {
	line = clean(line)
	if g.State.Ended != nil || line == "" && g.State.Draft == nil {
		return nil
	}
	if d := g.State.Draft; d != nil && d.Line == line && d.Vessel == vessel {
		return nil
	}
	_, err := g.record(Drafted{vessel, line, milli(max(0, typedAt))})
	return err
}
