package run

import (
	"fmt"
	"slices"
	"strings"

	"example.org/meniscus/protocol"
)

// A tally is what a vessel was given in portions so far.
type tally struct {
	given   float64
	planned float64 // for the portions that were given
	whole   float64 // what all portions are to come to; 0: not declared
	told    string  // the same, as the instrument would show it
	least   float64 // the smallest portion
	begun   bool    // something was given, or taken back
}

// tallyOf adds up a live figure of a stage, by these values.
func (s *State) tallyOf(f protocol.Live, v *Vessel, values *Values) tally {
	st := f.Sum.Stage
	t := tally{begun: slices.ContainsFunc(v.Taken, func(t Taken) bool { return t.Reading == f.Sum })}
	if of, ok := bound(f.Of, f.Sum, 0, values); ok {
		t.whole, t.told = of.Value, limit(of, f.Sum)
	}
	share := func(portion int) float64 {
		if portion <= len(st.Shares) {
			return st.Shares[portion-1]
		}
		return 1 / float64(st.Portions)
	}
	for _, taken := range values.takenOf(f.Sum) {
		t.given += taken.Value
		t.planned += share(taken.Portion) * t.whole
	}
	t.least = t.whole
	for portion := 1; portion <= st.Portions; portion++ {
		t.least = min(t.least, share(portion)*t.whole)
	}
	return t
}

// over is by how much more than half a portion too much was given so far; 0: it was not.
func (t tally) over() float64 {
	if by := t.given - t.planned; t.whole > 0 && by > t.least/2 {
		return by
	}
	return 0
}

// sum tells a tally: "19.5 of 26.5 mL", and where more was given than the portions so far were to be.
func (l *look) sum(f protocol.Live) []LiveView {
	t := l.s.tallyOf(f, l.v, l.values)
	if !t.begun {
		return nil
	}
	text := Figure(t.given, f.Sum)
	if t.whole > 0 {
		text += " of " + t.told
	}
	out := LiveView{Say: f.Say, Value: strings.TrimRight(text+" "+f.Unit.Shown(), " ")}
	if by := t.over(); by > 0 {
		out.Over = fmt.Sprintf("%s more than planned so far: was a portion given twice?", shownIn(f.Sum, toStep(by, f.Sum)))
	}
	return []LiveView{out}
}

// tooMuch doubts a portion that brings a vessel to half a portion more than all of them together, where its own size is
// as expected: one of them was given twice, or to the wrong vessel.
func (d *decision) tooMuch(c claim) *doubt {
	f, ok := dosed(c.r)
	if !ok {
		return nil
	}
	t := d.s.tallyOf(f, d.v, d.with(c))
	if t.whole <= 0 || t.given <= t.whole+t.least/2 {
		return nil
	}
	whole := strings.TrimRight(t.told+" "+unitOf(c.r).Shown(), " ")
	return &doubt{
		ask:     fmt.Sprintf("%s makes %s for %s, and %s was to be given: it may be that a portion was given twice, or to the wrong vessel", c.shown(), shownIn(c.r, t.given), d.v.Label, whole),
		planned: "no more than " + whole + " in all",
	}
}

// dosed tells whether a reading is what its stage adds up, and returns that figure.
func dosed(r *protocol.Reading) (protocol.Live, bool) {
	for _, f := range r.Stage.Live {
		if f.Sum == r {
			return f, true
		}
	}
	return protocol.Live{}, false
}
