package timetable

import (
	"testing"
	"time"

	"example.org/meniscus/protocol/plan"
)

// TestShortened: a window is a minute shorter if it ran while the hands were away and still runs, but no shorter than its aim
// and no shorter than it has been already. Times are in seconds; the hands are back at 600 s.
func TestShortened(t *testing.T) {
	const s = time.Second
	over := func(at time.Duration) plan.Fact { return plan.Fact{Begun: true, Ended: true, Start: 0, End: at * s} }
	goesOn := plan.Fact{Begun: true, Start: 100 * s}
	for name, test := range map[string]struct {
		aim, most time.Duration
		from, to  plan.Fact
		now       float64
		want      time.Duration
		at        time.Duration // when the plan has the wait end
		beyond    bool
	}{
		"it ran":                 {300, 900, over(100), plan.Fact{}, 600, 840, 940, false},
		"and is used further":    {300, 900, over(100), plan.Fact{}, 600, 840, 941, true},
		"its aim":                {870, 900, over(100), plan.Fact{}, 600, 870, 970, false},
		"so long already":        {300, 900, over(100), plan.Fact{}, 955, 855, 955, false},
		"and half a second":      {300, 900, over(100), plan.Fact{}, 955.6, 856, 956, false},
		"the work goes on":       {300, 900, goesOn, plan.Fact{}, 600, 900, 2000, false},
		"begun since":            {300, 900, over(600), plan.Fact{}, 700, 900, 1500, false},
		"over":                   {300, 900, over(100), over(990), 995, 900, 990, false},
		"without a latest end":   {300, 0, over(100), plan.Fact{}, 600, 0, 2000, false},
		"nothing is begun of it": {300, 900, plan.Fact{}, plan.Fact{}, 600, 900, 2000, false},
	} {
		most := func(t time.Duration) time.Duration {
			if t == 0 {
				return plan.Forever
			}
			return t * s
		}
		v := plan.Vessel{Label: "A", Steps: []plan.Step{{ID: "a", Operators: 1}, {ID: "b", Operators: 1}},
			Waits: []plan.Wait{{From: 0, To: 1, AtLeast: 100 * s, Aim: test.aim * s, AtMost: most(test.most)}}}
		p := &plan.Problem{Operators: 1, Vessels: []plan.Vessel{v}}
		task := &Task{now: time.Duration(test.now * float64(s)), problem: p, stands: standing{returned: 600 * s, facts: [][]plan.Fact{{test.from, test.to}}}}
		short, beyond := task.shortened(plan.FromStarts(p, [][]time.Duration{{0, test.at * s}}))
		if got := short.Vessels[0].Waits[0].AtMost; got != most(test.want) || beyond != test.beyond {
			t.Errorf("%s: %v, beyond it %v; want %v and %v", name, got, beyond, most(test.want), test.beyond)
		}
		if p.Vessels[0].Waits[0].AtMost != most(test.most) {
			t.Errorf("%s: the problem itself was changed", name)
		}
	}
}
