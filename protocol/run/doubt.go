package run

import (
	"fmt"
	"math"
	"strings"
	"time"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// A claim is a value that is about to be kept: typed for a reading, and read at a time.
type claim struct {
	parsed
	r       *protocol.Reading
	portion int
	typed   string
	at      time.Duration
	of      int // number of the event that it supersedes; 0: none
}

// A doubt is why a value is asked about before it is kept.
type doubt struct {
	ask     string // "23.0 °C is below what is expected (…)"
	slip    string // what it may have been instead; "" where nothing is likely
	planned string // for the record, where it is not that what was expected was missed
}

// ask returns the question about a claim that is doubted, or nil, and what the record says was planned instead. What a
// guard would say of the value stands in the question: once it is kept, the display may show something else.
func (d *decision) ask(c claim) (*Question, string) {
	values := d.s.Values(d.v.Label)
	found := d.doubt(c, values)
	if found == nil {
		return nil, ""
	}
	say := c.r.Title + ": " + found.ask + ". " + found.slip
	for _, spoken := range d.unheld(c.r, d.with(c)) {
		say += spoken.Say + " "
	}
	return &Question{Say: say + "Keep it?", Yes: "keep it with a mark"}, found.planned
}

// Doubt tells whether a reading that is taken over from paper would have been asked about: what was expected instead, with
// the slip that is likely.
func (s *State) Doubt(vessel string, f ReadingTaken) (planned string, doubted bool) {
	v, r := s.Vessel(vessel), s.Protocol.Reading(f.Reading)
	if v == nil || r == nil {
		return "", false
	}
	d, values := &decision{s: s, v: v}, s.Values(vessel)
	c := claim{parsed: parsed{value: f.Value, text: f.Text}, r: r, portion: f.Portion, typed: f.Typed, at: time.Duration(f.TypedAt)}
	found := d.doubt(c, values)
	if found == nil {
		return "", false
	}
	if planned = found.planned; planned == "" {
		planned = Expected(r, f.Portion, values)
	}
	if found.slip != "" {
		planned += ". " + strings.TrimSpace(found.slip)
	}
	return planned, true
}

// with sees the vessel's names as they would be with a claim kept.
func (d *decision) with(c claim) *Values {
	x := d.s.Values(d.v.Label)
	if c.of > 0 {
		x.instead = map[int]parsed{c.of: c.parsed}
		return x
	}
	x.extra = &Taken{Reading: c.r, Portion: c.portion, Value: c.value, Text: c.text, At: Moment{Elapsed: c.at}}
	return x
}

// doubt finds the first of three reasons: outside what is expected, further from the point before it than a series goes
// in that time, finer than the instrument is read.
func (d *decision) doubt(c claim, values *Values) *doubt {
	if c.r.Kind != protocol.Number && c.r.Kind != protocol.Series && c.r.Kind != protocol.Stopwatch {
		return nil
	}
	in := boundsOf(c.r, c.portion, values)
	if side := in.side(c.value); side != "" {
		return &doubt{
			ask:  fmt.Sprintf("%s is %s what is expected (%s)", c.shown(), side, Expected(c.r, c.portion, values)),
			slip: c.slip(in) + d.slipBefore(c),
		}
	}
	if found := d.tooFast(c, values); found != nil {
		return found
	}
	return d.tooFine(c)
}

func (c claim) shown() string { return shownIn(c.r, c.value) }

// shownIn shows a value as the reading's instrument would, with its unit.
func shownIn(r *protocol.Reading, value float64) string {
	return strings.TrimRight(Figure(value, r)+" "+unitOf(r).Shown(), " ")
}

// bounds are the ends of what is expected; either may be missing.
type bounds struct{ low, high *float64 }

func boundsOf(r *protocol.Reading, portion int, values *Values) bounds {
	var b bounds
	if q, ok := bound(r.Low, r, portion, values); ok {
		b.low = &q.Value
	}
	if q, ok := bound(r.High, r, portion, values); ok {
		b.high = &q.Value
	}
	return b
}

// side tells on which side of the bounds a value lies: "below", "above", or "" inside.
func (b bounds) side(value float64) string {
	switch {
	case b.low != nil && value < *b.low:
		return "below"
	case b.high != nil && value > *b.high:
		return "above"
	}
	return ""
}

// tooFast doubts a point of a series that is further from the one before it than the series goes in that time. A point
// that was itself kept after a question does not count alone: what agrees with the one before that is no news.
func (d *decision) tooFast(c claim, values *Values) *doubt {
	var first *doubt
	for i := len(d.v.Taken) - 1; i >= 0; i-- {
		t := &d.v.Taken[i]
		if t.Reading != c.r || t.NotTaken || t.Portion != c.portion || t.Event == c.of || t.At.Elapsed > c.at {
			continue
		}
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
	return first
}

// after doubts a point by how fast the series would have changed since an earlier one.
func (c claim) after(t *Taken, values *Values) *doubt {
	passed, slack := max(c.at-t.At.Elapsed, beat(c.r)).Minutes(), scatter(t)
	var in bounds
	if rate, ok := rateOf(c.r, c.r.Fall, values); ok {
		low := t.Value + rate*passed - slack
		in.low = &low
	}
	if rate, ok := rateOf(c.r, c.r.Rise, values); ok {
		high := t.Value + rate*passed + slack
		in.high = &high
	}
	way, end := "fall", in.low
	switch in.side(c.value) {
	case "":
		return nil
	case "above":
		way, end = "rise", in.high
	}
	since := Hms(c.at-t.At.Elapsed) + " after " + t.Shown()
	until := limit(quantity.Exact(*end, c.r.Unit), c.r) + " " + c.r.Unit.Shown()
	return &doubt{
		ask:     fmt.Sprintf("%s, %s, is a faster %s than expected (to %s)", c.shown(), since, way, until),
		slip:    c.slip(in),
		planned: fmt.Sprintf("%s, a %s to %s at most", since, way, until),
	}
}

// beat is the shortest time that counts as having passed between two points: they may be typed in one go from a slip of
// paper.
func beat(r *protocol.Reading) time.Duration {
	least := 30 * time.Second
	for _, rem := range r.Stage.Reminders {
		if rem.Reading == r.ID && rem.Every > 0 {
			least = min(least, rem.Every)
		}
	}
	return least
}

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

// tooFine doubts a figure that the instrument does not show. It is asked about once: who reads between the lines of an
// instrument may go on doing so.
func (d *decision) tooFine(c claim) *doubt {
	if !c.isFiner() {
		return nil
	}
	for _, v := range d.s.Vessels {
		for _, t := range v.Taken {
			if t.Reading.Instrument == c.r.Instrument && !t.NotTaken && (claim{parsed: parsed{value: t.Value}, r: t.Reading, typed: t.Typed}).isFiner() {
				return nil
			}
		}
	}
	step, _ := step(c.r)
	steps := quantity.Plain(step, 6) + " " + c.r.Unit.Interval().Shown()
	return &doubt{
		ask:     fmt.Sprintf("%s is finer than %s is read, in steps of %s", quantity.Plain(c.value, 12)+" "+c.r.Unit.Shown(), c.r.Instrument.Title, steps),
		planned: "in steps of " + steps,
	}
}

// isFiner tells whether a value stands between two steps of its instrument; one that was typed in another unit is passed
// over.
func (c claim) isFiner() bool {
	step, ok := step(c.r)
	if !ok || c.r.Kind == protocol.Stopwatch || !endsInFigure(c.typed) {
		return false
	}
	n := c.value / step
	return math.Abs(n-math.Round(n)) > 1e-6*max(1, math.Abs(n))
}

func endsInFigure(typed string) bool {
	return typed != "" && strings.ContainsAny(typed[len(typed)-1:], "0123456789.,")
}
