package run

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// take records a typed reading: the one asked for, or another one of the place where the vessel stands.
func (d *decision) take(act Take) error {
	st := d.s.stage(d.v)
	if st == nil || d.v.complete(st) {
		return &Refusal{fmt.Sprintf("Nothing is asked of vessel %s: Enter begins the next stage.", d.v.Label)}
	}
	r := d.s.asked(d.v, st)
	if act.Reading != "" {
		r = nil
		for _, here := range d.v.readings(st) {
			if here.ID == act.Reading {
				r = here
			}
		}
	}
	if r == nil {
		return &Refusal{"No reading is asked for now. A remark can be kept as a note: n, then the text."}
	}
	typed, err := legible(act.Typed)
	if err != nil {
		return err
	}
	p, err := parse(r, typed)
	if err != nil {
		return err
	}
	at := act.TypedAt
	if at <= 0 || at > d.now.Elapsed {
		at = d.now.Elapsed
	}
	at = max(at.Truncate(time.Millisecond), d.v.Entered)
	unlikely := d.ask(r, d.v.Portion, p, d.s.Values(d.v.Label))
	if unlikely != nil && !d.confirmed {
		return unlikely
	}
	return d.takeAs(r, p, typed, at, unlikely != nil)
}

// ask returns the question about a value outside what is expected, or nil.
func (d *decision) ask(r *protocol.Reading, portion int, p parsed, values *Values) *Question {
	if r.Kind != protocol.Number && r.Kind != protocol.Series && r.Kind != protocol.Stopwatch {
		return nil
	}
	lo, hasLow := bound(r.Low, r, portion, values)
	hi, hasHigh := bound(r.High, r, portion, values)
	side := ""
	switch {
	case hasLow && p.value < lo.Value:
		side = "below"
	case hasHigh && p.value > hi.Value:
		side = "above"
	default:
		return nil
	}
	shown := strings.TrimRight(Figure(p.value, r)+" "+unitOf(r).Shown(), " ")
	return &Question{
		Say: fmt.Sprintf("%s: %s is %s what is expected (%s). %sKeep it?", r.Title, shown, side, Expected(r, portion, values), slip(r, p.value, lo, hi, hasLow, hasHigh)),
		Yes: "keep it with a mark",
	}
}

func (d *decision) takeAs(r *protocol.Reading, p parsed, typed string, at time.Duration, unlikely bool) error {
	st := r.Stage
	d.add(ReadingTaken{Stage: st.ID, Portion: d.v.Portion, Reading: r.ID, Typed: typed, Value: p.value, Text: p.text,
		Unit: r.UnitCode(), TypedAt: Span(at), Unlikely: unlikely, Late: d.late})
	d.also = append(d.also, key(r, d.v.Portion))
	d.guards(r)
	if r.Kind == protocol.Series {
		return nil
	}
	return d.afterReading(st)
}

// guards lets those speak that look at the reading just taken, can be worked out, and do not hold.
func (d *decision) guards(r *protocol.Reading) {
	d.speak(r, d.values())
}

// speak lets the guards that look at a reading speak, by these values.
func (d *decision) speak(r *protocol.Reading, values *Values) {
	for _, g := range d.s.Protocol.Guards {
		if !slices.Contains(g.Names, r.ID) {
			continue
		}
		if holds, known := truth(g.Holds, values); known && !holds {
			d.add(GuardSpoke{g.ID, g.Say.Fill(values, 0)})
		}
	}
}

func (d *decision) leaveOut(act LeaveOut) error {
	st := d.s.stage(d.v)
	if st == nil || d.v.complete(st) {
		return &Refusal{"No reading is asked for now."}
	}
	r, why := d.s.asked(d.v, st), clean(act.Why)
	switch {
	case r == nil:
		return &Refusal{"No reading is asked for now."}
	case why == "":
		return &Refusal{fmt.Sprintf("Leaving %s out needs a reason: x, then why.", r.Title)}
	}
	d.add(ReadingNotTaken{st.ID, d.v.Portion, r.ID, why})
	d.also = append(d.also, key(r, d.v.Portion))
	return d.afterReading(st)
}

// Parsed is what a typed line means for a reading, for an echo before it is kept; ok is false when it means nothing.
func Parsed(r *protocol.Reading, typed string) (shown string, ok bool) {
	typed, err := legible(typed)
	if err != nil {
		return "", false
	}
	p, err := parse(r, typed)
	if err != nil {
		return "", false
	}
	if p.text != "" {
		return p.text, true
	}
	if r.Kind != protocol.Number && r.Kind != protocol.Series {
		return stopwatchText(p.value), r.Kind == protocol.Stopwatch
	}
	return strings.TrimRight(quantity.Plain(p.value, 12)+" "+r.Unit.Shown(), " "), true
}
