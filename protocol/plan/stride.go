package plan

import "slices"

// successors begins each step that can begin next.
func (s *sweep) successors(from *state, k int, parent int32) {
	for v := range s.lanes {
		l := &s.lanes[v]
		j := int(from.done[v])
		switch {
		case j == len(l.links), k < len(s.due) && s.due[k] != v:
		case l.like >= 0 && int(from.done[l.like]) <= j:
		default:
			s.choices(from, v, func(on uint32) {
				for g, gap := range s.when(v, j) {
					to := s.get(from)
					to.move = move{parent, uint8(v), uint8(g), on}
					if s.present(to, gap, l.takes[j]) && s.ended(to, v) {
						s.wait(to, v)
					} else {
						s.put(to)
					}
				}
			})
		}
	}
}

// choices lists the lanes whose last links may go on while a lane's next one begins: as many as the pools allow. Where two
// such choices are possible and one has all lanes of the other, the other one need not be tried.
func (s *sweep) choices(from *state, v int, yield func(on uint32)) {
	all := from.on &^ (1 << v)
	var room [1 << mostHands]uint32
	tried := room[:0]
	for on := all; ; on = (on - 1) & all { // every choice before those that are part of it
		part := slices.ContainsFunc(tried, func(t uint32) bool { return on&t == on })
		if !part && s.room(&from.done, on, v) {
			tried = append(tried, on)
			yield(on)
		}
		if on == 0 {
			return
		}
	}
}

// ended lets the last links of all lanes have ended but those that may go on beside.
func (s *sweep) ended(to *state, v int) bool {
	for u := range s.lanes {
		if (to.on&^to.beside)>>u&1 > 0 && u != v && !to.limit(2+u, begun, 0) {
			return false
		}
	}
	to.on = to.beside
	return true
}

// always is the gap of what needs no hands.
var always = []gap{{0, cannot}}

// when returns the gaps in which a link may begin.
func (s *sweep) when(v, j int) []gap {
	if s.lanes[v].links[j].takesOf(0) == 0 {
		return always
	}
	return s.gaps
}

// present lets the hands begin within a gap.
func (s *sweep) present(to *state, g gap, takes int) bool {
	return to.limit(0, begun, int32(-g.from)) && (g.to == cannot || to.limit(begun, 0, int32(g.to-takes)))
}

// wait ends the wait before a lane's next link.
func (s *sweep) wait(to *state, v int) {
	l := &s.lanes[v].links[to.done[v]]
	last := 2 + v
	if to.done[v] == 0 && s.delay > 0 {
		to.pay(begun, 0, s.delay)
	}
	switch {
	case to.known(last) && l.max < cannot && !to.limit(begun, last, int32(l.max)):
		s.put(to)
	case to.isBeyond(v):
		to.beyond &^= 1 << v
		if s.paid {
			to.weight[begun] += s.over
		}
		s.forgetting(to, last, func(to *state) { s.step(to, v) })
	case !to.known(last):
		s.step(to, v)
	case !to.limit(last, begun, int32(-l.least)):
		s.put(to)
	case !s.paid || l.aim == cannot:
		s.forgetting(to, last, func(to *state) { s.step(to, v) })
	default:
		s.waitOver(to, v, l)
	}
}

// waitOver ends a wait within its aim, and beyond it.
func (s *sweep) waitOver(to *state, v int, l *link) {
	last := 2 + v
	if l.aim > l.least {
		if in := s.get(to); in.limit(begun, last, int32(l.aim)) {
			s.forgetting(in, last, func(to *state) { s.step(to, v) })
		} else {
			s.put(in)
		}
		if !to.limit(last, begun, int32(-l.aim)) {
			s.put(to)
			return
		}
	}
	to.pay(begun, last, s.over)
	to.fixed -= s.over * l.aim
	s.forgetting(to, last, func(to *state) { s.step(to, v) })
}

// forgetting takes out a moment that nothing depends on any more, at the time that costs least: at the nearest limit. There
// is a state for each limit that can be the nearest one.
func (s *sweep) forgetting(to *state, a int, then func(*state)) {
	weight := to.weight[a]
	if weight == 0 {
		to.forget(a)
		then(to)
		return
	}
	late := weight < 0
	all := ties(to.zone, a, late, nil)
	to.weight[a] = 0
	for k, t := range all {
		out := s.get(to)
		if !nearest(out.zone, all, k, late) {
			s.put(out)
			continue
		}
		out.weight[t.other] += weight
		if late {
			out.fixed += weight * int(t.by)
		} else {
			out.fixed -= weight * int(t.by)
		}
		out.forget(a)
		then(out)
	}
	s.put(to)
}

