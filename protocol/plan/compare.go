package plan

import "math/bits"

// compare holds a state against those with the same steps done.
func (s *sweep) compare(to *state) {
	if s.paid {
		if to.low = max(to.low, s.leastPrice(to)); to.low > s.cap {
			s.put(to)
			return
		}
	}
	others := s.known[to.progress]
	for _, o := range others {
		s.work += s.n
		if !o.needless && to.within(o.zone) && (!s.paid || to.noLess(&o.price, to.zone)) {
			s.put(to)
			return
		}
	}
	end := s.earliestEnd(to)
	if end > s.by {
		s.put(to)
		return
	}
	if !s.paid {
		to.low = end
	}
	for _, o := range others {
		s.work += s.n
		if !o.needless && o.within(to.zone) && (!s.paid || o.noLess(&to.price, o.zone)) {
			o.needless = true
		}
	}
	s.known[to.progress] = append(others, to)
	s.next = append(s.next, to)
}

// leastPrice is a price that no plan can better that goes on from a state: what is paid, and what waits last already.
func (s *sweep) leastPrice(to *state) int {
	now := to.weight[begun]
	to.weight[begun] += s.over * bits.OnesCount32(to.beyond)
	sum := to.least(to.zone)
	to.weight[begun] = now
	return sum
}
