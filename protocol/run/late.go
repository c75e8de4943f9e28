package run

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"example.org/meniscus/protocol"
)

// takeLate records a reading that was read at an earlier time: the one asked for, or a named one that was not taken.
func (d *decision) takeLate(act Take) error {
	r, portion, err := d.lateReading(clean(act.Reading))
	if err != nil {
		return err
	}
	at, err := d.within(r.Stage, act.TypedAt)
	if err != nil {
		return err
	}
	all, err := legible(act.Typed)
	if err != nil {
		return err
	}
	typed, why, doubt := valueAndReason(r, all, d.isOver())
	p, err := parseLate(r, typed, at)
	if err != nil {
		return err
	}
	if d.isOver() && why == "" {
		return &Unfinished{Refusal{fmt.Sprintf("%s is entered after its end: say why behind the value.", r.Title)}}
	}
	c := claim{parsed: p, r: r, portion: portion, typed: typed, at: at}
	asked, planned := d.ask(c)
	switch {
	case d.confirmed:
	case asked != nil:
		return asked
	case doubt != "":
		return &Question{fmt.Sprintf("%s: “%s”, entered late for the reason “%s”? %s", r.Title, typed, why, doubt), "enter " + typed}
	}
	d.late, d.why = true, why
	if !d.isOver() && d.s.isHere(d.v, r, portion) && (r.Kind == protocol.Series || !d.s.isSettled(d.v, r, key(r, portion))) {
		return d.takeAs(c, asked != nil, planned)
	}
	return d.fillIn(c, asked != nil, planned)
}

// isOver tells whether nothing is asked of the vessel any more: it is through, or the run has ended.
func (d *decision) isOver() bool { return d.s.Ended != nil || d.v.Through != nil }

// over returns when that was, as elapsed time.
func (d *decision) over() time.Duration {
	switch {
	case d.v.Through != nil:
		return d.v.Through.Elapsed
	case d.s.Ended != nil:
		return d.s.Ended.At.Elapsed
	}
	return d.now.Elapsed
}

// valueAndReason parts what was typed for a reading from why it comes late: as many words as are a value, then the
// reason. Words are a text as a whole while no reason is needed. doubt says where they may be parted wrong.
func valueAndReason(r *protocol.Reading, typed string, needed bool) (value, why, doubt string) {
	if value, why, quoted := Quoted(typed); quoted {
		return value, why, ""
	}
	words := strings.Fields(typed)
	from := func(n int) string { return strings.Join(words[n:], " ") }
	switch {
	case len(words) == 0:
		return "", "", ""
	case r.Kind == protocol.FreeText && (!needed || len(words) == 1):
		return typed, "", ""
	case r.Kind == protocol.FreeText:
		return words[0], from(1), "A text of several words stands in quotes."
	}
	for n := min(len(words), 8); n > 0; n-- { // a value with its unit has few words
		value := strings.Join(words[:n], " ")
		if _, err := parse(r, value); err != nil {
			continue
		}
		if n < len(words) && startsNumber(words[n]) {
			doubt = "Two numbers stand one after the other."
		}
		return value, from(n), doubt
	}
	if (r.Kind == protocol.Mark || r.Kind == protocol.Tick) && !startsNumber(words[0]) {
		return "", typed, ""
	}
	return words[0], from(1), ""
}

// parseLate reads what was typed after the time; a mark and a tick need no more than that.
func parseLate(r *protocol.Reading, typed string, at time.Duration) (parsed, error) {
	if r.Kind != protocol.Mark {
		return parse(r, typed)
	}
	if typed != "" {
		return parsed{}, &Refusal{r.Title + " is a moment: the time alone says it."}
	}
	return parsed{value: at.Seconds()}, nil
}

// fillIn records a reading whose place in the protocol is passed.
func (d *decision) fillIn(c claim, unlikely bool, planned string) error {
	r, t := c.r, d.v.have(c.r, c.portion)
	read := Span(c.at)
	switch {
	case t != nil && t.NotTaken:
		d.add(ReadingCorrected{Of: t.Event, Reading: r.ID, Typed: c.typed, Value: c.value, Text: c.text, Unlikely: unlikely, Planned: planned,
			At: &read, Why: enteredLater(d.why)})
		d.correctedGuards(t, c.parsed)
		return nil
	case t == nil && r.Shared && d.s.isSettled(d.v, r, key(r, c.portion)):
		return &Refusal{fmt.Sprintf("%s holds for all vessels, and was read with another one.", r.Title)}
	case t != nil && r.Kind != protocol.Series:
		return &Refusal{fmt.Sprintf("%s was read already, as %s: c corrects it.", r.Title, t.Shown())}
	}
	d.add(ReadingTaken{Stage: r.Stage.ID, Portion: c.portion, Reading: r.ID, Typed: c.typed, Value: c.value, Text: c.text,
		Unit: r.UnitCode(), TypedAt: read, Unlikely: unlikely, Planned: planned, Late: true, Why: d.why})
	d.speak(r, d.values())
	return nil
}

