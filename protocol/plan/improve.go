package plan

import "math/rand/v2"

// improve makes a plan better by planning a part of it anew while the rest keeps its order: two vessels, or all that is
// done within some time. It returns the best starts and does not end later than by; with weigh the over-wait is
// lowered, else the end. The same starts always lead to the same plan.
func (v *solver) improve(starts []int, by int, weigh bool) []int {
	m := v.m
	chance := rand.New(rand.NewPCG(uint64(m.n), uint64(len(m.edges))))
	for work := 0; work < v.effort/4; {
		free := v.part(starts, chance)
		s := &search{m: m, by: by, budget: v.effort / 400, aim: v.low}
		root, edges := newNetwork(m.n), m.edges
		s.root = root
		root.copyFrom(v.hard)
		if weigh {
			s.best, s.aim, s.least = m.over(starts), 0, m.overWaits(1)
			edges = append(v.windows(), edge{m.end, 0, -by})
			root.add(edge{m.end, 0, -by})
		} else {
			s.best = starts[m.end]
			s.by = s.best - 1
		}
		if s.best <= s.aim {
			return starts
		}
		kept := true
		for _, e := range m.orderOf(starts) {
			if !free[e.from] && !free[e.to] {
				kept = kept && root.add(e)
				if weigh {
					edges = append(edges, e)
				}
			}
		}
		if !kept {
			work += root.work
			continue
		}
		if weigh {
			s.timing = newTiming(m.n, edges, s.least)
		}
		if s.run(); s.starts != nil {
			starts = s.starts
		}
		work += s.work + root.work
	}
	return starts
}

// part chooses the nodes that are planned anew.
func (v *solver) part(starts []int, chance *rand.Rand) []bool {
	m := v.m
	free := make([]bool, m.n)
	if n := len(m.first); chance.IntN(2) == 0 && n > 2 {
		for _, u := range chance.Perm(n)[:2] {
			for j := range m.p.Vessels[u].Steps {
				free[m.first[u]+j] = true
			}
		}
		return free
	}
	span := starts[m.end]/6 + 1
	from := chance.IntN(max(starts[m.end]-span, 1))
	for i := 1; i < m.end; i++ {
		free[i] = starts[i] >= from && starts[i] < from+2*span
	}
	return free
}

// windows returns all edges of plans that keep their windows.
func (v *solver) windows() []edge {
	out := make([]edge, 0, len(v.m.edges)+len(v.m.most)+1)
	out = append(out, v.m.edges...)
	for _, l := range v.m.most {
		out = append(out, edge{l.to, l.from, -l.within})
	}
	return out
}