// step begins a lane's next link, and ends it.
func (s *sweep) step(to *state, v int) {
	l, last := &s.lanes[v], 2+v
	takes := l.takes[to.done[v]]
	to.fixed -= to.weight[begun] * takes
	to.weight[last], to.weight[begun] = to.weight[begun], 0
	if to.done[v]++; s.overlap {
		to.equal(last, begun)
		to.later(last, int32(takes))
		if takes > 0 {
			to.on |= 1 << v
		}
	} else {
		to.later(begun, int32(takes))
		to.equal(last, begun)
	}
	to.release(begun)
	j := int(to.done[v])
	switch {
	case to.on>>v&1 > 0:
	case j == len(l.links) || !l.links[j].counts():
		s.forgetting(to, last, s.arrive)
		return
	}
	if j < len(l.links) && l.links[j].open() && to.weight[last] >= 0 {
		to.release(last) // later is no better
	}
	s.arrive(to)
}

// arrive adds a state to the next layer, unless it cannot lead to anything better.
func (s *sweep) arrive(to *state) {
	if !s.settled(to) {
		s.put(to)
		return
	}
	s.ready(to, 0, s.compare)
}

// settled lets no wait run out, and the end not be late.
func (s *sweep) settled(to *state) bool {
	s.work += s.n * s.n
	left := 0
	for v := range s.lanes {
		l := &s.lanes[v]
		j := int(to.done[v])
		if j == len(l.links) {
			continue
		}
		left += l.work[j]
		if !s.spanned(to, v) {
			return false
		}
	}
	hands := s.m.pools[0].places
	return to.limit(begun, 0, int32(s.by-(left+hands-1)/hands))
}

// ready goes on with what follows where a link has ended, or a wait has lasted long enough. Where it may last for ever its
// beginning no longer matters; where it may not, it could as well have begun earlier, since that is no better, and is paid
// for from now on.
func (s *sweep) ready(to *state, v int, then func(*state)) {
	for ; v < len(s.lanes); v++ {
		last := 2 + v
		if to.on>>v&1 > 0 && (s.hasEnded(to, last) || s.paid && s.through(to)) {
			to.on &^= 1 << v
		}
		if !to.known(last) || to.isBeyond(v) || to.on>>v&1 > 0 {
			continue
		}
		if s.needless(to, v) {
			s.forgetting(to, last, func(to *state) { s.ready(to, v+1, then) })
			return
		}
	}
	then(to)
}

// needless tells whether the end of a lane's last link no longer matters. Where it matters only as the latest end of a wait
// that has lasted long enough, it may be earlier from now on.
func (s *sweep) needless(to *state, v int) bool {
	l, last := &s.lanes[v], 2+v
	j := int(to.done[v])
	if j == len(l.links) || !l.links[j].counts() {
		return true
	}
	next := &l.links[j]
	if next.open() {
		return s.isOver(to, last, next.least)
	}
	enough := next.least
	if s.paid {
		enough = next.aim
	}
	if enough == cannot || int(to.at(last, begun)) > -enough || to.weight[last] > s.over {
		return false
	}
	to.beyond |= 1 << v
	if s.paid {
		to.weight[last] -= s.over
		to.fixed -= s.over * next.aim
	}
	if next.max == cannot || to.earliest(last)+next.max >= s.by-l.tail[j] {
		return true
	}
	to.advance(last)
	return false
}

// through tells whether all has been done.
func (s *sweep) through(to *state) bool {
	for v := range s.lanes {
		if int(to.done[v]) < len(s.lanes[v].links) {
			return false
		}
	}
	return true
}

// hasEnded tells whether a lane's last link has ended whenever the next step may begin.
func (s *sweep) hasEnded(to *state, last int) bool {
	return to.at(last, begun) <= 0 || to.at(last, begun) >= open && s.isOver(to, last, 0)
}

// isOver tells whether a wait is over whenever the next step may begin.
func (s *sweep) isOver(to *state, last, least int) bool {
	for y := 0; y < s.n; y++ {
		if far := to.at(y, last); y != last && far < open && to.at(y, begun) > far-int32(least) {
			return false
		}
	}
	return true
}
