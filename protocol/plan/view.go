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
	takes  int
	before int // from the start of the lane's first link until its own, at least
	tail   int // from its end until the lane's, at least
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
			parts = append(parts, part{amount * l.takes[j], l.before[j] * w.places, (l.tail[j] - l.takes[j]) * w.places})
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
	}
	for i := range s.bounds {
		if end = max(end, s.interrupted(&s.bounds[i], to)); end > s.by {
			return end
		}
	}
	return end
}

// A rest is what is left of a lane: of its first part so much, and when the lane would have had to begin for that.
type rest struct {
	parts       []part
	left, began int
}

// interrupted is the end of what is left in a pool, were it to be interrupted at will: each part no earlier than those
// before it in its lane allow, and of those that could go on the one with the longest tail first. In a lane the tails grow
// shorter, so only its first unfinished part counts.
func (s *sweep) interrupted(w *view, to *state) int {
	var room [mostLanes]rest
	open, now := room[:0], to.earliest(begun)
	for v := range s.lanes {
		l, j := &s.lanes[v], int(to.done[v])
		if j == len(l.links) || w.from[v][j] == len(w.parts[v]) {
			continue
		}
		from := now
		if j > 0 && to.known(2+v) {
			from = max(now, to.earliest(2+v)+l.links[j].least)
		}
		parts := w.parts[v][w.from[v][j]:]
		open = append(open, rest{parts, parts[0].takes, (from - l.before[j]) * w.places})
	}
	end, gap := 0, 0
	for now *= w.places; len(open) > 0; {
		pick, tail, soon := -1, -1, beyond
		for i := range open {
			p := &open[i].parts[0]
			if at := open[i].began + p.before; at > now {
				soon = min(soon, at)
			} else if p.tail > tail {
				pick, tail = i, p.tail
			}
		}
		s.work += len(open)
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
		if r.parts = r.parts[1:]; len(r.parts) > 0 {
			r.left = r.parts[0].takes
			continue
		}
		open[pick] = open[len(open)-1]
		open = open[:len(open)-1]
	}
	return (end + w.places - 1) / w.places
}
