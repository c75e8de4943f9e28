package plan

import "slices"

// An inserter builds plans vessel by vessel: each is put into what the others leave free, by the way through its steps
// that ends first and then waits least over its aims. It needs vessels whose steps follow each other one by one.
type inserter struct {
	m       *model
	horizon int
	chains  []chain
	used    [][]int // of each pool, at each time
	starts  [][]int // of each vessel; nil: not in the plan
	runs    map[[2]int][]int
	cost    [][]int
	back    [][]int32
}

// newInserter returns nil where a vessel is no chain or the time is too finely divided.
func (m *model) newInserter(horizon int) *inserter {
	if horizon > 200_000 || len(m.p.orders) > 0 {
		return nil
	}
	in := &inserter{m: m, horizon: horizon}
	for v := range m.p.Vessels {
		c, ok := m.chain(v)
		if !ok {
			return nil
		}
		in.chains = append(in.chains, c)
		for len(in.cost) < len(c.links) {
			in.cost = append(in.cost, make([]int, horizon))
			in.back = append(in.back, make([]int32, horizon))
		}
	}
	in.starts = make([][]int, len(in.chains))
	for range m.pools {
		in.used = append(in.used, make([]int, horizon+1))
	}
	for _, e := range m.edges { // breaks stand from the beginning
		if e.to == 0 && e.from > m.end {
			in.take(0, -e.after, -e.after+m.d[e.from], m.p.Operators)
		}
	}
	return in
}

func (in *inserter) take(pool, from, to, amount int) {
	used := in.used[pool]
	for t := max(from, 0); t < min(to, len(used)); t++ {
		used[t] += amount
	}
}

// occupy takes what a vessel needs.
func (in *inserter) occupy(v int) {
	c, s := &in.chains[v], in.starts[v]
	for j, l := range c.links {
		for _, t := range l.takes {
			in.take(t[0], s[j], s[j]+in.m.d[l.node], t[1])
		}
	}
	for _, h := range c.holds {
		in.take(h.pool, s[h.from], s[h.to]+in.m.d[c.links[h.to].node], h.amount)
	}
	in.runs = nil
}

// run returns for each time how long from then on a pool has room for an amount.
func (in *inserter) run(pool, amount int) []int {
	key := [2]int{pool, amount}
	if r := in.runs[key]; r != nil {
		return r
	}
	r := make([]int, in.horizon+1)
	for t := in.horizon - 1; t >= 0; t-- {
		if in.used[pool][t]+amount <= in.m.pools[pool].places {
			r[t] = r[t+1] + 1
		}
	}
	if in.runs == nil {
		in.runs = map[[2]int][]int{}
	}
	in.runs[key] = r
	return r
}

// insert puts a vessel into the plan; false when there is no way that keeps its windows.
func (in *inserter) insert(v int) bool {
	c := &in.chains[v]
	first := c.first
	if first == len(c.links) {
		in.starts[v] = in.pins(v, first)
		in.occupy(v)
		return true
	}
	if first > 0 {
		fill(in.cost[first-1], cannot)
		at := in.m.ticks(in.m.p.pinned[v][first-1].start)
		if at >= in.horizon {
			return false
		}
		in.cost[first-1][at] = 0
	}
	for j := first; j < len(c.links); j++ {
		in.forward(v, j)
	}
	last := len(c.links) - 1
	at := slices.IndexFunc(in.cost[last], func(cost int) bool { return cost < cannot })
	if at < 0 {
		return false
	}
	s := in.pins(v, first)
	for j := last; j >= first; j-- {
		s[j] = at
		at = int(in.back[j][at])
	}
	in.starts[v] = s
	in.occupy(v)
	return true
}

// pins returns a vessel's starts as far as they have happened.
func (in *inserter) pins(v, first int) []int {
	s := make([]int, len(in.chains[v].links))
	for j := 0; j < first; j++ {
		s[j] = in.m.ticks(in.m.p.pinned[v][j].start)
	}
	return s
}

// forward fills in what it costs at least to start link j at each time.
func (in *inserter) forward(v, j int) {
	c, out := &in.chains[v], in.cost[j]
	l, d := &c.links[j], in.m.d[c.links[j].node]
	fits, earliest := make([]bool, in.horizon), in.m.ticks(in.m.p.earliest)
	for t := range fits {
		fits[t] = t >= earliest && t+d < in.horizon
	}
	for _, take := range l.takes {
		for t, run := range in.run(take[0], take[1])[:in.horizon] {
			fits[t] = fits[t] && run >= d
		}
	}
	if j == 0 {
		for t := range out {
			out[t] = cannot
			if fits[t] {
				out[t] = 0
			}
		}
		return
	}
	w := window{cost: in.cost[j-1], before: in.m.d[c.links[j-1].node], link: l}
	var held [][]int
	for _, h := range c.holds {
		if h.from < j && j <= h.to {
			held = append(held, in.run(h.pool, h.amount))
		}
	}
	for t := range out {
		from := 0
		for _, run := range held {
			for w.low < t && run[w.low] < t+d-w.low {
				w.low++
			}
			if w.low == t {
				from = t
			}
		}
		cost, at := w.least(t, max(from, w.low))
		out[t], in.back[j][t] = cannot, int32(at)
		if fits[t] {
			out[t] = cost
		}
	}
}

// A window finds the cheapest start of the link before, while the time of this one goes on.
type window struct {
	cost   []int
	before int // how long the link before takes
	link   *link
	low    int // starts before it can no longer be used

	inAim, over         []int // starts that may become the cheapest, the cheapest first
	nextInAim, nextOver int
}

func (w *window) least(t, low int) (int, int) {
	l := w.link
	for ; w.nextInAim <= t-w.before-l.least; w.nextInAim++ {
		w.inAim = push(w.inAim, w.nextInAim, func(s int) int { return w.cost[s] })
	}
	for ; w.nextOver < t-w.before-l.aim; w.nextOver++ {
		w.over = push(w.over, w.nextOver, func(s int) int { return w.cost[s] - s })
	}
	w.inAim = drop(w.inAim, max(low, t-w.before-min(l.aim, l.max)))
	w.over = drop(w.over, max(low, t-w.before-l.max))
	best, at := cannot, -1
	if len(w.inAim) > 0 {
		best, at = w.cost[w.inAim[0]], w.inAim[0]
	}
	if len(w.over) > 0 {
		s := w.over[0]
		if cost := w.cost[s] + t - w.before - l.aim - s; cost < best {
			best, at = cost, s
		}
	}
	return min(best, cannot), at
}

func push(queue []int, s int, cost func(int) int) []int {
	for len(queue) > 0 && cost(queue[len(queue)-1]) >= cost(s) {
		queue = queue[:len(queue)-1]
	}
	return append(queue, s)
}

func drop(queue []int, low int) []int {
	for len(queue) > 0 && queue[0] < low {
		queue = queue[1:]
	}
	return queue
}

func fill(s []int, v int) {
	for i := range s {
		s[i] = v
	}
}

// build puts all vessels in, one after the other, and returns the starts of all nodes; nil when one does not fit.
func (in *inserter) build() []int {
	s := make([]int, in.m.n)
	for v := range in.chains {
		if !in.insert(v) {
			return nil
		}
		copy(s[in.m.first[v]:], in.starts[v])
		for j, l := range in.chains[v].links {
			s[in.m.end] = max(s[in.m.end], in.starts[v][j]+in.m.d[l.node])
		}
	}
	for _, e := range in.m.edges {
		if e.to == 0 {
			s[e.from] = -e.after
		}
	}
	return s
}
