package plan

import (
	"slices"
)

// A search branches on conflicts: in the best starts that the decisions so far allow, of the activities that are too many
// at the first such moment one must end before another starts. Every such pair is tried, so what is left when the search
// is through is the best there is.
type search struct {
	m      *model
	root   *network   // where it begins
	by     int        // the end is no later
	timing *timing    // nil: only the end counts
	aim    int        // as good as it can get: the search stops there
	least  []weighted // a quick bound: what waits cost at least
	best   int        // cost of the best starts found; what is not better is not followed
	starts []int      // nil: none found that is better than best was at first
	work   int
	budget int // work that may be done
	cut    bool

	levels []*level
	edges  []edge // decided so far
}

// A level is the state of the search at one depth.
type level struct {
	net  network
	open []pair // pairs that are not decided
	s    []int
	acts []edge
}

// run searches from its root, with at most the budget's work, and tells whether it went through to the end.
func (s *search) run() bool {
	s.edges, s.cut = s.edges[:0], false
	l := s.level(0)
	l.net.copyFrom(s.root)
	l.open = append(l.open[:0], s.m.pairs...)
	s.visit(0)
	return !s.cut
}

func (s *search) level(depth int) *level {
	for len(s.levels) <= depth {
		s.levels = append(s.levels, &level{})
	}
	return s.levels[depth]
}

func (s *search) done() bool { return s.cut || s.starts != nil && s.best <= s.aim }

func (s *search) visit(depth int) {
	l := s.level(depth)
	if s.spend(l); s.cut {
		return
	}
	if s.tooDeep(depth) {
		s.cut = true
		return
	}
	decided := len(s.edges)
	defer func() {
		s.edges = s.edges[:decided]
		s.spend(l)
	}()
	if !s.decide(l) || !s.fits(l) {
		return
	}
	starts, cost := s.evaluate(l)
	if cost >= s.best {
		return
	}
	acts := s.m.conflict(starts)
	if acts == nil {
		s.best, s.starts = cost, slices.Clone(starts)
		if s.timing == nil {
			s.by = cost - 1
		}
		return
	}
	for _, e := range s.branches(l, acts, starts) {
		if !l.net.possible(e, s.m.end, s.by) {
			continue
		}
		next := s.level(depth + 1)
		next.net.copyFrom(&l.net)
		next.open = append(next.open[:0], l.open...)
		if next.net.add(e) {
			s.edges = append(s.edges, e)
			s.visit(depth + 1)
			s.edges = s.edges[:len(s.edges)-1]
		}
		if s.done() {
			return
		}
		if not := (edge{e.to, e.from, 1 - e.after}); l.net.add(not) { // what held has been tried: the ways left are without it
			s.edges = append(s.edges, not)
		} else {
			return
		}
	}
}

// spend counts the work that was done since the last time: about as many steps as the machine takes.
func (s *search) spend(l *level) {
	s.work += l.net.work + 20*len(l.open) + 100*s.m.n
	l.net.work = 0
	if s.timing != nil {
		s.work += 8 * s.timing.work
		s.timing.work = 0
	}
	s.cut = s.cut || s.work > s.budget
}

// mostHeld is how many distances the levels may hold together.
const mostHeld = 50_000_000

// tooDeep tells whether one more level would take too much memory.
func (s *search) tooDeep(depth int) bool {
	return depth*s.m.n*s.m.n > mostHeld
}

// decide takes every decision that has one way left, and tells whether there is a way.
func (s *search) decide(l *level) bool {
	for again := true; again; {
		again = false
		open := l.open[:0]
		for i, p := range l.open {
			if l.net.after(p.a.from, p.a.to) >= p.a.after || l.net.after(p.b.from, p.b.to) >= p.b.after {
				continue
			}
			a, b := l.net.possible(p.a, s.m.end, s.by), l.net.possible(p.b, s.m.end, s.by)
			switch {
			case a && b:
				open = append(open, p)
				continue
			case !a && !b:
				return false
			case b:
				p.a = p.b
			}
			if !l.net.add(p.a) {
				l.open = append(open, l.open[i+1:]...)
				return false
			}
			s.edges = append(s.edges, p.a)
			again = true
		}
		l.open = open
	}
	return true
}

// fits holds the work of the pools and the shortest waits against what is allowed.
func (s *search) fits(l *level) bool {
	if l.net.after(0, s.m.end) > s.by {
		return false
	}
	if len(l.open) > 0 && len(s.m.pools[0].acts) < 200 {
		for i := range s.m.pools {
			if p := &s.m.pools[i]; p.places == 1 && oneByOne(s.m.jobs(p, &l.net, nil)) > s.by {
				return false
			}
		}
	}
	cost := 0
	for _, w := range s.least {
		if over := l.net.after(w.from, w.to) - w.within; over > 0 {
			cost += w.weight * over
		}
	}
	return cost < s.best
}

// evaluate returns the best starts that the decisions allow, were the pools without limits, and what they cost.
func (s *search) evaluate(l *level) ([]int, int) {
	l.s = l.s[:0]
	for i := 0; i < s.m.n; i++ {
		l.s = append(l.s, l.net.after(0, i))
	}
	if s.timing == nil {
		return l.s, l.s[s.m.end]
	}
	return s.timing.best(s.edges, l.s)
}

// branches returns the ways out of a conflict, the most promising first: the one that lets the end be early, then the
// one that moves least.
func (s *search) branches(l *level, acts []activity, starts []int) []edge {
	type way struct {
		edge
		end, move int
	}
	var ways []way
	for _, a := range acts {
		for _, b := range acts {
			if a == b {
				continue
			}
			e := s.m.after(a, b)
			ways = append(ways, way{e, l.net.after(0, e.from) + e.after + l.net.after(e.to, s.m.end), starts[e.from] + e.after - starts[e.to]})
		}
	}
	slices.SortStableFunc(ways, func(a, b way) int {
		if a.end != b.end {
			return a.end - b.end
		}
		return a.move - b.move
	})
	l.acts = l.acts[:0]
	for _, w := range ways {
		l.acts = append(l.acts, w.edge)
	}
	return l.acts
}
