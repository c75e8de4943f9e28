package plan

// A price is what has been paid so far, as it depends on the moments of a zone: a sum of moments, each with a weight, and
// of what is fixed. The weights add up to nothing, since only differences are paid for.
type price struct {
	weight []int
	fixed  int
}

// pay charges so much for each unit that a is later than b.
func (p *price) pay(a, b, much int) {
	p.weight[a] += much
	p.weight[b] -= much
}

// unknown is less than any price.
const unknown = -1 << 50

// least returns a price that no moments of a zone can better. Moments that are paid for are paired with such that are paid
// back, dearest first; every pairing gives a bound.
func (p *price) least(z zone) int {
	var left [mostLanes + 2]int
	copy(left[:], p.weight)
	sum := p.fixed
	for i := 0; i < z.n; i++ {
		for left[i] > 0 {
			back, far := -1, 0
			for j := 0; j < z.n; j++ {
				if most := z.at(j, i); left[j] < 0 && most < open && (back < 0 || int(-most) > far) {
					back, far = j, int(-most)
				}
			}
			if back < 0 {
				return unknown
			}
			n := min(left[i], -left[back])
			left[i], left[back] = left[i]-n, left[back]+n
			sum += n * far
		}
	}
	return sum
}

// noLess tells whether p is nowhere in a zone less than o.
func (p *price) noLess(o *price, z zone) bool {
	var weight [mostLanes + 2]int
	over := price{weight[:len(p.weight)], p.fixed - o.fixed}
	same := true
	for i := range p.weight {
		over.weight[i] = p.weight[i] - o.weight[i]
		same = same && over.weight[i] == 0
	}
	if same {
		return over.fixed >= 0
	}
	return over.least(z) >= 0
}

// A tie is a limit that a moment may stand at: other and so much.
type tie struct {
	other int
	by    int32
}

// ties lists the limits that can be the nearest ones for a moment: how late it may be, or how early. A limit that another
// one always comes before is left out.
func ties(z zone, a int, late bool, out []tie) []tie {
	limit := func(y int) int32 {
		if late {
			return z.at(a, y)
		}
		return z.at(y, a)
	}
	between := func(x, y int) int32 {
		if late {
			return z.at(x, y)
		}
		return z.at(y, x)
	}
	before := func(x, y int) bool {
		far := between(x, y)
		return far < open && limit(x)+far <= limit(y)
	}
	out = out[:0]
next:
	for y := 0; y < z.n; y++ {
		if y == a || limit(y) >= open {
			continue
		}
		for x := 0; x < z.n; x++ {
			if x == a || x == y || limit(x) >= open || !before(x, y) || y < x && before(y, x) {
				continue
			}
			continue next
		}
		out = append(out, tie{y, limit(y)})
	}
	return out
}

// nearest keeps the moments of a zone for which one of the ties is the nearest; false when there are none.
func nearest(z zone, all []tie, k int, late bool) bool {
	t := all[k]
	for i, o := range all {
		if i == k {
			continue
		}
		// late: t.other + t.by <= o.other + o.by; early: t.other - t.by >= o.other - o.by
		if late && !z.limit(t.other, o.other, o.by-t.by) || !late && !z.limit(o.other, t.other, o.by-t.by) {
			return false
		}
	}
	return true
}
