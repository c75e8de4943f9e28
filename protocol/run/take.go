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
	c := claim{parsed: p, r: r, portion: d.v.Portion, typed: typed, at: at}
	asked, planned := d.ask(c)
	if asked != nil && !d.confirmed {
		return asked
	}
	return d.takeAs(c, asked != nil, planned)
}

// takeAs keeps a claim, which may have been doubted.
func (d *decision) takeAs(c claim, unlikely bool, planned string) error {
	st := c.r.Stage
	d.add(ReadingTaken{Stage: st.ID, Portion: c.portion, Reading: c.r.ID, Typed: c.typed, Value: c.value, Text: c.text,
		Unit: c.r.UnitCode(), TypedAt: Span(c.at), Unlikely: unlikely, Planned: planned, Late: d.late, Why: d.why})
	d.also = append(d.also, key(c.r, c.portion))
	d.speak(c.r, d.values())
	if c.r.Kind == protocol.Series {
		return nil
	}
	return d.afterReading(st)
}

// speak lets the guards that look at a reading speak, by these values.
func (d *decision) speak(r *protocol.Reading, values *Values) {
	for _, spoken := range d.unheld(r, values) {
		d.add(spoken)
	}
}

// unheld are the guards that look at a reading, can be worked out, and do not hold.
func (d *decision) unheld(r *protocol.Reading, values *Values) []GuardSpoke {
	var out []GuardSpoke
	for _, g := range d.s.Protocol.Guards {
		if !slices.Contains(g.Names, r.ID) {
			continue
		}
		if holds, known := truth(g.Holds, values); known && !holds {
			out = append(out, GuardSpoke{g.ID, g.Say.Fill(values, 0)})
		}
	}
	return out
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
