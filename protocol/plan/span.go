package plan

// spans finds the times at which each link may begin so that its lane, were it alone, keeps its windows, works in no break
// and ends by the end allowed. A link whose follower begins so late at most ends before that.
func (s *sweep) spans() {
	for v := range s.lanes {
		l := &s.lanes[v]
		for j := range l.links {
			l.latest[j] = s.by - l.tail[j]
		}
	}
	for v := len(s.lanes) - 1; v >= 0; v-- {
		l := &s.lanes[v]
		for j := len(l.links) - 1; j >= l.first; j-- {
			l.spans[j] = s.spansOf(v, j)
			if k := len(l.spans[j]); k > 0 {
				l.latest[j] = l.spans[j][k-1].to
			} else {
				l.latest[j] = -1
			}
			for _, o := range l.leaders[j] {
				u := &s.lanes[o.lane]
				u.latest[o.link] = min(u.latest[o.link], l.latest[j]-u.takes[o.link])
			}
		}
	}
}

// spansOf returns the spans of a link, from those of the next one in its lane.
func (s *sweep) spansOf(v, j int) []gap {
	l, out := &s.lanes[v], s.lanes[v].spans[j][:0]
	for _, g := range s.when(v, j) {
		free := gap{g.from, min(g.to-l.takes[j], l.latest[j])}
		if j+1 == len(l.links) {
			out = extend(out, free)
			continue
		}
		next := &l.links[j+1]
		for _, t := range l.spans[j+1] {
			out = extend(out, gap{max(free.from, t.from-l.takes[j]-next.max), min(free.to, t.to-l.takes[j]-next.least)})
		}
	}
	return out
}

// extend adds a span to others that begin no later.
func extend(spans []gap, g gap) []gap {
	k := len(spans) - 1
	switch {
	case g.to < g.from:
		return spans
	case k >= 0 && g.from <= spans[k].to:
		spans[k].to = max(spans[k].to, g.to)
		return spans
	}
	return append(spans, g)
}

// among returns the first and the last time of some spans that lie between two times; false when there is none.
func among(spans []gap, from, by int) (first, last int, ok bool) {
	for _, t := range spans {
		if t.to < from || t.from > by {
			continue
		}
		if last = min(by, t.to); !ok {
			first, ok = max(from, t.from), true
		}
	}
	return first, last, ok
}

// spanned lets a lane's next link begin within its spans; false when it cannot.
func (s *sweep) spanned(to *state, v int) bool {
	l, end, j := &s.lanes[v], 2+v, int(to.done[v])
	next, from, by := &l.links[j], to.earliest(begun), s.by
	waits := to.known(end)
	if waits {
		from = max(from, to.earliest(end)+next.least)
		if latest := to.at(end, 0); latest < open {
			by = min(by, int(latest)+next.max)
		}
	}
	from, by, ok := among(l.spans[j], from, by)
	switch {
	case !ok || !to.limit(begun, 0, int32(by)):
		return false
	case !waits:
		return true
	case next.max < cannot && !(to.limit(begun, end, int32(next.max)) && to.limit(0, end, int32(next.max-from))):
		return false
	}
	return next.open() || to.limit(end, 0, int32(by-next.least))
}
