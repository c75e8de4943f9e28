package plan

import (
	"errors"
)

// An Effort bounds the work of planning, in steps of the search and not in time, so that the same problem always gives
// the same plan. Thorough takes one or two seconds at most.
type Effort int

// The efforts: Thorough before a run, Quick while one goes on.
const (
	Thorough Effort = 3_000_000_000
	Quick    Effort = 60_000_000
)

// ErrNoPlan says that the vessels would wait for each other's places for ever.
var ErrNoPlan = errors.New("a vessel needs a place that it holds itself; write more places for that resource")

// Solve plans a problem. There is always a plan: where windows cannot be kept it is the one that exceeds them least.
func Solve(p *Problem, effort Effort) (*Plan, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	return solve(p, effort, nil)
}

// solve plans from starts that are known to be possible, nil when none are.
func solve(p *Problem, effort Effort, known *Plan) (*Plan, error) {
	m := p.model()
	if m.horizon() > mostTicks {
		return nil, errors.New("the times are told too finely for their length; write whole seconds or minutes")
	}
	v := &solver{m: m, effort: int(effort)}
	if v.root(); v.hard != nil {
		if out := v.keepWindows(known); out != nil {
			return out, nil
		}
	}
	return v.exceedLeast(known)
}

// mostTicks keeps sums of times within what a network can hold.
const mostTicks = 1 << 26

// A solver holds what the parts of planning share.
type solver struct {
	m      *model
	effort int
	soft   *network // without latest ends
	hard   *network // with them; nil: they contradict each other
	low    int      // no plan that keeps its windows ends earlier

}

func (v *solver) root() {
	v.soft = newNetwork(v.m.n)
	for _, e := range v.m.edges {
		if !v.soft.add(e) {
			v.soft = nil // no order of steps does this: it takes facts that contradict each other
			return
		}
	}
	hard := newNetwork(v.m.n)
	hard.copyFrom(v.soft)
	for _, l := range v.m.most {
		if !hard.add(edge{l.to, l.from, -l.within}) {
			return
		}
	}
	v.hard, v.low = hard, v.m.bound(hard)
}

// horizon is a time by which everything can be done, one vessel after the other.
func (m *model) horizon() int {
	sum := m.ticks(m.p.earliest)
	for _, d := range m.d {
		sum += d
	}
	for _, e := range m.edges {
		if e.from == 0 {
			sum = max(sum, sum-m.ticks(m.p.earliest)+e.after)
		} else if e.to != 0 && e.to != m.end {
			sum += max(0, e.after-m.d[e.from])
		}
	}
	return 2*sum + 1
}

// keepWindows returns the best plan that keeps all windows; nil when none was found.
func (v *solver) keepWindows(known *Plan) *Plan {
	m := v.m
	starts := v.firstPlan(known)
	if starts != nil && starts[m.end] == v.low && m.over(starts) == 0 {
		return v.plan(starts, true)
	}
	if tight := v.tight(v.low); tight != nil {
		return v.plan(tight, true)
	}
	starts, through := v.shortest(starts)
	switch {
	case starts == nil:
		return nil
	case through || starts[m.end] == v.low:
		v.low = starts[m.end]
		return v.leastOver(starts)
	}
	by := starts[m.end]
	starts, _ = v.waitLess(starts)
	return v.plan(v.improve(starts, by, true), false)
}

// shortest looks for a plan that ends earlier than starts, and tells whether there is none that ends earlier than what it
// returns.
func (v *solver) shortest(starts []int) ([]int, bool) {
	m := v.m
	s := &search{m: m, by: m.horizon(), best: m.horizon() + 1, aim: v.low, budget: v.effort / 4}
	if starts != nil {
		s.by, s.best = starts[m.end]-1, starts[m.end]
	}
	if s.best <= v.low {
		return starts, true
	}
	if through := s.run(v.hard); through {
		if s.starts != nil {
			starts = s.starts
		}
		return starts, true
	}
	if s.starts != nil {
		starts = s.starts
	}
	if starts = v.halve(starts); starts == nil {
		return nil, false
	}
	starts = v.improve(starts, m.horizon(), false)
	return starts, starts[m.end] == v.low
}

