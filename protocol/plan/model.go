package plan

import (
	"slices"
	"time"
)

// A model is the problem in whole units of time. Node 0 is the start of the plan, then come the steps, its end, and
// the breaks; a node's value is when it starts.
type model struct {
	p     *Problem
	unit  time.Duration
	first []int // of each vessel, its first node
	n     int
	end   int
	d     []int // duration of each node

	edges []edge  // what always holds
	most  []limit // latest ends of waits: hard, unless windows cannot be kept
	aims  []limit // waits whose length beyond an aim costs
	pools []pool
	pairs []pair // activities of which one must end before the other starts
}

// An edge says that to starts at least after units later than from starts.
type edge struct{ from, to, after int }

// A limit says that to should start at most within units later than from.
type limit struct{ from, to, within int }

// An activity takes part of a pool from the start of one node to the end of another.
type activity struct{ from, to, amount int }

// A pool is a resource with so many places; pool 0 is the operators.
type pool struct {
	resource string
	places   int
	acts     []activity
}

// hands is the name of pool 0.
const hands = "operators"

// A pair of edges, one of which must hold.
type pair struct{ a, b edge }

func (p *Problem) model() *model {
	m := &model{p: p, unit: p.unit(), n: 1, d: []int{0}}
	for v, vessel := range p.Vessels {
		m.first = append(m.first, m.n)
		for j := range vessel.Steps {
			m.d = append(m.d, m.ticks(p.hands(v, j)))
			m.n++
		}
	}
	m.end = m.n
	m.n++
	m.d = append(m.d, 0)
	breaks := m.breaks()
	m.waits()
	m.moments()
	m.symmetry()
	m.fill(breaks)
	m.findPairs()
	return m
}

func (m *model) ticks(t time.Duration) int { return int(t / m.unit) }

func (m *model) time(ticks int) time.Duration { return time.Duration(ticks) * m.unit }

// unit is the greatest time that divides all times of the problem.
func (p *Problem) unit() time.Duration {
	var unit time.Duration
	take := func(ts ...time.Duration) {
		for _, t := range ts {
			if t != Forever {
				unit = divisor(unit, t)
			}
		}
	}
	for v, vessel := range p.Vessels {
		for j := range vessel.Steps {
			take(p.hands(v, j))
			if p.pinned != nil && p.pinned[v][j].set {
				take(p.pinned[v][j].start)
			}
		}
		for _, w := range vessel.Waits {
			take(w.AtLeast, w.Aim, w.AtMost)
		}
	}
	for _, b := range p.Breaks {
		take(b.From, b.To)
	}
	take(p.earliest)
	return max(unit, 1)
}

