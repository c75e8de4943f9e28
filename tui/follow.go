package tui

import (
	"slices"
	"strings"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

const (
	// soon is how near the end of another vessel's window must be for the hands to leave a vessel amid its work.
	soon = 30 * time.Second
	// settling is how long after a change that no letter asked for a key is still meant for the vessel before it.
	settling = 800 * time.Millisecond
)

// A change of the vessel in hand that the queue made, and no letter.
type change struct {
	at   time.Duration // elapsed
	from string        // the vessel before it
}

// Turns returns what the hands do now, next and after that, over all vessels.
func (o *Operator) Turns() []run.Turn { return o.Engine.State.Queue(o.Engine.Now().Elapsed) }

// Follow lets the hands go on to the vessel that is due where the one in hand only waits, and says so; "" where nothing
// changes. A face calls it with every look at the clock, but not while a line is typed.
func (o *Operator) Follow() string {
	moved := o.goTo(o.next(false, false))
	if moved != "" {
		o.recent = ""
	}
	return moved
}

// StartLine takes note that a line begins with a sign. So soon after a change it is meant for the vessel before it, and
// the hands go back there. refused says why the sign must not be taken: that vessel is through. The signs that follow
// it are not taken either, until there was a pause as long; and the next bare Enter does nothing.
func (o *Operator) StartLine(first rune) (refused string) {
	switch {
	case !o.Unseen():
		o.lost = false
	case o.Engine.State.Vessel(o.changed.from).Through == nil:
		o.Vessel, o.held, o.changed = o.changed.from, true, nil
	case !o.lost && strings.ContainsRune("zvw", first): // they are for the whole run
	case !o.lost && strings.ContainsRune("cugn@", first): // they can be done there, but nothing is to hold the hands
		o.Vessel, o.changed = o.changed.from, nil
	default:
		o.changed.at, o.lost = o.Engine.Now().Elapsed, true
		return "Nothing taken: vessel " + o.changed.from + " is through, and " + o.Vessel + " is in hand now. Wait a moment, then type it again."
	}
	return ""
}

// IsFor tells whether a line that is typed now is taken for the vessel, so that its letter need not be typed first.
func (o *Operator) IsFor(label string) bool {
	return label == o.Vessel && (o.held || !o.Unseen() && o.next(false, false) == label)
}

// choose takes a vessel by hand; it stays until an act was done on it.
func (o *Operator) choose(label string) {
	o.Vessel, o.held, o.changed, o.chosen, o.recent, o.struck = label, true, nil, true, "", nil
}

// goTo takes the vessel that the queue names, and says so if it is another one.
func (o *Operator) goTo(label string) string {
	if label == o.Vessel {
		return ""
	}
	o.changed = &change{o.Engine.Now().Elapsed, o.Vessel}
	o.Vessel, o.chosen = label, false
	w := o.View()
	what := w.Next
	if w.Stage != nil {
		what = w.Stage.Title
	}
	return "Vessel " + label + " now: " + what + "."
}

// Lost tells whether a sign that is typed now belongs to a line that was not taken, and is not taken either.
func (o *Operator) Lost() bool { return o.lost && o.Unseen() }

// Unseen tells whether the vessel in hand was changed so lately that nobody can have seen it.
func (o *Operator) Unseen() bool {
	return o.changed != nil && o.Engine.Now().Elapsed-o.changed.at < settling
}

// goOn goes on after an act was done; wasDue tells whether the vessel in hand was due before it.
func (o *Operator) goOn(c run.Command, wasDue bool) string {
	switch c.Do.(type) {
	case run.GoAway, run.AddVessel:
		return ""
	}
	if c.Vessel != "" && c.Vessel != o.Vessel { // a slip at another one was put right
		return o.goTo(o.next(false, false))
	}
	if c.Vessel != "" {
		o.held = false
	}
	return o.goTo(o.next(true, wasDue))
}

// next returns the vessel that the hands belong at: the head of the queue, where it is due and nothing holds them where
// they are. Where no window closes, that it comes first in the alphabet is no reason to go. acted tells that an act was
// just done; without one they leave only a vessel that waits. wasDue tells that the vessel in hand was due before the
// act: only when that is over does a vessel that waits to begin have its turn.
func (o *Operator) next(acted, wasDue bool) string {
	s := o.Engine.State
	if len(s.Vessels) < 2 || o.held || o.open != nil || o.unsaved != nil || !s.Acknowledged || s.Ended != nil {
		return o.Vessel
	}
	turns := o.Turns()
	i := slices.IndexFunc(turns, func(t run.Turn) bool { return t.Vessel == o.Vessel })
	switch {
	case len(turns) == 0 || i == 0 || i > 0 && !turns[0].Due():
		return o.Vessel
	case i < 0: // it is through
		return turns[0].Vessel
	}
	head, here := turns[0], turns[i]
	needs := o.needsHands(here) && !(head.Calls && o.Engine.State.Vessel(here.Vessel).Stage < 0)
	switch {
	case o.mustStay(here), needs && !acted:
		return o.Vessel
	case !o.needsHands(head) && !(acted && wasDue && !here.Due()):
		return o.Vessel
	case o.amid(here) && (head.Open || head.Closes > soon), needs && head.Open && !o.mustStay(head) && !here.Later:
		return o.Vessel
	}
	return head.Vessel
}

// needsHands tells whether a vessel is due that has begun, or that by the timetable is to begin; any other one may
// begin whenever the hands are free.
func (o *Operator) needsHands(t run.Turn) bool {
	return t.Due() && (t.Planned || o.Engine.State.Vessel(t.Vessel).Stage >= 0)
}

// mustStay tells whether the operator may not leave a vessel.
func (o *Operator) mustStay(t run.Turn) bool {
	v := o.Engine.State.Vessel(t.Vessel)
	return v.Stage >= 0 && o.Engine.State.Protocol.Stages[v.Stage].Attended
}

// amid tells whether the hands are in the middle of something at the vessel in hand: its step or portion has begun, and
// its time for the hands is not over.
func (o *Operator) amid(here run.Turn) bool {
	v, w := o.Engine.State.Vessel(here.Vessel), o.View()
	switch {
	case w.Stage == nil:
		return false
	case v.Phase == protocol.EndPhase:
		return true
	case v.Phase != protocol.HandsPhase || !here.Open && here.Closes <= 0:
		return false
	}
	return v.Step > 0 || w.Asked != nil && w.Asked.Running != nil || slices.ContainsFunc(v.Taken, func(t run.Taken) bool {
		return t.Reading.Stage == w.Stage && t.Portion == v.Portion
	})
}

// Turned tells what the forward key does at a vessel since so lately that whoever presses it can not have seen it: a
// reminder fell due, or the latest end passed. "" where time alone has changed nothing.
func (o *Operator) Turned(label string) string {
	s, now := o.Engine.State, o.Engine.Now().Elapsed
	if !s.Acknowledged || s.Away != nil || s.Ended != nil {
		return ""
	}
	before, does := s.Look(label, now-settling).Enter, s.Look(label, now).Enter
	if before == does {
		return ""
	}
	return does
}

// isDue tells whether the vessel in hand is due, if only to begin.
func (o *Operator) isDue() bool {
	return len(o.Engine.State.Vessels) > 1 && slices.ContainsFunc(o.Turns(), func(t run.Turn) bool {
		return t.Vessel == o.Vessel && t.Due()
	})
}
