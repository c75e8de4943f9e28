package plan

import (
	"encoding/binary"
	"slices"
)

// A packing is the case in which one pair of hands has no idle moment until the end, and nothing else runs short: then the
// steps done say what time it is, and the least over-wait is found by going through all that can have been done so far.
type packing struct {
	m      *model
	chains []chain
	group  []int // of each vessel, the first one that is equal to it
	better int   // only over-waits below this are looked for
	layers [][]packed
}

// packed is what may have been done after so many steps: for each vessel the next link, and how long its step before has
// been over where that counts. Equal vessels stand in order.
type packed struct {
	vessels []waiting
	over    int
	parent  int32
	moved   waiting // what was begun to come here, and the group it is of
	group   int
}

type waiting struct{ next, since int }

// mostPacked is how many states are looked at in all.
const mostPacked = 300_000

// noIdle returns the starts with the least over-wait below better, nil when there are none; ok is false when the case is
// another one or has too many states.
func (v *solver) noIdle(by, better int) (starts []int, ok bool) {
	m := v.m
	if m.p.pinned != nil || len(m.pools) != 1 || m.p.Operators != 1 || len(m.p.Breaks) > 0 {
		return nil, false
	}
	work := 0
	for _, d := range m.d {
		work += d
	}
	if work != by {
		return nil, false
	}
	p := &packing{m: m}
	first := packed{}
	for u := range m.p.Vessels {
		c, isChain := m.chain(u)
		if !isChain || slices.ContainsFunc(c.links, func(l link) bool { return len(l.takes) == 0 }) {
			return nil, false
		}
		p.chains = append(p.chains, c)
		p.group = append(p.group, slices.IndexFunc(m.p.Vessels, func(o Vessel) bool { return same(&o, &m.p.Vessels[u]) }))
		first.vessels = append(first.vessels, waiting{})
	}
	for p.better = 1; ; p.better = min(2*p.better, better) { // the fewer over-waits are let pass, the fewer states there are
		starts, ok := p.search(first)
		if !ok || starts != nil || p.better == better {
			return starts, ok
		}
	}
}

func (p *packing) search(first packed) ([]int, bool) {
	steps, states := 0, 0
	for _, c := range p.chains {
		steps += len(c.links)
	}
	p.layers = [][]packed{{first}}
	for k := range steps {
		at := map[string]int{}
		var next []packed
		for i := range p.layers[k] {
			p.successors(&p.layers[k][i], func(s packed) {
				s.parent = int32(i)
				key := s.key()
				j, known := at[key]
				switch {
				case !known:
					at[key] = len(next)
					next = append(next, s)
				case s.over < next[j].over:
					next[j] = s
				}
			})
			if states+len(next) > mostPacked {
				return nil, false
			}
		}
		states += len(next)
		p.layers = append(p.layers, next)
	}
	if len(p.layers[steps]) == 0 {
		return nil, true
	}
	return p.replay(), true
}

func (s *packed) key() string {
	b := make([]byte, 0, 4*len(s.vessels))
	for _, w := range s.vessels {
		b = binary.AppendUvarint(b, uint64(w.next))
		b = binary.AppendUvarint(b, uint64(w.since))
	}
	return string(b)
}

// successors begins each step that can begin now.
func (p *packing) successors(s *packed, yield func(packed)) {
	for v, w := range s.vessels {
		c := &p.chains[v]
		if w.next == len(c.links) || v > 0 && p.group[v] == p.group[v-1] && w == s.vessels[v-1] {
			continue
		}
		l := &c.links[w.next]
		over := s.over + max(0, w.since-l.aim)
		if w.since < l.least || over >= p.better {
			continue
		}
		if out, ok := p.begun(s, v, over); ok {
			yield(out)
		}
	}
}

// begun is the state after a vessel's next step; false where another one then waits for too long.
func (p *packing) begun(s *packed, v, over int) (packed, bool) {
	d := p.m.d[p.chains[v].links[s.vessels[v].next].node]
	out := packed{vessels: slices.Clone(s.vessels), over: over, moved: s.vessels[v], group: p.group[v]}
	floor := over
	for u := range out.vessels {
		w, c := &out.vessels[u], &p.chains[u]
		if u == v {
			*w = waiting{next: w.next + 1}
			continue
		}
		if w.next == 0 || w.next == len(c.links) || !c.links[w.next].counts() {
			continue
		}
		l := &c.links[w.next]
		if w.since += d; w.since > l.max {
			return out, false
		}
		floor += max(0, w.since-l.aim)
	}
	p.sort(out.vessels)
	return out, floor < p.better
}

// counts tells whether it matters how long a link waits.
func (l *link) counts() bool { return l.least > 0 || l.aim < cannot || l.max < cannot }

// sort puts equal vessels in order, the one that is furthest first.
func (p *packing) sort(ws []waiting) {
	for i := 1; i < len(ws); i++ {
		for k := i; k > 0; k-- {
			u := k - 1
			for u >= 0 && p.group[u] != p.group[k] {
				u--
			}
			if u != k-1 || !ahead(ws[k], ws[u]) {
				break
			}
			ws[k], ws[u] = ws[u], ws[k]
		}
	}
}

func ahead(a, b waiting) bool { return a.next > b.next || a.next == b.next && a.since > b.since }

// replay follows the best end back to the beginning and gives each step its start.
func (p *packing) replay() []int {
	last := len(p.layers) - 1
	best := 0
	for i, s := range p.layers[last] {
		if s.over < p.layers[last][best].over {
			best = i
		}
	}
	path := make([]packed, last)
	for k, i := last, int32(best); k > 0; k-- {
		path[k-1] = p.layers[k][i]
		i = p.layers[k][i].parent
	}
	starts, now := make([]int, p.m.n), 0
	vessels := make([]waiting, len(p.chains))
	for _, s := range path {
		v := slices.IndexFunc(vessels, func(w waiting) bool { return w == s.moved })
		for v >= 0 && p.group[v] != s.group {
			next := slices.IndexFunc(vessels[v+1:], func(w waiting) bool { return w == s.moved })
			if next < 0 {
				return nil
			}
			v += 1 + next
		}
		node := p.chains[v].links[vessels[v].next].node
		starts[node] = now
		now += p.m.d[node]
		for u := range vessels {
			w, c := &vessels[u], &p.chains[u]
			switch {
			case u == v:
				*w = waiting{next: w.next + 1}
			case w.next > 0 && w.next < len(c.links) && c.links[w.next].counts():
				w.since += p.m.d[node]
			}
		}
	}
	starts[p.m.end] = now
	return starts
}