func divisor(a, b time.Duration) time.Duration {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// breaks makes a node of each break and returns the nodes.
func (m *model) breaks() []int {
	var nodes []int
	for _, b := range m.p.breaks() {
		nodes = append(nodes, m.n)
		m.d = append(m.d, m.ticks(b.To-b.From))
		m.fix(m.n, m.ticks(b.From))
		m.n++
	}
	return nodes
}

// fix holds a node at a moment.
func (m *model) fix(node, at int) {
	m.edges = append(m.edges, edge{0, node, at}, edge{node, 0, -at})
}

func (m *model) waits() {
	for v, vessel := range m.p.Vessels {
		for _, w := range vessel.Waits {
			from, to := m.first[v]+w.From, m.first[v]+w.To
			if m.pinned(v, w.To) {
				continue // it is over: nothing to be planned
			}
			m.edges = append(m.edges, edge{from, to, m.d[from] + m.ticks(w.AtLeast)})
			if w.AtMost != Forever {
				m.most = append(m.most, limit{from, to, m.d[from] + m.ticks(w.AtMost)})
			}
			if w.Aim != Forever {
				m.aims = append(m.aims, limit{from, to, m.d[from] + m.ticks(w.Aim)})
			}
		}
	}
}

func (m *model) pinned(v, j int) bool { return m.p.pinned != nil && m.p.pinned[v][j].set }

// moments ties the steps to the start, the end and what has happened.
func (m *model) moments() {
	for v, vessel := range m.p.Vessels {
		for j := range vessel.Steps {
			node := m.first[v] + j
			m.edges = append(m.edges, edge{node, m.end, m.d[node]})
			if m.pinned(v, j) {
				m.fix(node, m.ticks(m.p.pinned[v][j].start))
				continue
			}
			m.edges = append(m.edges, edge{0, node, m.ticks(m.p.earliest)})
		}
	}
	for _, o := range m.p.orders {
		m.edges = append(m.edges, edge{m.first[o.a[0]] + o.a[1], m.first[o.b[0]] + o.b[1], 0})
	}
}

// symmetry keeps equal vessels in their order at every step. Nothing is lost by it: of any plan, give the first start of
// each step to the first vessel, the second to the second, and so on. The hands and the places are busy at the same times
// as before, and no wait limit that held is broken, nor does what the waits cost together grow, since that is convex.
func (m *model) symmetry() {
	if m.p.pinned != nil {
		return
	}
	for v := 1; v < len(m.p.Vessels); v++ {
		for u := v - 1; u >= 0; u-- {
			if same(&m.p.Vessels[u], &m.p.Vessels[v]) {
				for j, s := range m.p.Vessels[u].Steps {
					after := 0
					if 2*s.Operators > m.p.Operators {
						after = m.d[m.first[u]+j]
					}
					m.edges = append(m.edges, edge{m.first[u] + j, m.first[v] + j, after})
				}
				break
			}
		}
	}
}

// fill says who takes what. A resource that single hands alone take can never run short and is left out.
func (m *model) fill(breaks []int) {
	all := pool{resource: hands, places: m.p.Operators}
	for v, vessel := range m.p.Vessels {
		for j, s := range vessel.Steps {
			if node := m.first[v] + j; s.Operators > 0 && m.d[node] > 0 && !m.gone(v, j) {
				all.acts = append(all.acts, activity{node, node, s.Operators})
			}
		}
	}
	for _, node := range breaks {
		all.acts = append(all.acts, activity{node, node, m.p.Operators})
	}
	m.pools = append(m.pools, all)
	defer m.relent()
	for _, resource := range m.p.Resources() {
		p := pool{resource: resource, places: m.p.PlacesOf(resource)}
		held := false
		for v, vessel := range m.p.Vessels {
			for j, s := range vessel.Steps {
				if node := m.first[v] + j; slices.Contains(s.Uses, resource) && !vessel.holds(resource, j) && m.d[node] > 0 && !m.gone(v, j) {
					p.acts = append(p.acts, activity{node, node, 1})
					held = held || s.Operators == 0
				}
			}
			for _, h := range vessel.Holds {
				if h.Resource == resource && !m.gone(v, h.To) {
					held = true
					p.acts = append(p.acts, activity{m.first[v] + h.From, m.first[v] + h.To, 1})
				}
			}
		}
		if held || m.p.Operators > p.places {
			m.pools = append(m.pools, p)
		}
	}
}

// relent leaves out what has begun where more has begun than there is room for: it cannot be undone.
func (m *model) relent() {
	if m.p.pinned == nil {
		return
	}
	begun := make([]bool, m.n)
	for v, vessel := range m.p.Vessels {
		for j := range vessel.Steps {
			begun[m.first[v]+j] = m.pinned(v, j)
		}
	}
	for i := range m.pools {
		p, taken := &m.pools[i], 0
		kept := p.acts[:0]
		for _, a := range p.acts {
			if begun[a.from] {
				if taken+a.amount > p.places {
					continue
				}
				taken += a.amount
			}
			kept = append(kept, a)
		}
		p.acts = kept
	}
}

// gone tells whether a step has ended before anything else may begin.
func (m *model) gone(v, j int) bool {
	if !m.pinned(v, j) {
		return false
	}
	pin := m.p.pinned[v][j]
	return pin.start+pin.hands <= m.p.earliest
}

// findPairs lists the activities of which two together are too much for a pool.
func (m *model) findPairs() {
	for _, p := range m.pools {
		for i, a := range p.acts {
			for _, b := range p.acts[:i] {
				if a.amount+b.amount > p.places {
					m.pairs = append(m.pairs, pair{m.after(a, b), m.after(b, a)})
				}
			}
		}
	}
}

// after is the edge that says that a ends before b starts.
func (m *model) after(a, b activity) edge { return edge{a.to, b.from, m.d[a.to]} }

// plan turns starts of nodes into a plan.
func (m *model) plan(s []int) *Plan {
	out := &Plan{Problem: m.p}
	for v, vessel := range m.p.Vessels {
		starts := make([]time.Duration, len(vessel.Steps))
		for j := range starts {
			starts[j] = m.time(s[m.first[v]+j])
		}
		out.Start = append(out.Start, starts)
	}
	out.measured()
	return out
}
