package timetable

import (
	"math/bits"
	"slices"
	"time"

	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/protocol/run"
)

// A Keeper remembers for which standing of a run a timetable was last asked. Its zero value has asked for none.
type Keeper struct {
	looked bool
	event  int  // the last one that was looked at
	late   int  // the most overdue that a timetable was asked for since something was done
	unkept bool // what was found last could not be recorded
	last   standing
}

// A standing is all of a run that a timetable depends on.
type standing struct {
	facts    [][]plan.Fact // by vessel and step
	extended []time.Duration
	returned time.Duration
}

func (a standing) equal(b standing) bool {
	return a.returned == b.returned && slices.Equal(a.extended, b.extended) &&
		slices.EqualFunc(a.facts, b.facts, func(x, y []plan.Fact) bool { return slices.Equal(x, y) })
}

// wanted tells whether a run has a timetable: it was begun with one, it has several vessels, and the hands are here.
func wanted(s *run.State) bool {
	return s.Bench != nil && s.Acknowledged && s.Ended == nil && s.Away == nil && len(s.Vessels) > 1
}

// Ask returns what is to be planned at a moment of the run's clock; nil where nothing has changed since it last did, or
// the run has no timetable. inHand is the vessel that the hands are at. It is cheap enough to be called with every look at
// the clock.
func (k *Keeper) Ask(s *run.State, now time.Duration, inHand string) *Task {
	if !wanted(s) {
		return nil
	}
	late, acted := overdue(s, now, inHand), !k.looked || k.event != s.Last.N
	if !acted && late <= k.late {
		return nil
	}
	t := newTask(s, now, inHand)
	same := k.looked && k.last.equal(t.stands)
	again := same && late <= k.late && !k.unkept
	k.looked, k.event, k.late, k.unkept, k.last = true, s.Last.N, late, false, t.stands
	if again {
		return nil
	}
	return t
}

// Kept takes note that what was found is recorded: the timetable itself is no news.
func (k *Keeper) Kept(s *run.State) { k.event = s.Last.N }

// NotKept takes note that what was found could not be recorded: it is asked for again once something else was.
func (k *Keeper) NotKept() { k.unkept = true }

// Outdated takes note that the run went on before what was found for it could be recorded: it is asked for again at once.
func (k *Keeper) Outdated() { k.looked = false }

// Stands tells whether the run still is as it was when the task was handed out.
func (t *Task) Stands(s *run.State) bool {
	return wanted(s) && newTask(s, t.now, t.inHand).stands.equal(t.stands)
}

// overdue tells how late the turn is that nobody has taken up for the longest time: 0 below a minute, then one more for
// each doubling. Before anything has begun nothing is late.
func overdue(s *run.State, now time.Duration, inHand string) int {
	table := s.Timetable()
	if table == nil || !slices.ContainsFunc(s.Vessels, func(v *run.Vessel) bool { return v.Stage >= 0 }) {
		return 0
	}
	var most time.Duration
	last := ""
	for _, t := range table.Turns {
		if t.Vessel == last || Passed(s, t) {
			continue
		}
		if last = t.Vessel; inHand == last && spell(s, t) != nil {
			continue // the hands are at it
		}
		most = max(most, now-time.Duration(t.Start))
	}
	return bits.Len(uint(most / time.Minute))
}

// Passed tells whether the hands have begun with a turn of the timetable, or never will.
func Passed(s *run.State, t run.PlannedTurn) bool {
	v, at := s.Vessel(t.Vessel), place(s.Protocol, t.Stage)
	if v.Through != nil || v.Stage > at {
		return true
	}
	x := spell(s, t)
	return x != nil && x.Touched
}

// spell returns the time that the hands had for a turn of the timetable; nil while there is none.
func spell(s *run.State, t run.PlannedTurn) *run.Spell {
	v, at := s.Vessel(t.Vessel), place(s.Protocol, t.Stage)
	for i := range v.Spells {
		if x := &v.Spells[i]; x.Stage == at && x.Portion == t.Portion {
			return x
		}
	}
	return nil
}
