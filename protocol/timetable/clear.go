package timetable

import (
	"slices"
	"time"

	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/protocol/run"
)

// clear returns a plan that keeps clear of the last minute of every window that ran while the hands were away; the plan
// that was made where it does so itself, misses a window, or would have to for it. In its last minute a wait calls, and
// comes first whatever the timetable says.
func (t *Task) clear(old, made *plan.Plan) *plan.Plan {
	short, beyond := t.shortened(made)
	if !beyond || made.Excess > 0 {
		return made
	}
	early, err := plan.Replan(plan.FromStarts(short, old.Start), t.stands.facts, t.now, t.frozen, secondEffort)
	if err != nil || early.Excess > 0 {
		return made
	}
	early.Proven = false
	return early
}

// secondEffort is that for the second plan of one moment.
const secondEffort = plan.Quick / 2

// shortened is the problem with those windows as wide as they should be used, and whether a plan goes beyond one.
func (t *Task) shortened(made *plan.Plan) (short *plan.Problem, beyond bool) {
	p := *t.problem
	p.Vessels = slices.Clone(p.Vessels)
	for i, facts := range t.stands.facts {
		v := &p.Vessels[i]
		v.Waits = slices.Clone(v.Waits)
		for k, w := range v.Waits {
			from := facts[w.From]
			if w.AtMost == plan.Forever || !from.Ended || from.End >= t.stands.returned || facts[w.To].Begun {
				continue
			}
			end := from.End.Round(time.Second) // as package plan has it
			v.Waits[k].AtMost = max(w.AtMost-run.CallsBefore, w.Aim, t.now.Round(time.Second)-end)
			beyond = beyond || made.Start[i][w.To]-end > v.Waits[k].AtMost
		}
	}
	return &p, beyond
}
