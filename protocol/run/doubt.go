package run

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/meniscus/calc/formula"
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
	slips   []slip // what may have been meant instead, the likeliest first
	planned string // for the record, where it is not that what was expected was missed
}

// ask returns the question about a claim that is doubted, or nil, and what the record says was planned instead. What a
// guard would say of the value stands in the question: once it is kept, the display may show something else.
func (d *decision) ask(c claim) (*Question, string) {
	found := d.doubt(c, d.s.Values(d.v.Label))
	if found == nil {
		return nil, ""
	}
	say := c.r.Title + ": " + found.ask + ". "
	for _, s := range found.slips {
		say += s.say + " " + s.how
	}
	return &Question{Say: say + d.guarded(c, found.slips) + "Keep it?", Yes: "keep it with a mark"}, found.planned
}

// guarded is what the first guard says that a claim breaks; "" where a slip explains the value: with what was meant, the
// guard holds.
func (d *decision) guarded(c claim, slips []slip) string {
	for _, spoken := range d.unheld(c.r, d.with(c)) {
		explained := slices.ContainsFunc(slips, func(s slip) bool {
			return !slices.ContainsFunc(d.unheld(c.r, d.meant(c, s)), func(g GuardSpoke) bool { return g.Guard == spoken.Guard })
		})
		if !explained {
			return withoutLook(spoken.Say, c.r) + " "
		}
	}
	return ""
}

// withoutLook leaves out a last sentence that sends the eye to the reading that is at hand anyway.
func withoutLook(say string, r *protocol.Reading) string {
	if i := strings.LastIndex(say, " Look at “"+r.Title+"”"); i > 0 && strings.ContainsRune(".?!", rune(say[i-1])) {
		return say[:i]
	}
	return say
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
	for i, s := range found.slips {
		if i == 0 {
			planned += "."
		}
		planned += " " + s.say
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

// meant sees them as they would be with what a slip stands for.
func (d *decision) meant(c claim, s slip) *Values {
	if s.of == nil {
		c.parsed = s.is
		return d.with(c)
	}
	x := d.with(c)
	if x.instead == nil {
		x.instead = map[int]parsed{}
	}
	x.instead[s.of.Event] = s.is
	return x
}

// doubt finds the first of four reasons: outside what is expected, further from the point before it than a series goes
// in that time, more than all portions come to, finer than the instrument is read.
func (d *decision) doubt(c claim, values *Values) *doubt {
	if c.r.Kind != protocol.Number && c.r.Kind != protocol.Series && c.r.Kind != protocol.Stopwatch {
		return nil
	}
	in := boundsOf(c.r, c.portion, values)
	if side := in.side(c.value); side != "" {
		return &doubt{
			ask:   fmt.Sprintf("%s is %s what is expected (%s)", c.shown(), side, Expected(c.r, c.portion, values)),
			slips: append(c.slip(in, 1), d.slipBefore(c)...),
		}
	}
	if found := d.tooFast(c, values); found != nil {
		return found
	}
	if found := d.tooMuch(c); found != nil {
		return found
	}
	return d.tooFine(c)
}

func (c claim) shown() string { return shownIn(c.r, c.value) }

// shownIn shows a value as the reading's instrument would, with its unit.
func shownIn(r *protocol.Reading, value float64) string {
	return strings.TrimRight(Figure(value, r)+" "+unitOf(r).Shown(), " ")
}

// bounds are the ends of what is expected, as they are shown: a value that reads like an end is inside. Either may be missing.
type bounds struct{ low, high *float64 }

func boundsOf(r *protocol.Reading, portion int, values formula.Values) bounds {
	var b bounds
	if q, ok := bound(r.Low, r, portion, values); ok {
		low := toStep(q.Value, r)
		b.low = &low
	}
	if q, ok := bound(r.High, r, portion, values); ok {
		high := toStep(q.Value, r)
		b.high = &high
	}
	return b
}

// and narrows bounds by others.
func (b bounds) and(o bounds) bounds {
	if b.low == nil || o.low != nil && *o.low > *b.low {
		b.low = o.low
	}
	if b.high == nil || o.high != nil && *o.high < *b.high {
		b.high = o.high
	}
	return b
}

// words tell the bounds; "" where there are none.
func (b bounds) words(r *protocol.Reading) string {
	end := func(v *float64) string { return limit(quantity.Exact(*v, unitOf(r)), r) }
	said := ""
	switch {
	case b.low != nil && b.high != nil:
		said = end(b.low) + " to " + end(b.high)
	case b.low != nil:
		said = "at least " + end(b.low)
	case b.high != nil:
		said = "at most " + end(b.high)
	default:
		return ""
	}
	return strings.TrimRight(said+" "+r.Unit.Shown(), " ")
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
