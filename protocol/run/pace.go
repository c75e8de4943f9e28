package run

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// tooFast doubts a point of a series that is further from the one before it than the series goes in that time. A point
// that was itself kept after a question does not count alone: what agrees with the one before that is no news.
func (d *decision) tooFast(c claim, values *Values) *doubt {
	if c.r.Fall == nil && c.r.Rise == nil {
		return nil
	}
	var first *doubt
	points := d.before(c)
	for _, t := range points {
		found := c.after(t, values)
		if found == nil {
			return nil
		}
		if first == nil {
			first = found
		}
		if !t.Unlikely {
			break
		}
	}
	if first != nil {
		first.slips = d.slipsOfPace(c, points, values)
	}
	return first
}

// nearer is how many times nearer to the middle of what a series can have come to a swap of figures is to bring a point: a
// rate alone says less of a value than a range does.
const nearer = 4

// slipsOfPace names what may have been meant with a point, or with the one before it. That one comes first where it is the
// only one, so that nothing confirms it.
func (d *decision) slipsOfPace(c claim, points []*Taken, values *Values) []slip {
	if again := d.retyped(c, points[0]); again != nil {
		return again
	}
	var own []slip
	for _, t := range points {
		in, _, _ := c.reach(t, values)
		if own = c.slip(in.and(boundsOf(c.r, c.portion, values)), nearer); own != nil || !t.Unlikely {
			break
		}
	}
	earlier := d.slipOfPoint(c, points, values)
	if len(points) == 1 {
		return append(earlier, own...)
	}
	return append(own, earlier...)
}

// slipOfPoint names a slip in the newest of some points, with which it fits the one before it and the claim fits it.
func (d *decision) slipOfPoint(c claim, points []*Taken, values *Values) []slip {
	t := points[0]
	if d.v.TakenBy(t.Event) == nil {
		return nil // read with another vessel
	}
	for _, p := range d.meantBy(t) {
		meant := *t
		meant.Value = p.value
		isLikely := c.after(&meant, values) == nil
		if len(points) > 1 {
			isLikely = isLikely && claim{parsed: p, r: c.r, at: t.At.Elapsed}.after(points[1], values) == nil
		}
		if isLikely {
			return d.slipIn(t, "the one before", p)
		}
	}
	return nil
}

// retyped asks whether a point that comes right after another one, of nearly the same figures, is to stand for it.
func (d *decision) retyped(c claim, t *Taken) []slip {
	if c.of > 0 || d.v.TakenBy(t.Event) == nil || c.at-t.At.Elapsed > beat(c.r)/3 || !areAlike(c.typed, t.Typed) {
		return nil
	}
	return []slip{{
		say: fmt.Sprintf("Is it to stand for the %s of just now?", t.Shown()),
		how: fmt.Sprintf("Then say no, and type c %s %s. ", d.v.nameOf(t), c.typed),
		of:  t, is: c.parsed,
	}}
}

// areAlike tells whether two typed numbers have the same figures, in whatever order, or differ in one figure.
func areAlike(a, b string) bool {
	figures := func(s string) []byte {
		return slices.DeleteFunc([]byte(s), func(c byte) bool { return c < '0' || c > '9' })
	}
	x, y := figures(a), figures(b)
	if len(x) != len(y) {
		return false
	}
	differ := 0
	for i := range x {
		if x[i] != y[i] {
			differ++
		}
	}
	slices.Sort(x)
	slices.Sort(y)
	return differ <= 1 || slices.Equal(x, y)
}

// before returns the points of a series that were read before a claim of it, the newest first: by when they were read, for
// some may have been entered later. Those of a shared series count with whichever vessel they were read. None is there from
// before the second one that is beyond doubt: the newest may be a slip, and is held against that.
func (d *decision) before(c claim) []*Taken {
	vessels := []*Vessel{d.v}
	if c.r.Shared {
		vessels = d.s.Vessels
	}
	var out []*Taken
	for _, v := range vessels {
		sure := 0
		for i := len(v.Taken) - 1; i >= 0 && sure < 2; i-- {
			t := &v.Taken[i]
			if t.Reading != c.r || t.NotTaken || t.Portion != c.portion || t.Event == c.of || t.At.Elapsed > c.at {
				continue
			}
			if out = append(out, t); t.Entered == nil && !t.Unlikely {
				sure++ // what the vessel has from before that was read before it
			}
		}
	}
	slices.SortFunc(out, func(a, b *Taken) int {
		return cmp.Or(cmp.Compare(b.At.Elapsed, a.At.Elapsed), b.Event-a.Event)
	})
	return out
}

