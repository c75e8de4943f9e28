package plan

// A rule chooses, without looking ahead, which of the steps that could begin now is begun.
type rule uint8

// The rules.
const (
	firstReady      rule = iota // the one that has been ready for longest
	earliestClosing             // the one whose wait must end first
)

// A dispatcher goes through the time and begins what a rule says. It gives a plan that keeps to all pools whatever
// happens to the windows, or none where everybody waits for a place that somebody else holds.
type dispatcher struct {
	m    *model
	rule rule
	in   [][]edge // what each step waits for
	most []int    // by node, how long after its predecessor it should start, with the predecessor
	pred []int
	s    []int
	set  []bool
	now  int
}

func (m *model) dispatch(r rule) []int {
	d := &dispatcher{m: m, rule: r, in: make([][]edge, m.n), most: make([]int, m.n), pred: make([]int, m.n),
		s: make([]int, m.n), set: make([]bool, m.n)}
	d.set[0] = true
	for _, e := range m.edges {
		switch {
		case e.to == 0 || e.to == m.end:
		case e.from == 0:
			d.s[e.to] = max(d.s[e.to], e.after)
		default:
			d.in[e.to] = append(d.in[e.to], e)
		}
	}
	for i := range d.most {
		d.most[i] = plenty
	}
	for _, l := range m.most {
		if l.within < d.most[l.to] {
			d.most[l.to], d.pred[l.to] = l.within, l.from
		}
	}
	d.fixed()
	for d.next() {
	}
	for i := 1; i < m.end; i++ {
		if !d.set[i] {
			return nil
		}
		d.s[m.end] = max(d.s[m.end], d.s[i]+m.d[i])
	}
	for i := m.end + 1; i < m.n; i++ {
		if !d.set[i] {
			return nil
		}
	}
	return d.s
}

// fixed sets what stands at a moment: breaks and what has happened.
func (d *dispatcher) fixed() {
	for _, e := range d.m.edges {
		if e.to == 0 {
			d.s[e.from], d.set[e.from] = -e.after, true
		}
	}
}

// next begins one more step, at the earliest moment at which one can begin; false when none can.
func (d *dispatcher) next() bool {
	pick, when, ready := -1, plenty, 0
	for i := 1; i < d.m.n; i++ {
		release, ok := d.release(i)
		if !ok {
			continue
		}
		at := d.room(i, max(release, d.now))
		if at < when || pick >= 0 && at == when && d.before(i, release, pick, ready) {
			pick, when, ready = i, at, release
		}
	}
	if pick < 0 || when == plenty {
		return false
	}
	d.s[pick], d.set[pick], d.now = when, true, when
	return true
}

// release returns when a step may begin as far as its own vessel goes.
func (d *dispatcher) release(i int) (int, bool) {
	if d.set[i] || i == d.m.end {
		return 0, false
	}
	at := d.s[i]
	for _, e := range d.in[i] {
		if !d.set[e.from] {
			return 0, false
		}
		at = max(at, d.s[e.from]+e.after)
	}
	return at, true
}

func (d *dispatcher) before(i, release, other, otherRelease int) bool {
	if d.rule == earliestClosing {
		a, b := d.closing(i), d.closing(other)
		if a != b {
			return a < b
		}
	}
	return release < otherRelease
}

func (d *dispatcher) closing(i int) int {
	if d.most[i] == plenty {
		return plenty
	}
	return d.s[d.pred[i]] + d.most[i]
}

// room returns the earliest moment from at on at which all pools have room for a step; plenty when a place is held by
// one whose end is open.
func (d *dispatcher) room(i, at int) int {
	for again := true; again; {
		again = false
		for k := range d.m.pools {
			p := &d.m.pools[k]
			for _, a := range p.acts {
				if a.from != i {
					continue
				}
				if later := d.roomIn(p, a, at); later > at {
					if later == plenty {
						return plenty
					}
					at, again = later, true
				}
			}
		}
	}
	return at
}

// roomIn looks for room in one pool: until the step's end, or for a hold from its beginning on.
func (d *dispatcher) roomIn(p *pool, a activity, at int) int {
	end := max(at+d.m.d[a.from], at+1)
	taken, next, open := a.amount, plenty, false
	for _, b := range p.acts {
		if b == a || !d.set[b.from] || d.s[b.from] >= end {
			continue
		}
		if !d.set[b.to] {
			taken, open = taken+b.amount, true
		} else if free := d.s[b.to] + d.m.d[b.to]; free > at {
			taken += b.amount
			next = min(next, free)
		}
	}
	switch {
	case taken <= p.places:
		return at
	case next < plenty:
		return next
	case open:
		return plenty
	}
	return at
}
