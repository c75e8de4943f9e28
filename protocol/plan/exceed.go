package plan

import (
	"cmp"
	"slices"
)

// exceedLeast plans where the windows cannot all be kept: least excess, then the earliest end, then the least over-wait.
func (v *solver) exceedLeast(known *Plan) (*Plan, error) {
	m := v.m
	if v.soft == nil {
		return nil, ErrNoPlan
	}
	limits := m.costs()
	cost := func(s []int) int { return costOf(limits, s) }
	var best []int
	take := func(s []int) {
		if s = m.inOrder(s); s == nil || m.conflict(s) != nil {
			return
		}
		if s = v.retime(limits, s); best == nil || cost(s) < cost(best) {
			best = s
		}
	}
	if known != nil {
		take(m.startsOf(known))
	}
	take(m.dispatch(firstReady))
	take(m.dispatch(earliestClosing))
	s := &search{m: m, root: v.soft, by: -never, timing: newTiming(m.n, m.edges, limits), least: limits, best: plenty, budget: v.effort / 2}
	if best != nil {
		s.best = cost(best)
	}
	through := s.run()
	if s.starts != nil {
		best = s.starts
	}
	if best == nil {
		return nil, ErrNoPlan
	}
	out := v.plan(best, through)
	if out.Proven && out.Feasible() {
		out.Bound = out.Makespan
	}
	m.remedies(out)
	return out, nil
}

// retime gives starts the best times that keep their order.
func (v *solver) retime(limits []weighted, starts []int) []int {
	w := newNetwork(v.m.n)
	w.copyFrom(v.soft)
	further := v.m.orderOf(starts)
	for _, e := range further {
		if !w.add(e) {
			return starts
		}
	}
	s, _ := newTiming(v.m.n, v.m.edges, limits).best(further, w.earliest())
	return slices.Clone(s)
}

// costs weighs what a plan costs, so that any excess outweighs the whole time and any time the whole over-wait; where the
// numbers would grow too large the weights draw nearer to each other.
func (m *model) costs() []weighted {
	most := 2 * m.horizon() * (len(m.aims) + len(m.most) + 1)
	end := min(most, 1<<20)
	excess := min(most*end, plenty/4/most)
	out := m.overWaits(1)
	for _, l := range m.most {
		out = append(out, weighted{l, max(excess, 1)})
	}
	return append(out, weighted{limit{0, m.end, 0}, end})
}

func costOf(limits []weighted, s []int) int {
	sum := 0
	for _, l := range limits {
		sum += l.weight * max(0, s[l.to]-s[l.from]-l.within)
	}
	return sum
}

// remedies says for each violated window what may give way.
func (m *model) remedies(p *Plan) {
	for i := range p.Violations {
		x := &p.Violations[i]
		x.Remedy = "more hands or places, or fewer vessels, would keep it"
		if m.alone(x) {
			x.Remedy = "its own waits contradict each other, whatever the others do: widen one of them"
			continue
		}
		if who, step := m.rival(p, x); who != "" {
			x.Remedy = step + " of vessel " + who + " may safely give way: it has no latest start to be missed"
		}
	}
}

// alone tells whether a vessel breaks its windows even without the others.
func (m *model) alone(x *Violation) bool {
	for _, vessel := range m.p.Vessels {
		if vessel.Label != x.Vessel {
			continue
		}
		single := &Problem{Vessels: []Vessel{vessel}, Operators: m.p.Operators, Places: m.p.Places}
		one := single.model()
		w := newNetwork(one.n)
		for _, e := range one.edges {
			w.add(e)
		}
		for _, l := range one.most {
			if !w.add(edge{l.to, l.from, -l.within}) {
				return true
			}
		}
	}
	return false
}

// rival finds the step of another vessel that keeps the hands while the window runs out, and that itself may wait.
func (m *model) rival(p *Plan, x *Violation) (vessel, step string) {
	var from, to int
	for v := range m.p.Vessels {
		if m.p.Vessels[v].Label != x.Vessel {
			continue
		}
		for j, s := range m.p.Vessels[v].Steps {
			switch s.ID {
			case x.From:
				from = int(p.End(v, j))
			case x.To:
				to = int(p.Start[v][j])
			}
		}
	}
	for v, other := range m.p.Vessels {
		if other.Label == x.Vessel {
			continue
		}
		for j, s := range other.Steps {
			if int(p.End(v, j)) > from && int(p.Start[v][j]) < to && s.Operators > 0 && !m.pinned(v, j) && !other.bounded(j) {
				return other.Label, cmp.Or(s.Title, s.ID)
			}
		}
	}
	return "", ""
}

// bounded tells whether a step must start by some time after another.
func (v Vessel) bounded(step int) bool {
	for _, w := range v.Waits {
		if w.To == step && w.AtMost != Forever {
			return true
		}
	}
	return false
}
