package timetable

import (
	"slices"
	"time"

	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/protocol/run"
)

// old is the plan that holds, as package plan has it. A vessel that it does not have comes after all others.
func (t *Task) old() *plan.Plan {
	var all [][]time.Duration
	after := max(time.Duration(t.last.End), t.now) + plan.FrozenFor
	for i, v := range t.problem.Vessels {
		starts := make([]time.Duration, len(v.Steps))
		for j := range v.Steps {
			at, ok := t.starts(i, j)
			if !ok {
				at, after = after, after+time.Minute
			}
			starts[j] = at
		}
		all = append(all, starts)
	}
	return plan.FromStarts(t.problem, all)
}

// starts returns when a step began, or when the timetable that holds has it begin.
func (t *Task) starts(i, j int) (time.Duration, bool) {
	if f := t.stands.facts[i][j]; f.Begun {
		return f.Start, true
	}
	if t.slots[i][j].ends {
		return t.through(i, j)
	}
	return t.turn(i, j)
}

// turn returns when the timetable that holds has a step begin.
func (t *Task) turn(i, j int) (time.Duration, bool) {
	if t.last == nil {
		return 0, false
	}
	at := t.slots[i][j]
	turn := run.PlannedTurn{Vessel: t.problem.Vessels[i].Label, Stage: at.id, Portion: at.portion}
	if k := slices.IndexFunc(t.last.Turns, turn.IsTurn); k >= 0 {
		return time.Duration(t.last.Turns[k].Start), true
	}
	return 0, false
}

// through returns when a vessel is through: when the last of its waits is over.
func (t *Task) through(i, j int) (time.Duration, bool) {
	v, before := t.problem.Vessels[i], t.stands.facts[i][j-1]
	if before.Ended {
		return before.End + v.Waits[j-1].AtLeast, true
	}
	at, ok := t.starts(i, j-1)
	return at + v.Steps[j-1].Hands + v.Waits[j-1].AtLeast, ok
}
