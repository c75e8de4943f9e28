package plan

import "math/bits"

// compare holds a state against those with the same steps done, or begun. One in which a step has ended can do all that
// another one can in which it may still go on.
func (s *sweep) compare(to *state) {
	done := to.progress
	done.on = 0
	others := s.known[done]
	for _, o := range others {
		s.work += s.n
		if !o.needless && s.outdone(to, o) {
			s.put(to)
			return
		}
	}
	if s.hopeless(to) {
		s.put(to)
		return
	}
	for _, o := range others {
		s.work += s.n
		o.needless = o.needless || s.outdone(o, to)
	}
	s.known[done] = append(others, to)
	s.next = append(s.next, to)
}

// outdone tells whether all that can go on from a state can go on from another one too, for no more.
func (s *sweep) outdone(to, other *state) bool {
	return other.on&^to.on == 0 && to.zone.within(other.zone) && (!s.paid || to.noLess(&other.price, to.zone))
}

// hopeless tells whether what goes on from a state costs too much or ends too late; if not, it notes how good it can be.
func (s *sweep) hopeless(to *state) bool {
	if !s.soonest(to) {
		return true
	}
	if s.paid {
		if to.low = max(to.low, s.leastPrice(to)); to.low > s.cap {
			return true
		}
	}
	end := s.earliestEnd(to)
	if !s.paid {
		to.low = end
	}
	return end > s.by
}

// leastPrice is a price that no plan can better that goes on from a state: what is paid, what waits last already, and what
// they will last until the next links can begin.
func (s *sweep) leastPrice(to *state) int {
	now := to.weight[begun]
	to.weight[begun] += s.over * bits.OnesCount32(to.beyond)
	sum := to.least(to.zone)
	to.weight[begun] = now
	for v := range s.lanes {
		l, from, j := &s.lanes[v], begun, int(to.done[v])
		if j == 0 || j == len(l.links) || l.links[j].aim == cannot {
			continue
		}
		over := l.soonest[j]
		if !to.isBeyond(v) {
			from = 2 + v
			over -= l.links[j].aim
		}
		if latest := to.at(from, 0); latest < open {
			sum += s.over * max(0, over-int(latest))
		}
	}
	return sum
}
