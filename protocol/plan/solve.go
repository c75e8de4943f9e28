package plan

import "errors"

// An Effort bounds the work of planning, in steps of the search and not in time, so that the same problem always gives
// the same plan. Thorough takes two to three seconds at most.
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
	if v.soft = v.m.network(); v.soft == nil {
		return // no order of steps does this: it takes facts that contradict each other
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
	if s := m.newSweep(); s != nil {
		if out, through := v.swept(s, starts); out != nil || through {
			return out
		}
	}
	if starts != nil && starts[m.end] == v.low && m.over(starts) == 0 {
		return v.sooner(starts)
	}
	if tight := v.tight(v.low); tight != nil {
		return v.sooner(tight)
	}
	starts, through := v.shortest(starts)
	switch {
	case starts == nil:
		return nil
	case through || starts[m.end] == v.low:
		v.low = starts[m.end]
		if starts, through = v.leastOver(starts); through {
			return v.sooner(starts)
		}
		return v.plan(starts, false)
	}
	by := starts[m.end]
	starts, _ = v.waitLess(starts)
	return v.plan(v.improve(starts, by, true), false)
}

// shortest looks for a plan that ends earlier than starts, and tells whether there is none that ends earlier than what it
// returns.
func (v *solver) shortest(starts []int) ([]int, bool) {
	m := v.m
	s := &search{m: m, by: m.horizon(), best: m.horizon() + 1, aim: v.low, root: v.hard, budget: v.effort / 4}
	if starts != nil {
		s.by, s.best = starts[m.end]-1, starts[m.end]
	}
	if s.best <= v.low {
		return starts, true
	}
	if through := s.run(); through {
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

// halve tries ends between the bound and what is known, each half way to what cannot be reached with the work allowed.
func (v *solver) halve(starts []int) []int {
	low, high := v.low, v.m.horizon()
	if starts != nil {
		high = starts[v.m.end]
	}
	for tries := 0; tries < 8 && low < high; tries++ {
		by := (low + high) / 2
		s := &search{m: v.m, root: v.hard, by: by, best: by + 1, aim: by, budget: v.effort / 64}
		if s.run(); s.starts != nil {
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
	s := &search{m: v.m, root: root, by: by, best: by + 1, aim: by, budget: v.effort / 8}
	s.run()
	return s.starts
}

// leastOver minimises the over-wait of plans that end when these starts do, and tells whether it went through.
func (v *solver) leastOver(starts []int) ([]int, bool) {
	m, by := v.m, starts[v.m.end]
	starts, over := v.waitLess(starts)
	if over == 0 {
		return starts, true
	}
	if best := v.tight(by); best != nil {
		return best, true
	}
	s := v.cheaper(by, over-1, m.overWaits(1))
	if s == nil {
		return starts, true
	}
	s.best, s.budget = over, v.effort/4
	through := s.run()
	if s.starts != nil {
		starts = s.starts
	}
	if through = through || s.best == 0; !through {
		starts = v.improve(starts, by, true)
		through = m.over(starts) == 0
	}
	return starts, through
}

// sooner makes a plan of starts that nothing can better: of those that are as good, the one whose vessels start soonest.
func (v *solver) sooner(starts []int) *Plan {
	limits := v.limits()
	starts, over := v.waitLess(starts)
	s := v.cheaper(starts[v.m.end], over, limits)
	if s == nil || v.m.p.pinned != nil {
		return v.plan(starts, true)
	}
	s.best, s.budget = costOf(limits, starts), v.effort/16
	through := s.run()
	if s.starts != nil {
		starts = s.starts
	}
	out := v.plan(starts, true)
	out.Settled = through
	return out
}

// cheaper is a search among plans that end by some time and in which no wait is longer over its aim than some other time;
// nil when there are none.
func (v *solver) cheaper(by, over int, limits []weighted) *search {
	m := v.m
	root := newNetwork(m.n)
	root.copyFrom(v.hard)
	edges := append(v.windows(), edge{m.end, 0, -by})
	for _, l := range m.aims {
		edges = append(edges, edge{l.to, l.from, -l.within - over})
	}
	for _, e := range edges {
		if !root.add(e) {
			return nil
		}
	}
	return &search{m: m, by: by, root: root, timing: newTiming(m.n, edges, limits), least: limits}
}

// waitLess keeps the order of starts and gives their best times: no later end, and the least cost that goes with it.
func (v *solver) waitLess(starts []int) ([]int, int) {
	if s := v.timed(v.m.orderOf(starts)); s != nil {
		starts = s
	}
	return starts, v.m.over(starts)
}

// timed gives the best times that an order of steps allows; nil when it allows none.
func (v *solver) timed(order []edge) []int {
	m := v.m
	w := newNetwork(m.n)
	w.copyFrom(v.hard)
	for _, e := range order {
		if !w.add(e) {
			return nil
		}
	}
	end := edge{m.end, 0, -w.after(0, m.end)}
	w.add(end)
	s, _ := newTiming(m.n, append(v.windows(), end), v.limits()).best(order, w.earliest())
	return s
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
	if out.Proven, out.Bound = proven, v.m.time(v.low); proven {
		out.LeastOverWait = out.OverWait
	}
	return out
}
