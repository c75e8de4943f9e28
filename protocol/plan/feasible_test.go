package plan

import (
	"fmt"
	"time"
)

// faults checks a plan against its problem from the statement alone, moment by moment. It shares nothing with the planner.
func faults(p *Problem, plan *Plan) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	var end, over, excess time.Duration
	var moments []time.Duration
	for v, vessel := range p.Vessels {
		s := plan.Start[v]
		for j, step := range vessel.Steps {
			if s[j] < 0 {
				say("%s %s starts before the beginning", vessel.Label, step.ID)
			}
			moments = append(moments, s[j])
			end = max(end, s[j]+step.Hands)
		}
		for _, w := range vessel.Waits {
			took := s[w.To] - s[w.From] - vessel.Steps[w.From].Hands
			if took < w.AtLeast {
				say("%s: wait %d > %d lasts %v, at least %v", vessel.Label, w.From, w.To, took, w.AtLeast)
			}
			if w.Aim != Forever {
				over += max(0, took-w.Aim)
			}
			if w.AtMost != Forever {
				excess += max(0, took-w.AtMost)
			}
		}
	}
	for _, b := range p.Breaks {
		moments = append(moments, b.From)
	}
	for _, at := range moments {
		busy := map[string]int{}
		for v, vessel := range p.Vessels {
			held := map[string]int{}
			for _, h := range vessel.Holds {
				if plan.Start[v][h.From] <= at && at < plan.Start[v][h.To]+vessel.Steps[h.To].Hands {
					held[h.Resource]++
				}
			}
			for j, step := range vessel.Steps {
				if s := plan.Start[v][j]; s <= at && at < s+step.Hands {
					busy["operators"] += step.Operators
					for _, r := range step.Uses {
						held[r] = max(held[r], 1) // a place that is held already is used
					}
				}
			}
			for r, n := range held {
				busy[r] += n
			}
		}
		for _, b := range p.Breaks {
			if b.From <= at && at < b.To && busy["operators"] > 0 {
				say("hands are busy in a break, at %v", at)
			}
		}
		for r, n := range busy {
			most := 1
			if r == "operators" {
				most = p.Operators
			}
			for _, place := range p.Places {
				if place.Resource == r {
					most = place.Places
				}
			}
			if n > most {
				say("%d of %s are taken at %v, there are %d", n, r, at, most)
			}
		}
	}
	if end != plan.Makespan || over != plan.OverWait || excess != plan.Excess {
		say("makespan %v, over-wait %v, excess %v; the plan says %v, %v, %v", end, over, excess, plan.Makespan, plan.OverWait, plan.Excess)
	}
	return out
}
