package plan

import "slices"

// A sweep goes through all that can have been done after one step, after two steps and so on. All times at which that can
// have been done are kept at once, as a zone. A state that another one makes needless is left out: with the same steps
// done, at no other times and for no more. Where a layer has more states than the width, the worst are dropped; where
// nothing had to be dropped, what is found is the best there is.
type sweep struct {
	m     *model
	lanes []lane
	due   []int // lanes whose steps come first, in this order
	gaps  []gap
	n     int // moments of a zone: the start, when the next step begins at the earliest, and the end of each lane's last step

	overlap bool // steps may go on side by side: they are gone through in the order of their beginnings
	bounds  []view

	by    int  // the end is no later
	paid  bool // the price is lowered; otherwise the end
	over  int  // price of each unit beyond an aim
	delay int  // price of each unit that a vessel starts later
	cap   int  // what would cost more is left out
	width int

	work, budget int  // about as many steps as the machine takes, and when to grow narrow
	dropped      int  // nothing better than this was dropped
	cut          bool // something was dropped
	free         []*state
	known        map[progress][]*state
	next         []*state
}

// A progress is how many links of each lane have been done, or have begun where they overlap. Of the lanes that wait beyond
// their aim the wait so far is in the price; the last link of those that are on may still go on.
type progress struct {
	done       [mostLanes]uint8
	beyond, on uint32
}

func (p *progress) isBeyond(v int) bool { return p.beyond>>v&1 > 0 }

// A state is what can have been done after some steps.
type state struct {
	progress
	zone
	price
	low      int // no plan that goes on from here ends earlier, or costs less
	needless bool
	move
}

// A move is how a state came about.
type move struct {
	parent    int32
	lane, gap uint8
	beside    uint32 // lanes whose last links may go on meanwhile
}

// beyond is more than any bound.
const beyond = 1 << 50

// begun is the moment from which on the next step may begin.
const begun = 1

func (m *model) newSweep() *sweep {
	lanes := m.lanes()
	if lanes == nil {
		return nil
	}
	s := &sweep{m: m, lanes: lanes, gaps: m.gaps(), n: len(lanes) + 2, overlap: m.p.Operators > 1}
	for v := range lanes {
		for j := lanes[v].first; j < len(lanes[v].links); j++ {
			s.overlap = s.overlap || lanes[v].takes[j] == 0
		}
	}
	s.bounds = s.views()
	done := [mostLanes]int{}
	for v := range lanes {
		done[v] = lanes[v].first
	}
	for _, d := range m.p.due {
		if done[d[0]] != d[1] {
			return nil
		}
		done[d[0]]++
		s.due = append(s.due, d[0])
	}
	return s
}

// run goes through all layers and returns the best way; nil when there is none. It tells whether nothing was dropped.
func (s *sweep) run() ([]move, bool) {
	s.dropped, s.cut = beyond, false
	s.spans()
	first := s.first()
	if first == nil {
		return nil, true
	}
	layer, steps, width := []*state{first}, 0, s.width
	for v := range s.lanes {
		steps += len(s.lanes[v].links) - s.lanes[v].first
	}
	moves := make([][]move, steps)
	for k := range moves {
		s.next, s.known = nil, map[progress][]*state{}
		for i, from := range layer {
			s.successors(from, k, int32(i))
		}
		for _, from := range layer {
			s.put(from)
		}
		if s.work > s.budget {
			width = min(width, narrow) // what has been worked out so far is not wasted
		}
		if layer = s.kept(width); len(layer) == 0 {
			return nil, !s.cut
		}
		for _, to := range layer {
			moves[k] = append(moves[k], to.move)
		}
	}
	best := 0
	for i, end := range layer {
		if end.low < layer[best].low {
			best = i
		}
	}
	for _, end := range layer {
		s.put(end)
	}
	way, at := make([]move, steps), int32(best)
	for k := steps - 1; k >= 0; k-- {
		way[k] = moves[k][at]
		at = way[k].parent
	}
	return way, !s.cut
}

// kept returns the states of the next layer, no more than a width.
func (s *sweep) kept(width int) []*state {
	out := s.next[:0]
	for _, to := range s.next {
		if to.needless {
			s.put(to)
			continue
		}
		out = append(out, to)
	}
	if len(out) <= width {
		return out
	}
	slices.SortStableFunc(out, func(a, b *state) int {
		if a.low != b.low {
			return a.low - b.low
		}
		return a.earliest(begun) - b.earliest(begun)
	})
	s.cut, s.dropped = true, min(s.dropped, out[width].low)
	for _, to := range out[width:] {
		s.put(to)
	}
	return out[:width]
}

// get returns a state to be filled in: a copy of another one.
func (s *sweep) get(from *state) *state {
	var to *state
	if k := len(s.free) - 1; k >= 0 {
		to, s.free = s.free[k], s.free[:k]
	} else {
		to = &state{zone: zone{s.n, make([]int32, s.n*s.n)}, price: price{weight: make([]int, s.n)}}
	}
	if from != nil {
		to.progress, to.fixed, to.low, to.move, to.needless = from.progress, from.fixed, from.low, from.move, false
		copy(to.most, from.most)
		copy(to.weight, from.weight)
	}
	s.work += s.n * s.n
	return to
}

func (s *sweep) put(to *state) { s.free = append(s.free, to) }

// first is the state before anything is planned: nothing has been done, or what has happened.
func (s *sweep) first() *state {
	to := s.get(nil)
	*to = state{zone: to.zone, price: price{weight: to.weight}}
	clear(to.weight)
	to.clear()
	m, free := s.m, s.m.ticks(s.m.p.earliest)
	for _, node := range m.busy() {
		if v, j := m.stepOf(node); !s.overlap {
			free = max(free, m.ticks(m.p.pinned[v][j].start)+m.d[node])
		}
	}
	to.limit(0, begun, int32(-free))
	for v := range s.lanes {
		l := &s.lanes[v]
		j := l.first
		to.done[v] = uint8(j)
		if j == 0 {
			continue
		}
		end := m.ticks(m.p.pinned[v][j-1].start) + m.d[l.links[j-1].node]
		if end > free {
			to.on |= 1 << v
		} else if j == len(l.links) || !l.links[j].counts() {
			continue
		}
		to.limit(0, 2+v, int32(-end))
		to.limit(2+v, 0, int32(end))
	}
	if !s.settled(to) {
		s.put(to)
		return nil
	}
	return to
}

// busy lists the steps that have begun and keep the hands still.
func (m *model) busy() []int {
	var out []int
	for _, a := range m.pools[0].acts {
		if v, j := m.stepOf(a.from); v >= 0 && m.pinned(v, j) {
			out = append(out, a.from)
		}
	}
	return out
}

// stepOf returns the vessel and step of a node; -1 for a break.
func (m *model) stepOf(node int) (v, j int) {
	if node >= m.end {
		return -1, 0
	}
	for v = len(m.first) - 1; m.first[v] > node; v-- {
	}
	return v, node - m.first[v]
}
