package plan

// A lane is a vessel whose steps follow each other one by one.
type lane struct {
	chain
	takes   []int      // by link: how long it lasts
	work    []int      // by link: what it and those after it keep the hands, of all pairs of hands together
	like    int        // the vessel before it that is equal and comes first at every step; -1: none
	leaders [][]leader // by link: what ends before it begins
	tail    []int      // by link: from its start until the end of all, at least

	spans   [][]gap // by link: when it may begin in a sweep,
	latest  []int   // the last of these times,
	soonest []int   // and the earliest that goes on from the state at hand
}

// mostLanes is how many vessels are gone through side by side.
const mostLanes = 16

// A gap is a time in which somebody is present.
type gap struct{ from, to int }

// mostHands is how many pairs of hands a sweep knows apart.
const mostHands = 3

// lanes returns the vessels as lanes; nil where they are none, or too many.
func (m *model) lanes() []lane {
	if m.p.Operators > mostHands || len(m.first) > mostLanes || m.p.orders != nil && m.p.due == nil {
		return nil
	}
	var out []lane
	for v := range m.p.Vessels {
		c, ok := m.chain(v)
		if !ok || len(c.links) > 250 {
			return nil
		}
		out = append(out, lane{chain: c, like: -1})
		if !out[v].measure(m) {
			return nil
		}
		for u := v - 1; u >= 0 && out[v].like < 0; u-- {
			if m.alike(u, v) {
				out[v].like = u
			}
		}
	}
	m.lead(out)
	return out
}

// measure fills in the times of a lane; false where a step that lasts needs no hands.
func (l *lane) measure(m *model) bool {
	n := len(l.links)
	l.takes, l.tail, l.work = make([]int, n+1), make([]int, n+1), make([]int, n+1)
	l.leaders, l.spans, l.latest, l.soonest = make([][]leader, n), make([][]gap, n), make([]int, n), make([]int, n)
	for j := n - 1; j >= 0; j-- {
		link := &l.links[j]
		if link.aim > mostTicks { // no plan is as long
			link.aim = cannot
		}
		if link.max > mostTicks {
			link.max = cannot
		}
		l.takes[j] = m.d[l.links[j].node]
		amount := l.links[j].takesOf(0)
		l.work[j] = amount*l.takes[j] + l.work[j+1]
		if j >= l.first && amount == 0 && l.takes[j] > 0 {
			return false
		}
	}
	return true
}

// takesOf returns how much of a pool is taken during a link.
func (l *link) takesOf(pool int) int {
	sum := 0
	for _, take := range l.takes {
		if take[0] == pool {
			sum += take[1]
		}
	}
	return sum
}

// alike tells whether two vessels may be kept in order at every step: they are equal, and nothing has happened to either
// that would tell them apart.
func (m *model) alike(u, v int) bool {
	if !same(&m.p.Vessels[u], &m.p.Vessels[v]) {
		return false
	}
	if m.p.pinned == nil {
		return true
	}
	if m.pinned(u, 0) || m.pinned(v, 0) {
		return false
	}
	for _, d := range m.p.due {
		if d[0] == u || d[0] == v {
			return false
		}
	}
	return true
}

// gaps returns the times between the breaks.
func (m *model) gaps() []gap {
	out := []gap{{0, cannot}}
	for _, b := range m.p.breaks() {
		last := len(out) - 1
		out[last].to = m.ticks(b.From)
		out = append(out, gap{m.ticks(b.To), cannot})
	}
	return out
}

// room tells whether the pools let a lane's next link begin, when the links before have begun and of the last ones only
// some still go on.
func (s *sweep) room(done *[mostLanes]uint8, on uint32, v int) bool {
	l := &s.lanes[v]
	j := int(done[v])
	ask := func(pool, amount int) bool {
		for u := range s.lanes {
			o, last := &s.lanes[u], int(done[u])-1
			goesOn := on>>u&1 > 0
			for _, h := range o.holds {
				if h.pool == pool && h.from <= last && (last < h.to || last == h.to && goesOn) {
					amount += h.amount
				}
			}
			if goesOn {
				amount += o.links[last].takesOf(pool)
			}
		}
		return amount <= s.m.pools[pool].places
	}
	for _, h := range l.holds {
		if h.from == j && !ask(h.pool, h.amount) {
			return false
		}
	}
	for _, take := range l.links[j].takes {
		if (take[0] > 0 || on > 0) && !ask(take[0], take[1]) {
			return false
		}
	}
	return true
}