// after doubts a point by how fast the series would have changed since an earlier one.
func (c claim) after(t *Taken, values *Values) *doubt {
	in, fall, rise := c.reach(t, values)
	side, end, rate := in.side(c.value), in.low, fall
	switch side {
	case "":
		return nil
	case "above":
		end, rate = in.high, rise
	}
	pace, way, most := paceWords(side, rate)
	since := Hms(c.at-t.At.Elapsed) + " after " + t.Shown()
	until := strings.TrimRight(limit(quantity.Exact(*end, c.r.Unit), c.r)+" "+c.r.Unit.Shown(), " ")
	return &doubt{
		ask:     fmt.Sprintf("%s, %s, is a %s %s than expected (to %s)", c.shown(), since, pace, way, until),
		planned: fmt.Sprintf("%s, a %s to %s %s", since, way, until, most),
	}
}

// reach returns how far a series may have come since an earlier point, and the rates that it may change at, in its unit per
// minute. Less time than a beat counts as one where that gives it more room.
func (c claim) reach(t *Taken, values *Values) (in bounds, fall, rise float64) {
	passed, slack := (c.at - t.At.Elapsed).Minutes(), scatter(t)
	least := max(passed, beat(c.r).Minutes())
	fall, ok := rateOf(c.r, c.r.Fall, values)
	if ok {
		low := toStep(t.Value+min(fall*passed, fall*least)-slack, c.r)
		in.low = &low
	}
	rise, ok = rateOf(c.r, c.r.Rise, values)
	if ok {
		high := toStep(t.Value+max(rise*passed, rise*least)+slack, c.r)
		in.high = &high
	}
	return in, fall, rise
}

// expected tells what the reading asked for is expected to be now: of a series, no more than it goes from its last point on in
// the whole beats since, so that the words stand still between two of them. After a point that was doubted the range alone
// tells.
func (l *look) expected(r *protocol.Reading) string {
	in := boundsOf(r, l.v.Portion, l.values)
	t := l.lastPoint(r)
	if t == nil || t.Unlikely || r.Fall == nil && r.Rise == nil {
		return in.words(r)
	}
	least := beat(r)
	passed := max(least, (l.now - t.At.Elapsed).Truncate(least))
	reach, _, _ := claim{r: r, at: t.At.Elapsed + passed}.reach(t, l.values)
	narrow := in.and(reach)
	if narrow.low != nil && narrow.high != nil && *narrow.low > *narrow.high {
		return in.words(r)
	}
	return narrow.words(r)
}

// lastPoint is the point of a series that was read last; nil where there is none.
func (l *look) lastPoint(r *protocol.Reading) *Taken {
	var last *Taken
	for _, v := range l.s.Vessels {
		if v != l.v && !r.Shared {
			continue
		}
		for i := range v.Taken {
			t := &v.Taken[i]
			if t.Reading == r && !t.NotTaken && t.Portion == l.v.Portion && (last == nil || t.At.Elapsed >= last.At.Elapsed) {
				last = t
			}
		}
	}
	return last
}

// paceWords tell a change that is beyond one of its rates: a series that has to rise is too slow below the lower one.
func paceWords(side string, rate float64) (pace, way, most string) {
	switch {
	case side == "below" && rate > 0:
		return "slower", "rise", "at least"
	case side == "below":
		return "faster", "fall", "at most"
	case rate < 0:
		return "slower", "fall", "at least"
	}
	return "faster", "rise", "at most"
}

// mostBeat bounds the beat of a series here: over a longer time a rate would leave room for anything.
const mostBeat = 30 * time.Second

// beat is the shortest time that counts as having passed between two points: they may be typed in one go from a slip of
// paper.
func beat(r *protocol.Reading) time.Duration { return min(r.Beat(), mostBeat) }

// scatter is how far two points may differ by their instrument alone: twice the standard uncertainty of the difference.
func scatter(t *Taken) float64 {
	r := t.Reading
	diff, err := quantity.Sub(r.Instrument.Measure(t.Value, r.Unit, r.ID+".1"), r.Instrument.Measure(t.Value, r.Unit, r.ID+".2"))
	if err != nil {
		return 0
	}
	return 2 * diff.U()
}

// rateOf is an expected rate of change, in the reading's unit per minute.
func rateOf(r *protocol.Reading, b *protocol.Bound, values *Values) (float64, bool) {
	if b == nil {
		return 0, false
	}
	unit, err := r.RateUnit()
	if err != nil {
		return 0, false
	}
	q, err := b.Value(values, 0)
	if err == nil {
		q, err = q.To(unit)
	}
	return q.Value, err == nil
}
