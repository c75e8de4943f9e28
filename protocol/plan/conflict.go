package plan

import "slices"

// conflict returns the first moment's too many: activities of one pool that together take more than it has, each of them
// needed for that. It returns nil when the starts keep to all pools.
func (m *model) conflict(s []int) (acts []activity) {
	at := -1
	for i := range m.pools {
		if t, found := m.pools[i].conflict(s, m.d); found != nil && (at < 0 || t < at) {
			at, acts = t, found
		}
	}
	return acts
}

func (p *pool) conflict(s, d []int) (int, []activity) {
	acts := make([]activity, 0, len(p.acts))
	for _, a := range p.acts {
		if s[a.to]+d[a.to] > s[a.from] {
			acts = append(acts, a)
		}
	}
	slices.SortStableFunc(acts, func(a, b activity) int { return s[a.from] - s[b.from] })
	active := make([]activity, 0, p.places+1)
	taken := 0
	for _, a := range acts {
		now := s[a.from]
		kept := active[:0]
		for _, b := range active {
			if s[b.to]+d[b.to] > now {
				kept = append(kept, b)
			} else {
				taken -= b.amount
			}
		}
		active = append(kept, a)
		if taken += a.amount; taken > p.places {
			return now, p.least(active, taken)
		}
	}
	return 0, nil
}

// least leaves out what is not needed for the pool to run short.
func (p *pool) least(active []activity, taken int) []activity {
	out := make([]activity, 0, len(active))
	for _, a := range active {
		if taken-a.amount > p.places {
			taken -= a.amount
			continue
		}
		out = append(out, a)
	}
	return out
}