// enteredLater is why a reading that was not taken has a value after all.
func enteredLater(why string) string {
	if why == "" {
		return "entered later"
	}
	return "entered later: " + why
}

// have returns the newest entry of one value of a reading, or nil.
func (v *Vessel) have(r *protocol.Reading, portion int) *Taken {
	for i := len(v.Taken) - 1; i >= 0; i-- {
		if t := &v.Taken[i]; t.Reading == r && key(r, t.Portion) == key(r, portion) {
			return t
		}
	}
	return nil
}

// lateReading finds the reading that a late entry is for; "" stands for the one asked for, dose.2 for a portion's.
func (d *decision) lateReading(name string) (*protocol.Reading, int, error) {
	if name == "" {
		st := d.s.stage(d.v)
		if st != nil && !d.isOver() && !d.v.complete(st) {
			if r := d.s.asked(d.v, st); r != nil {
				return r, d.v.Portion, nil
			}
		}
		return nil, 0, &Refusal{"No reading is asked for now: name the one that was read, as in @10:42 NAME 12.6; ? lists the names."}
	}
	id, of, named := strings.Cut(name, ".")
	r := d.s.Protocol.Reading(id)
	if r == nil {
		return nil, 0, &Refusal{fmt.Sprintf("This protocol has no reading %q.", id)}
	}
	portion := 1
	switch n, err := strconv.Atoi(of); {
	case named && (err != nil || n < 1 || n > r.Stage.Portions):
		return nil, 0, &Refusal{fmt.Sprintf("%s has no portion %q: it has %d.", r.Stage.Title, of, r.Stage.Portions)}
	case named:
		portion = n
	case r.IsList():
		portion = d.missing(r)
	}
	if !d.reached(r, portion) {
		return nil, 0, &Refusal{fmt.Sprintf("%s is still ahead: it can be read when it is asked for.", r.Title)}
	}
	return r, portion, nil
}

// missing returns the first portion of which a reading was not taken.
func (d *decision) missing(r *protocol.Reading) int {
	for n := 1; n < r.Stage.Portions; n++ {
		if t := d.v.have(r, n); t == nil || t.NotTaken {
			return n
		}
	}
	return r.Stage.Portions
}

// reached tells whether the vessel has come to where a reading is asked for.
func (d *decision) reached(r *protocol.Reading, portion int) bool {
	switch stage := r.Stage.Number; {
	case d.isOver(): // it was in the stage, or was not, which its times tell
		return true
	case stage != d.v.Stage:
		return stage < d.v.Stage
	case d.v.complete(r.Stage):
		return true
	case r.IsList() && portion != d.v.Portion:
		return portion < d.v.Portion
	default:
		return d.v.have(r, portion) != nil || slices.Contains(d.v.readings(r.Stage), r)
	}
}

// within refuses a time at which the vessel was not in the stage. The minute in which it came there counts as its first
// moment, since a time is told without seconds.
func (d *decision) within(st *protocol.Stage, at time.Duration) (time.Duration, error) {
	at = at.Truncate(time.Millisecond)
	for _, s := range d.v.stays {
		if s.stage != st.Number {
			continue
		}
		to := s.to
		if to == 0 {
			to = d.over()
		}
		if at > s.from-time.Minute && at <= to {
			return max(at, s.from), nil
		}
		return 0, &Refusal{fmt.Sprintf("Vessel %s was in %s from %s to %s, not at %s: say a time in between.", d.v.Label, st.Title,
			d.wall(s.from), d.wall(to), d.wall(at))}
	}
	return 0, &Refusal{fmt.Sprintf("Vessel %s was not in %s at any time.", d.v.Label, st.Title)}
}

// wall tells an elapsed time by the place's clock.
func (d *decision) wall(at time.Duration) string {
	return d.now.At.Add(at - d.now.Elapsed).In(Place(d.s.Here)).Format("15:04:05")
}

// Place returns the location of a UTC offset as +01:00; UTC where there is none.
func Place(zone string) *time.Location {
	t, err := time.Parse("-07:00", zone)
	if err != nil {
		return time.UTC
	}
	_, offset := t.Zone()
	return time.FixedZone(zone, offset)
}

// correctMark moves a mark to another moment of its stage: At, or a time of the run's clock as 12:40.
func (d *decision) correctMark(t *Taken, at *time.Duration, typed, why string) error {
	moment, ok := ParseHms(typed)
	switch {
	case at != nil && typed == "":
		moment = *at
	case at != nil || !ok:
		return &Refusal{fmt.Sprintf("%s was %s on the run's clock: type c, that time or @10:42 by the wall clock, then why.", t.Reading.Title, t.Shown())}
	}
	if why == "" {
		return &Refusal{"A correction needs a reason: c, the new time, then why."}
	}
	moment, err := d.within(t.Reading.Stage, moment)
	if err != nil {
		return err
	}
	read := Span(moment)
	d.add(ReadingCorrected{Of: t.Event, Reading: t.Reading.ID, Typed: Hms(moment), Value: moment.Seconds(), At: &read, Why: why})
	d.correctedGuards(t, parsed{value: moment.Seconds()})
	return nil
}
