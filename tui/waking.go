package tui

import (
	"strings"
	"time"
	"unicode/utf8"

	"example.org/meniscus/protocol/run"
)

// Watch looks at the clocks and tells, once, if time did not go its ordinary way: how long nobody could be told
// anything, and what fell due meanwhile. A face calls it with every tick.
func (o *Operator) Watch() []string {
	events, err := o.Engine.Watch()
	if err != nil || len(events) == 0 {
		return nil // what cannot be saved is tried again with the next tick, and told with the next line
	}
	var said []string
	var away time.Duration
	for _, e := range events {
		text, gone := interruption(e.What)
		said, away = append(said, text), away+gone
	}
	if away > 0 && o.Engine.State.Away == nil { // else it is told to the hands that come back
		said = append(said, o.meanwhile(away)...)
	}
	return said
}

// fellDue tells what fell due since the hands were called away.
func (o *Operator) fellDue() []string {
	s := o.Engine.State
	if s.Away == nil {
		return nil
	}
	return fellDue(s, s.Away.Elapsed, o.Engine.Now().Elapsed)
}

// interruption tells a fact of time, and for how long nothing could be told because of it.
func interruption(f run.Fact) (said string, away time.Duration) {
	switch f := f.(type) {
	case run.Slept:
		away = time.Duration(f.For)
		if f.Unsure {
			return "The machine slept for " + run.Hms(away) + ", or its clock was set forward by that: it counts as time that passed.", away
		}
		return "The machine slept for " + run.Hms(away) + "; the run's clocks went on.", away
	case run.Stopped:
		away = time.Duration(f.For)
		return "The program was stopped for " + run.Hms(away) + "; the run's clocks went on.", away
	case run.ClockSet:
		return "The wall clock was set " + direction(time.Duration(f.By)) + "; the run's clocks do not follow it.", 0
	case run.ZoneChanged:
		return "The place's time is at " + f.Zone + " from UTC by now; the run's clocks do not follow it.", 0
	}
	return "", 0
}

func direction(by time.Duration) string {
	if by < 0 {
		return "back by " + run.Hms(-by)
	}
	return "forward by " + run.Hms(by)
}

// meanwhile tells what fell due in the time before now.
func (o *Operator) meanwhile(away time.Duration) []string {
	now := o.Engine.State.Last.Elapsed
	return fellDue(o.Engine.State, now-away, now)
}

func fellDue(s *run.State, from, to time.Duration) []string {
	fell := s.FellDue(from, to)
	if len(fell) == 0 {
		return nil
	}
	return []string{"Meanwhile fell due: " + strings.Join(fell, "; ") + "."}
}

// Resumed tells that the run is taken up again and how long after the last entry: when the program ended is not known; nil
// unless it has just come back.
func (o *Operator) Resumed() []string {
	s := o.Engine.State
	r, ok := s.Last.What.(run.Resumed)
	if !ok {
		return nil
	}
	gap, how := time.Duration(r.Gap), ""
	if r.Rebooted {
		how = " after a restart of the machine, or on another one"
	}
	said := []string{"Taken up again" + how + ", " + run.Hms(gap) + " after the last entry; the clocks went on."}
	if r.Back > 0 {
		said[0] = "Taken up again. The computer's clock stands " + run.Hms(time.Duration(r.Back)) +
			" before the last entry, so the time in between is not known and counts as none."
	}
	if r.ClockSet != 0 {
		said = append(said, "The wall clock was set "+direction(time.Duration(r.ClockSet))+" meanwhile; the run's clocks do not follow it.")
	}
	if r.Torn != "" {
		said = append(said, "The last entry was never finished and is set aside: "+r.Torn)
	}
	return append(said, o.meanwhile(gap)...)
}

// offerDraft asks about a line that was typed and not entered when the program ended.
func (o *Operator) offerDraft() {
	s := o.Engine.State
	if s.Draft == nil || s.Ended != nil || !s.Acknowledged {
		return
	}
	if s.Vessel(s.Draft.Vessel) != nil {
		o.Vessel, o.chosen = s.Draft.Vessel, true // what it was about when it was typed
	}
	o.open = &openQuestion{draft: s.Draft, since: o.Engine.Now().Elapsed, ask: &run.Question{
		Say: o.of(o.Vessel, o.draftFor(s.Draft)+"“"+s.Draft.Line+"” was typed and not entered before the program ended. Enter it now?"), Yes: "enter it"}}
}

// draftFor tells which reading a draft answers, and when it was typed, as far as that is known.
func (o *Operator) draftFor(d *run.Drafted) string {
	var what []string
	first, _ := utf8.DecodeRuneInString(d.Line)
	slip, isSlip := o.Slip(d.Line)
	switch asked := o.View().Asked; {
	case isSlip && slip.Taken != nil:
		what = append(what, slip.Taken.Title())
	case asked != nil && (StartsReading(first) && first != '@' || first == 't'):
		what = append(what, asked.Title)
	}
	if at := time.Duration(d.TypedAt); at > 0 {
		what = append(what, "typed at "+o.Engine.State.Wall(at))
	}
	if len(what) == 0 {
		return ""
	}
	return strings.Join(what, ", ") + ": "
}

// takeDraft enters the draft, which counts from when its first sign was typed.
func (o *Operator) takeDraft(asked *openQuestion) Answer {
	if now := o.Engine.Now().Elapsed; now-asked.since > goodFor {
		asked.since, o.open = now, asked
		return Answer{Ask: asked.ask}
	}
	a := o.Enter(asked.draft.Line, time.Duration(asked.draft.TypedAt))
	if a.NotSaved != nil {
		o.open = asked
	}
	return a
}

// dropDraft sets the draft aside for good.
func (o *Operator) dropDraft(asked *openQuestion) Answer {
	if err := o.Engine.KeepDraft("", "", 0); err != nil {
		o.open = asked
		return Answer{NotSaved: err}
	}
	return Answer{Said: []string{"Set aside."}}
}
