package plan

// A view is a pool as a bound sees it: what the lanes have to do in it, one after the other. Times are counted as often as
// the pool has places, so that it is like one place that works as fast as all together.
type view struct {
	places int
	parts  [][]part // by lane
	from   [][]int  // by lane and link: the first part at it or after it
	gaps   []gap
}

// A part is a link in a view.
type part struct {
	link  int
	takes int
	tail  int // from its end until the end of all, at least
}

// views returns what is bounded: the hands, and tools where the hands alone do not keep them apart.
func (s *sweep) views() []view {
	var out []view
	for pool := range s.m.pools {
		if pool > 0 && !s.overlap {
			break
		}
		w := view{places: s.m.pools[pool].places}
		for v := range s.lanes {
			w.lane(&s.lanes[v], pool)
		}
		for _, g := range s.gaps {
			w.gaps = append(w.gaps, gap{g.from * w.places, g.to * w.places})
		}
		out = append(out, w)
	}
	return out
}

func (w *view) lane(l *lane, pool int) {
	var parts []part
	var from []int
	for j := range l.links {
		from = append(from, len(parts))
		if amount := l.links[j].takesOf(pool); amount > 0 && l.takes[j] > 0 {
			parts = append(parts, part{j, amount * l.takes[j], (l.tail[j] - l.takes[j]) * w.places})
		}
	}
	w.parts, w.from = append(w.parts, parts), append(w.from, from)
}

// earliestEnd is a time before which the end cannot be.
func (s *sweep) earliestEnd(to *state) int {
	end := to.earliest(begun)
	for v := range s.lanes {
		if s.overlap && to.known(2+v) {
			end = max(end, to.earliest(2+v))
		}
		if l, j := &s.lanes[v], int(to.done[v]); j < len(l.links) {
			end = max(end, l.soonest[j]+l.tail[j])
		}
	}
	for i := range s.bounds {
		if end = max(end, s.interrupted(&s.bounds[i], to)); end > s.by {
			return end
		}
	}
	return end
}

// A rest is what is left of a lane in a view: of its first part so much, not before a time and with such a tail.
type rest struct {
	left, from, tail int
	parts            []part
	soonest          []int // of the lane
}

// next goes on to the first part of what is left.
func (r *rest) next(places int) {
	p := &r.parts[0]
	r.left, r.from, r.tail, r.parts = p.takes, r.soonest[p.link]*places, p.tail, r.parts[1:]
}

// interrupted is the end of what is left in a pool, were it to be interrupted at will: each part no earlier than those
// before it in its lane allow, and of those that could go on the one with the longest tail first. In a lane the tails grow
// shorter, so only its first unfinished part counts.
func (s *sweep) interrupted(w *view, to *state) int {
	var room [mostLanes]rest
	open := room[:0]
	for v := range s.lanes {
		j := int(to.done[v])
		if j == len(s.lanes[v].links) || w.from[v][j] == len(w.parts[v]) {
			continue
		}
		open = append(open, rest{parts: w.parts[v][w.from[v][j]:], soonest: s.lanes[v].soonest})
		open[len(open)-1].next(w.places)
	}
	end, gap := 0, 0
	for now := to.earliest(begun) * w.places; len(open) > 0; {
		pick, tail, soon := -1, -1, beyond
		for i := range open {
			if r := &open[i]; r.from > now {
				soon = min(soon, r.from)
			} else if r.tail > tail {
				pick, tail = i, r.tail
			}
		}
		s.work += 2 * len(open)
		for now >= w.gaps[gap].to {
			gap++
		}
		switch {
		case pick < 0:
			now = soon
			continue
		case now < w.gaps[gap].from:
			now = w.gaps[gap].from
			continue
		}
		r := &open[pick]
		work := min(r.left, soon-now, w.gaps[gap].to-now)
		now += work
		if r.left -= work; r.left > 0 {
			continue
		}
		if end = max(end, now+tail); end > s.by*w.places {
			break
		}
		if len(r.parts) > 0 {
			r.next(w.places)
			continue
		}
		open[pick] = open[len(open)-1]
		open = open[:len(open)-1]
	}
	return (end + w.places - 1) / w.places
}