// halve tries ends between the bound and what is known, each half way to what cannot be reached in the nodes allowed.
func (v *solver) halve(starts []int) []int {
	low, high := v.low, v.m.horizon()
	if starts != nil {
		high = starts[v.m.end]
	}
	for tries := 0; tries < 8 && low < high; tries++ {
		by := (low + high) / 2
		s := &search{m: v.m, by: by, best: by + 1, aim: by, budget: v.effort / 64}
		if s.run(v.hard); s.starts != nil {
			starts, high = s.starts, s.starts[v.m.end]
		} else {
			low = by + 1
		}
	}
	if in := v.m.newInserter(v.m.horizon()); starts == nil && in != nil {
		if put := in.build(); put != nil {
			starts, _ = v.waitLess(v.m.inOrder(put))
		}
	}
	return starts
}

// firstPlan takes what can be had without a search: what is known, and what a simple rule gives.
func (v *solver) firstPlan(known *Plan) []int {
	var best []int
	take := func(s []int) {
		if s = v.m.inOrder(s); s == nil || v.m.excess(s) > 0 || v.m.conflict(s) != nil {
			return
		}
		if s, _ = v.waitLess(s); best == nil || s[v.m.end] < best[v.m.end] ||
			s[v.m.end] == best[v.m.end] && v.m.over(s) < v.m.over(best) {
			best = s
		}
	}
	if known != nil {
		take(v.m.startsOf(known))
	}
	take(v.m.dispatch(earliestClosing))
	return best
}

// tight looks for a plan that ends by a moment without any over-wait: one that nothing can better.
func (v *solver) tight(by int) []int {
	root := newNetwork(v.m.n)
	root.copyFrom(v.hard)
	for _, l := range v.m.aims {
		if !root.add(edge{l.to, l.from, -l.within}) {
			return nil
		}
	}
	if !root.add(edge{v.m.end, 0, -by}) {
		return nil
	}
	s := &search{m: v.m, by: by, best: by + 1, aim: by, budget: v.effort / 8}
	s.run(root)
	return s.starts
}

// leastOver minimises the over-wait of plans that end when these starts do.
func (v *solver) leastOver(starts []int) *Plan {
	m, by := v.m, starts[v.m.end]
	starts, over := v.waitLess(starts)
	if over == 0 {
		return v.plan(starts, true)
	}
	if best, through := v.noIdle(by, over); through {
		if best != nil {
			starts = best
		}
		return v.plan(starts, true)
	}
	if best := v.tight(by); best != nil {
		return v.plan(best, true)
	}
	root := newNetwork(m.n)
	root.copyFrom(v.hard)
	edges := append(v.windows(), edge{m.end, 0, -by})
	root.add(edge{m.end, 0, -by})
	for _, l := range m.aims { // no wait alone may cost as much as the best plan
		e := edge{l.to, l.from, -l.within - over + 1}
		edges = append(edges, e)
		if !root.add(e) {
			return v.plan(starts, true)
		}
	}
	limits := m.overWaits(1)
	s := &search{m: m, by: by, timing: newTiming(m.n, edges, limits), least: limits, best: over, budget: v.effort / 4}
	through := s.run(root)
	if s.starts != nil {
		starts = s.starts
	}
	if through = through || s.best == 0; !through {
		starts = v.improve(starts, by, true)
		through = m.over(starts) == 0
	}
	return v.plan(starts, through)
}

// waitLess keeps the order of starts and gives their best times: no later end, and the least over-wait that goes with it.
func (v *solver) waitLess(starts []int) ([]int, int) {
	m := v.m
	w := newNetwork(m.n)
	w.copyFrom(v.hard)
	further := m.orderOf(starts)
	for _, e := range further {
		if !w.add(e) {
			return starts, m.over(starts)
		}
	}
	end := edge{m.end, 0, -w.after(0, m.end)}
	w.add(end)
	s, over := newTiming(m.n, append(v.windows(), end), m.overWaits(1)).best(further, w.earliest())
	return s, over
}

// earliest returns the earliest start of each node.
func (w *network) earliest() []int {
	s := make([]int, w.n)
	for i := range s {
		s[i] = w.after(0, i)
	}
	return s
}

// plan makes a plan of starts.
func (v *solver) plan(s []int, proven bool) *Plan {
	out := v.m.plan(v.m.inOrder(s))
	out.Proven, out.Bound = proven, v.m.time(v.low)
	return out
}
