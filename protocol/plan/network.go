package plan

// never is less than any distance that can come up.
const never = -1 << 29

// A network knows for each two nodes how much later the second starts at least, whatever is still open. It is closed
// under addition: what follows from the edges is in it.
type network struct {
	n    int
	work int     // distances looked at so far
	d    []int32 // row by row; never: nothing is known
}

func newNetwork(n int) *network {
	w := &network{n: n, d: make([]int32, n*n)}
	for i := range w.d {
		w.d[i] = never
	}
	for i := 0; i < n; i++ {
		w.d[i*n+i] = 0
	}
	return w
}

// network returns what always holds, with all that follows; nil where it contradicts itself.
func (m *model) network() *network {
	w := newNetwork(m.n)
	for _, e := range m.edges {
		if !w.add(e) {
			return nil
		}
	}
	return w
}

func (w *network) after(from, to int) int { return int(w.d[from*w.n+to]) }

func (w *network) copyFrom(o *network) {
	w.n = o.n
	if cap(w.d) < len(o.d) {
		w.d = make([]int32, len(o.d))
	}
	w.d = w.d[:len(o.d)]
	copy(w.d, o.d)
	w.work += len(o.d) / 8
}

// add makes an edge hold with all that follows; false when it contradicts what holds already.
func (w *network) add(e edge) bool {
	n := w.n
	if e.after <= w.after(e.from, e.to) {
		return true
	}
	if back := w.after(e.to, e.from); back > never/2 && back+e.after > 0 {
		return false
	}
	w.work += n * n
	beyond := w.d[e.to*n : e.to*n+n]
	for x := 0; x < n; x++ {
		toFrom := w.d[x*n+e.from]
		if toFrom <= never/2 {
			continue
		}
		base := toFrom + int32(e.after)
		row := w.d[x*n : x*n+n]
		if row[e.to] >= base {
			continue
		}
		for y, b := range beyond {
			if t := base + b; b > never/2 && t > row[y] {
				row[y] = t
			}
		}
	}
	return true
}

// possible tells whether an edge can still hold, with the end no later than by.
func (w *network) possible(e edge, end, by int) bool {
	if back := w.after(e.to, e.from); back > never/2 && back+e.after > 0 {
		return false
	}
	return w.after(0, e.from)+e.after+w.after(e.to, end) <= by
}
