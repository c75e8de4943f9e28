package plan

// A leader is a link of an equal lane that has ended before another link begins. Equal lanes come in order at every step,
// so in a bath of two places the third vessel goes in no earlier than the first one comes out.
type leader struct{ lane, link int }

// lead finds what each link has to follow, and with it how long it is at least from each link until the end of all.
func (m *model) lead(lanes []lane) {
	for v := range lanes {
		l := &lanes[v]
		for j := range l.links {
			for _, take := range l.links[j].takes {
				m.follow(lanes, v, hold{take[0], j, j, l.links[j].takesOf(take[0])})
			}
		}
		for _, h := range l.holds {
			m.follow(lanes, v, h)
		}
	}
	for v := len(lanes) - 1; v >= 0; v-- {
		l := &lanes[v]
		for j := len(l.links) - 1; j >= 0; j-- {
			rest := 0
			if j+1 < len(l.links) {
				rest = l.links[j+1].least + l.tail[j+1]
			}
			l.tail[j] = max(l.tail[j], l.takes[j]+rest)
			for _, o := range l.leaders[j] {
				u := &lanes[o.lane]
				u.tail[o.link] = max(u.tail[o.link], u.takes[o.link]+l.tail[j])
			}
		}
	}
}

// follow lets a lane begin a hold only after the lane so many before it has ended its own: as many as there is room for.
func (m *model) follow(lanes []lane, v int, h hold) {
	if h.amount == 0 {
		return
	}
	room, u := m.pools[h.pool].places/h.amount, v
	for k := 0; k < room && u >= 0; k++ {
		u = lanes[u].like
	}
	if u >= 0 && u < v {
		lanes[v].leaders[h.from] = append(lanes[v].leaders[h.from], leader{u, h.to})
	}
}

// soonest fills in when each link that is left can begin at the earliest, were there no other lanes but the leaders; false
// when one cannot.
func (s *sweep) soonest(to *state) bool {
	for v := range s.lanes {
		l, first := &s.lanes[v], int(to.done[v])
		at := to.earliest(begun)
		if first > 0 && first < len(l.links) && to.known(2+v) {
			at = max(at, to.earliest(2+v)+l.links[first].least)
		}
		for j := first; j < len(l.links); j++ {
			for _, o := range l.leaders[j] {
				if u := &s.lanes[o.lane]; o.link >= int(to.done[o.lane]) {
					at = max(at, u.soonest[o.link]+u.takes[o.link])
				}
			}
			var ok bool
			if at, _, ok = among(l.spans[j], at, s.by); !ok {
				return false
			}
			if l.soonest[j] = at; j+1 < len(l.links) {
				at += l.takes[j] + l.links[j+1].least
			}
		}
		s.work += len(l.links) - first
	}
	return true
}
