package timetable

import (
	"slices"
	"time"

	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/protocol/run"
)

// facts tell what of a vessel's steps has happened by now.
func (t *Task) facts(s *run.State, v *run.Vessel, i int) []plan.Fact {
	out := make([]plan.Fact, len(t.slots[i]))
	var before time.Duration // the end of the step before
	for j := range out {
		out[j] = t.fact(s, v, i, j, before)
		if out[j].Ended {
			before = out[j].End
		}
	}
	return out
}

func (t *Task) fact(s *run.State, v *run.Vessel, i, j int, before time.Duration) plan.Fact {
	at := t.slots[i][j]
	k := slices.IndexFunc(v.Spells, func(x run.Spell) bool { return x.Stage == at.stage && x.Portion == at.portion })
	switch {
	case k >= 0 && v.Spells[k].Ended:
		return over(v.Spells[k].From, v.Spells[k].To)
	case v.Through != nil:
		return over(v.Through.Elapsed, v.Through.Elapsed)
	case k >= 0 && (v.Spells[k].Touched || t.timed(i, j)):
		return plan.Fact{Begun: true, Start: v.Spells[k].From}
	case k >= 0 && t.inHand == v.Label && !t.isLater(i, j):
		return plan.Fact{Begun: true, Start: max(v.Spells[k].From, s.Acted)} // the hands came to it after their last act
	case v.Stage > at.stage: // skipped
		return over(before, before)
	}
	return plan.Fact{}
}

func over(from, to time.Duration) plan.Fact {
	return plan.Fact{Begun: true, Ended: true, Start: from, End: to}
}

// timed tells whether a step follows a wait, or is the first: then the hands were there when its turn came. Where the work
// may rest before it, either something was done in it, or the hands stand at it and are not planned to be elsewhere first.
func (t *Task) timed(i, j int) bool {
	return j == 0 || t.problem.Vessels[i].Waits[j-1].Aim != plan.Forever
}

// isLater tells whether the timetable that holds has the hands elsewhere before they come to a step.
func (t *Task) isLater(i, j int) bool {
	at, ok := t.turn(i, j)
	return ok && at-t.now >= apart
}

// apart is how far a turn lies ahead that the hands are not at yet.
const apart = 30 * time.Second
