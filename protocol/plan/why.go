package plan

import "time"

// Reasons say why a plan is as long as it is.
type Reasons struct {
	Alone   time.Duration // how long the slowest vessel takes without the others
	Loads   []Load        // the hands first, then the resources
	Savings []Saving
}

// A Load is how busy a resource is in a plan.
type Load struct {
	Resource string
	Places   int
	Busy     time.Duration // the time of all places together
	Share    float64       // of the makespan times places
	AtLeast  time.Duration // no plan is shorter, for this resource alone
}

// A Saving is what one more of something would save. Proven says that no plan is shorter than the one with it.
type Saving struct {
	Resource string // "operators" for hands
	Now      int
	Saves    time.Duration
	Excess   time.Duration // what windows are exceeded then
	Proven   bool
}

// Why works out what binds a plan and what one more place or pair of hands would save.
func Why(plan *Plan, effort Effort) Reasons {
	p := plan.Problem
	m := p.model()
	w := newNetwork(m.n)
	for _, e := range m.edges {
		w.add(e)
	}
	var out Reasons
	for v := range p.Vessels {
		for j := range p.Vessels[v].Steps {
			node := m.first[v] + j
			out.Alone = max(out.Alone, m.time(w.after(m.first[v], node)+m.d[node]))
		}
	}
	starts := m.startsOf(plan)
	for i := range m.pools {
		out.Loads = append(out.Loads, m.load(&m.pools[i], w, starts))
	}
	for _, l := range out.Loads {
		more := *p
		if l.Resource == hands {
			more.Operators++
		} else {
			more.Places = append([]Place{{l.Resource, l.Places + 1}}, p.Places...)
		}
		s := Saving{Resource: l.Resource, Now: l.Places, Excess: plan.Excess}
		if better, err := Solve(&more, effort); err == nil {
			s.Saves, s.Excess, s.Proven = max(0, plan.Makespan-better.Makespan), better.Excess, better.Bound == better.Makespan
		}
		out.Savings = append(out.Savings, s)
	}
	return out
}

func (m *model) load(p *pool, w *network, starts []int) Load {
	busy := 0
	for _, a := range p.acts {
		if a.from < m.end {
			busy += a.amount * (starts[a.to] + m.d[a.to] - starts[a.from])
		}
	}
	out := Load{Resource: p.resource, Places: p.places, Busy: m.time(busy)}
	if end := starts[m.end] * p.places; end > 0 {
		out.Share = float64(busy) / float64(end)
	}
	jobs := m.jobs(p, w, nil)
	if p.places == 1 {
		out.AtLeast = m.time(oneByOne(jobs))
	} else {
		out.AtLeast = m.time(together(jobs, p.places))
	}
	return out
}
