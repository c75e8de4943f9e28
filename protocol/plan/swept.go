package plan

// The widths of sweeps: for the shortest plan from narrow on, each longer times the one before; for the cheapest plan from
// wide on, each cheaper times the one before.
const (
	narrow, longer = 32, 5
	wide, cheaper  = 256, 10
)

// swept plans by sweeping: first the shortest plan, then of those the one that costs least. A step of a sweep is worth three
// of the effort. It returns nil where no plan was found; through tells that there is none that keeps its windows.
func (v *solver) swept(s *sweep, starts []int) (out *Plan, through bool) {
	starts, through = v.sweepShort(s, starts)
	if starts == nil {
		return nil, through
	}
	return v.sweepCheap(s, starts, through), through
}

// sweepShort looks for the shortest plan by wider and wider sweeps.
func (v *solver) sweepShort(s *sweep, starts []int) ([]int, bool) {
	end := v.m.end
	s.budget = v.effort / 6
	for s.width = narrow; ; {
		s.by = v.m.horizon()
		if starts != nil {
			s.by = starts[end] - 1
		}
		if s.by < v.low {
			return starts, true
		}
		way, through := s.run()
		found := v.along(s, way)
		if found != nil {
			starts = found
		}
		switch {
		case way != nil && found == nil:
			return starts, false // what has happened leaves no such way after all
		case through:
			if starts != nil {
				v.low = starts[end]
			}
			return starts, true
		case starts != nil:
			v.low = max(v.low, min(s.dropped, starts[end]))
		}
		if !s.widen(longer) {
			return starts, starts != nil && starts[end] == v.low
		}
	}
}

// mostWide keeps what a sweep holds within some hundred megabytes.
const mostWide = 13_000_000

// widen makes the next sweep wider; false when it would take too much time or room.
func (s *sweep) widen(times int) bool {
	width := min(s.width*times, mostWide/(s.n*s.n*s.n))
	if s.work > s.budget || width <= s.width {
		return false
	}
	s.width = width
	return true
}

// sweepCheap looks for the plan that costs least and ends no later than starts.
func (v *solver) sweepCheap(s *sweep, starts []int, shortest bool) *Plan {
	limits, low := v.limits(), 0
	best := costOf(limits, starts)
	s.paid, s.by, s.budget = true, starts[v.m.end], v.effort*2/5
	s.over, s.delay = v.weigh()
	s.width = wide
	for again := s.work <= s.budget; again && low < best; again = s.widen(cheaper) {
		s.cap = best - 1
		way, through := s.run()
		found := v.along(s, way)
		if way != nil && found == nil {
			break // what has happened leaves no such way after all
		}
		if found != nil && costOf(limits, found) < best {
			starts, best = found, costOf(limits, found)
		}
		if through {
			s.dropped = best
		}
		low = max(low, min(s.dropped, best))
	}
	over := v.m.over(starts)
	if low < s.over && low < best { // where the hands have time to spare a search does better, if it need not weigh anything up
		tight := starts
		if over > 0 {
			tight = v.tight(starts[v.m.end])
		}
		if tight != nil {
			out := v.sooner(tight)
			out.Proven, out.Settled = shortest, shortest && out.Settled // nothing waits less, however long the plan
			return out
		}
	}
	out := v.plan(starts, shortest && low >= s.over*over)
	out.LeastOverWait = v.m.time(min(low/s.over, over))
	out.Settled = out.Proven && s.delay > 0 && low >= best
	return out
}

// along gives the steps of a way their best times; nil when there is no way.
func (v *solver) along(s *sweep, way []move) []int {
	if way == nil {
		return nil
	}
	m := v.m
	starts := v.timed(s.orderOf(way))
	if starts == nil || m.excess(starts) > 0 || m.conflict(starts) != nil {
		return nil
	}
	return starts
}

// orderOf returns the edges that keep the order of a way.
func (s *sweep) orderOf(way []move) []edge {
	m := s.m
	var order []edge
	var done, latest [mostLanes]int
	for u := range s.lanes {
		if done[u] = s.lanes[u].first; done[u] > 0 {
			latest[u] = s.lanes[u].links[done[u]-1].node
		}
	}
	before := 0
	for _, step := range way {
		v := int(step.lane)
		node := s.lanes[v].links[done[v]].node
		order = append(order, edge{before, node, 0})
		for u, last := range latest {
			if last > 0 && u != v && step.beside>>u&1 == 0 {
				order = append(order, edge{last, node, m.d[last]})
			}
		}
		g := int(step.gap)
		if g > 0 {
			order = append(order, edge{m.end + g, node, m.d[m.end+g]})
		}
		if g+1 < len(s.when(v, done[v])) {
			order = append(order, edge{node, m.end + g + 1, m.d[node]})
		}
		done[v]++
		latest[v], before = node, node
	}
	return order
}

// weigh returns what a unit over an aim costs, and a unit by which a vessel starts later: so much less that no start makes
// up for any over-wait. While a run goes on starts cost nothing, so that they are not moved about for little.
func (v *solver) weigh() (over, delay int) {
	if v.m.p.pinned != nil {
		return 1, 0
	}
	return len(v.m.first)*v.m.horizon() + 1, 1
}

// limits lists what a plan costs of those that end when it does.
func (v *solver) limits() []weighted {
	over, delay := v.weigh()
	out := v.m.overWaits(over)
	for _, first := range v.m.first {
		if delay > 0 {
			out = append(out, weighted{limit{0, first, 0}, delay})
		}
	}
	return out
}
