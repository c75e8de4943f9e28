package plan

import (
	"slices"
	"time"
)

// orderOf returns the edges that keep the order of starts: of two activities of a pool that follow each other, the later
// one stays the later one.
func (m *model) orderOf(s []int) []edge {
	var out []edge
	for i := range m.pools {
		p := &m.pools[i]
		acts := slices.Clone(p.acts)
		slices.SortStableFunc(acts, func(a, b activity) int { return s[a.from] - s[b.from] })
		for k, a := range acts {
			following := 0
			for _, b := range acts[k+1:] {
				if s[a.to]+m.d[a.to] > s[b.from] {
					continue
				}
				out = append(out, m.after(a, b))
				if following++; p.places == 1 && following == 1 && a.from == a.to && b.from == b.to && m.d[b.from] > 0 {
					break // those after b follow from it
				}
			}
		}
	}
	return out
}

// overWaits gives every aim a weight.
func (m *model) overWaits(weight int) []weighted {
	out := make([]weighted, 0, len(m.aims)+len(m.most)+1)
	for _, l := range m.aims {
		out = append(out, weighted{l, weight})
	}
	return out
}

func (m *model) over(s []int) int { return costOf(m.overWaits(1), s) }

func (m *model) excess(s []int) int {
	sum := 0
	for _, l := range m.most {
		sum += max(0, s[l.to]-s[l.from]-l.within)
	}
	return sum
}

// startsOf returns a plan's starts by node, with what has happened since put in.
func (m *model) startsOf(p *Plan) []int {
	s := make([]int, m.n)
	for v, starts := range p.Start {
		for j, at := range starts {
			node := m.first[v] + j
			if s[node] = m.ticks(at); m.pinned(v, j) {
				s[node] = m.ticks(m.p.pinned[v][j].start)
			}
			s[m.end] = max(s[m.end], s[node]+m.d[node])
		}
	}
	for _, e := range m.edges {
		if e.to == 0 {
			s[e.from] = -e.after
		}
	}
	return s
}

// inOrder lets equal vessels change places, so that the one that comes first is first at every step.
func (m *model) inOrder(s []int) []int {
	if m.p.pinned != nil || s == nil {
		return s
	}
	out := slices.Clone(s)
	done := make([]bool, len(m.p.Vessels))
	for v := range m.p.Vessels {
		if done[v] {
			continue
		}
		var group []int
		for u := v; u < len(m.p.Vessels); u++ {
			if same(&m.p.Vessels[v], &m.p.Vessels[u]) {
				group, done[u] = append(group, u), true
			}
		}
		for j := range m.p.Vessels[v].Steps {
			var starts []int
			for _, u := range group {
				starts = append(starts, s[m.first[u]+j])
			}
			slices.Sort(starts)
			for k, u := range group {
				out[m.first[u]+j] = starts[k]
			}
		}
	}
	return out
}

// breaks returns the breaks in their order, those that touch made one.
func (p *Problem) breaks() []Interval {
	in := slices.Clone(p.Breaks)
	for v := range p.pinned { // what went on into a break shortens it
		for _, pin := range p.pinned[v] {
			for i := range in {
				if end := pin.start + pin.hands; pin.set && pin.start < in[i].To && end > in[i].From {
					in[i].From = min(end, in[i].To)
				}
			}
		}
	}
	slices.SortFunc(in, func(a, b Interval) int { return int(a.From - b.From) })
	var out []Interval
	for _, b := range in {
		switch last := len(out) - 1; {
		case b.To <= b.From || b.To <= p.earliest:
		case last >= 0 && b.From <= out[last].To:
			out[last].To = max(out[last].To, b.To)
		default:
			out = append(out, b)
		}
	}
	return out
}

// A pin is what has happened of a step.
type pin struct {
	set          bool
	start, hands time.Duration
}

// An order keeps step b from starting before step a; each is a vessel and a step.
type order struct{ a, b [2]int }
