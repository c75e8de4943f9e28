package plan

// A zone is a set of moments that belong together: for each two of them, the most by which the first may be later than
// the second. Moment 0 is the start of the plan. The table is closed: what follows from its entries is in it.
type zone struct {
	n    int
	most []int32 // row by row; open: no limit
}

// open is no limit between two moments.
const open int32 = 1 << 28

func (z zone) clear() {
	for i := range z.most {
		z.most[i] = open
	}
	for i := 0; i < z.n; i++ {
		z.most[i*z.n+i] = 0
	}
}

// at returns the most by which a may be later than b.
func (z zone) at(a, b int) int32 { return z.most[a*z.n+b] }

// earliest returns the earliest that a moment can be.
func (z zone) earliest(a int) int { return int(-z.most[a]) }

// known tells whether a moment is bound to the one at which the hands are free, or to the start.
func (z zone) known(a int) bool { return z.most[a] < open || z.at(a, begun) < open }

// limit lets a be at most so much later than b, with all that follows; false when no moments are left.
func (z zone) limit(a, b int, most int32) bool {
	n := z.n
	if most >= z.most[a*n+b] {
		return true
	}
	if back := z.most[b*n+a]; back < open && back+most < 0 {
		return false
	}
	row := z.most[b*n : b*n+n]
	for x := 0; x < n; x++ {
		to := z.most[x*n+a]
		if to >= open {
			continue
		}
		to += most
		out := z.most[x*n : x*n+n]
		for y, far := range row {
			if far < open && to+far < out[y] {
				out[y] = to + far
			}
		}
	}
	return true
}

// later moves a moment by some time.
func (z zone) later(a int, by int32) {
	for y := 0; y < z.n; y++ {
		if y == a {
			continue
		}
		if z.most[a*z.n+y] < open {
			z.most[a*z.n+y] += by
		}
		if z.most[y*z.n+a] < open {
			z.most[y*z.n+a] -= by
		}
	}
}

// equal makes one moment, of which nothing need hold, the same as another.
func (z zone) equal(a, b int) {
	for y := 0; y < z.n; y++ {
		z.most[a*z.n+y], z.most[y*z.n+a] = z.most[b*z.n+y], z.most[y*z.n+b]
	}
	z.most[a*z.n+b], z.most[b*z.n+a], z.most[a*z.n+a] = 0, 0, 0
}

// release lets a moment be as late as it likes.
func (z zone) release(a int) {
	for y := 0; y < z.n; y++ {
		if y != a {
			z.most[a*z.n+y] = open
		}
	}
}

// advance lets a moment be as early as it likes.
func (z zone) advance(a int) {
	for y := 0; y < z.n; y++ {
		if y != a {
			z.most[y*z.n+a] = open
		}
	}
}

// forget takes out all that holds of a moment.
func (z zone) forget(a int) {
	z.release(a)
	z.advance(a)
}

// within tells whether all moments of z are in o.
func (z zone) within(o zone) bool {
	for i, most := range z.most {
		if most > o.most[i] {
			return false
		}
	}
	return true
}
