package plan

// A timing finds the best starts for steps whose order is decided: it minimises what the limits cost, each unit beyond a
// limit costing its weight. It is the dual of a flow of least cost: a limit that is exceeded sends its weight along the
// longest path between its two nodes, and where paths compete the flow shows which of them pays. The starts that come
// out are the earliest among the best ones.
type timing struct {
	n      int
	limits []weighted
	head   []int32
	arcs   []arc
	base   int // arcs of the edges that always hold
	work   int // arcs looked at so far

	starts, from, queue []int
	through             []int32 // the arc by which a node's longest path arrives
	waiting             []bool
}

// A weighted limit costs weight for each unit beyond it.
type weighted struct {
	limit
	weight int
}

// An arc of the flow and its counterpart stand side by side: arc k and arc k^1.
type arc struct {
	to, length, room int
	next             int32
}

const plenty = 1 << 60

func newTiming(n int, edges []edge, limits []weighted) *timing {
	t := &timing{n: n, limits: limits, head: make([]int32, n), starts: make([]int, n), from: make([]int, n),
		through: make([]int32, n), waiting: make([]bool, n)}
	for i := range t.head {
		t.head[i] = -1
	}
	for _, e := range edges {
		t.link(e, plenty)
	}
	t.base = len(t.arcs)
	return t
}

func (t *timing) link(e edge, room int) {
	k := int32(len(t.arcs))
	t.arcs = append(t.arcs, arc{e.to, e.after, room, t.head[e.from]}, arc{e.from, -e.after, 0, t.head[e.to]})
	t.head[e.from], t.head[e.to] = k, k+1
}

// unlink takes the arcs from k on out again, the newest first.
func (t *timing) unlink(k int) {
	for len(t.arcs) > k {
		last := len(t.arcs) - 2
		to, from := t.arcs[last].to, t.arcs[last+1].to
		t.head[to] = t.arcs[last+1].next
		t.head[from] = t.arcs[last].next
		t.arcs = t.arcs[:last]
	}
	for i := 0; i < len(t.arcs); i += 2 {
		t.arcs[i].room, t.arcs[i+1].room = plenty, 0
	}
}

// best returns the best starts with further edges, and what they cost; earliest are the earliest starts with all edges.
// The starts are overwritten by the next call.
func (t *timing) best(further []edge, earliest []int) ([]int, int) {
	copy(t.starts, earliest)
	if t.cost() > 0 {
		for _, e := range further {
			t.link(e, plenty)
		}
		t.lower()
		t.unlink(t.base)
	}
	return t.starts, t.cost()
}

func (t *timing) cost() int {
	sum := 0
	for _, l := range t.limits {
		if over := t.starts[l.to] - t.starts[l.from] - l.within; over > 0 {
			sum += l.weight * over
		}
	}
	return sum
}

// lower sends flow until no limit is exceeded more than it must be.
func (t *timing) lower() {
	arcOf := make([]int, len(t.limits))
	for i := range arcOf {
		arcOf[i] = -1
	}
	for again := true; again; {
		again = false
		for i, l := range t.limits {
			if t.starts[l.to]-t.starts[l.from] <= l.within || arcOf[i] >= 0 && t.arcs[arcOf[i]].room == 0 {
				continue
			}
			again = true
			if arcOf[i] < 0 {
				arcOf[i] = len(t.arcs)
				t.link(edge{l.to, l.from, -l.within}, l.weight)
			}
			t.send(arcOf[i], l)
			t.longest(0, t.starts, -1)
		}
	}
}

// send sends as much as pays along the paths that the limit's own arc closes to a round.
func (t *timing) send(own int, l weighted) {
	for t.arcs[own].room > 0 {
		t.longest(l.from, t.from, own)
		if t.from[l.to] <= never || t.from[l.to] <= l.within {
			return
		}
		room := t.arcs[own].room
		for at := l.to; at != l.from; at = t.arcs[t.through[at]^1].to {
			room = min(room, t.arcs[t.through[at]].room)
		}
		for at := l.to; at != l.from; {
			k := t.through[at]
			t.arcs[k].room -= room
			t.arcs[k^1].room += room
			at = t.arcs[k^1].to
		}
		t.arcs[own].room -= room
		t.arcs[own^1].room += room
	}
}

// longest fills in the length of the longest path from a node to each other one, leaving out one arc.
func (t *timing) longest(source int, length []int, without int) {
	for i := range length {
		length[i] = never
	}
	length[source] = 0
	t.queue = append(t.queue[:0], source)
	for k := 0; k < len(t.queue); k++ {
		at := t.queue[k]
		t.waiting[at] = false
		for a := t.head[at]; a >= 0; a = t.arcs[a].next {
			arc := &t.arcs[a]
			t.work++
			if arc.room == 0 || int(a) == without {
				continue
			}
			if far := length[at] + arc.length; far > length[arc.to] {
				length[arc.to] = far
				t.through[arc.to] = a
				if !t.waiting[arc.to] {
					t.waiting[arc.to] = true
					t.queue = append(t.queue, arc.to)
				}
			}
		}
	}
}
