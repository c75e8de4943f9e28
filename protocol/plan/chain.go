package plan

// A chain is a vessel as a row of links.
type chain struct {
	links []link
	holds []hold
	first int // links before it have happened
}

// A link is a step with the wait before it.
type link struct {
	node            int
	least, aim, max int
	takes           [][2]int // pool and amount
}

// A hold takes a pool from one link to another.
type hold struct{ pool, from, to, amount int }

// cannot is more than anything costs, and later than anything starts.
const cannot = 1 << 40

// chain puts a vessel's waits between steps that follow each other.
func (m *model) chain(v int) (chain, bool) {
	vessel, c := m.p.Vessels[v], chain{}
	for j := range vessel.Steps {
		l := link{node: m.first[v] + j, aim: cannot, max: cannot}
		c.links = append(c.links, l)
		if m.pinned(v, j) {
			if c.first != j {
				return c, false
			}
			c.first = j + 1
		}
	}
	seen := make([]bool, len(vessel.Steps))
	for _, w := range vessel.Waits {
		if w.To != w.From+1 || seen[w.To] {
			return c, false
		}
		seen[w.To] = true
		l := &c.links[w.To]
		l.least = m.ticks(w.AtLeast)
		if w.Aim != Forever {
			l.aim = m.ticks(w.Aim)
		}
		if w.AtMost != Forever {
			l.max = m.ticks(w.AtMost)
		}
	}
	for j := 1; j < len(seen); j++ {
		if !seen[j] {
			return c, false
		}
	}
	for k, p := range m.pools {
		for _, a := range p.acts {
			if a.from < m.first[v] || a.from >= m.first[v]+len(vessel.Steps) {
				continue
			}
			from, to := a.from-m.first[v], a.to-m.first[v]
			if to < from {
				return c, false
			}
			if from == to {
				c.links[from].takes = append(c.links[from].takes, [2]int{k, a.amount})
			} else {
				c.holds = append(c.holds, hold{k, from, to, a.amount})
			}
		}
	}
	return c, true
}

// counts tells whether it matters how long a link waits.
func (l *link) counts() bool { return l.least > 0 || l.aim < cannot || l.max < cannot }

// open tells whether a link may wait for ever at no price.
func (l *link) open() bool { return l.max == cannot && l.aim == cannot }
