package run

import (
	"fmt"
	"slices"
	"strings"

	"example.org/meniscus/protocol"
)

// Mistyped is the reason for a correction while the run goes on, where no other one is told: that it was read well and
// typed wrong goes without saying as long as the paper and the display are at hand.
const Mistyped = "mistyped"

// correct supersedes the newest value of a reading of the vessel.
func (d *decision) correct(act Correct) error {
	typed, err := legible(act.Typed)
	if err != nil {
		return err
	}
	why, t := clean(act.Why), d.named(act.Reading)
	switch {
	case t == nil && act.Reading != "":
		return d.unnamed(act.Reading, "correct")
	case t == nil:
		return &Refusal{fmt.Sprintf("Vessel %s has no reading to correct yet.", d.v.Label)}
	case t.TakenBack && d.s.Ended == nil && d.v.Through == nil && d.s.isHere(d.v, t.Reading, t.Portion):
		return &Refusal{fmt.Sprintf("%s was taken back and is asked for again: type it.", t.Reading.Title)}
	case t.Reading.Kind == protocol.Mark:
		return d.correctMark(t, act.At, typed, why)
	case act.At != nil:
		return &Refusal{fmt.Sprintf("%s is no moment: type c, the new value, then why.", t.Reading.Title)}
	case typed == "":
		return &Refusal{fmt.Sprintf("%s was %s: type c, the new value, then why.", t.Reading.Title, t.Shown())}
	}
	typed, why = withUnit(t.Reading, typed, why)
	if why == "" {
		if d.s.Ended != nil || t.NotTaken {
			name := strings.TrimRight("c "+clean(act.Reading), " ")
			return &Unfinished{Refusal{fmt.Sprintf("This correction needs a reason: %s, the new value, then why.", name)}}
		}
		why = Mistyped
	}
	p, err := parse(t.Reading, typed)
	if err != nil {
		return err
	}
	unlikely, planned := d.ask(claim{parsed: p, r: t.Reading, portion: t.Portion, typed: typed, at: t.At.Elapsed, of: t.Event})
	if q := t.unclear(typed, why, unlikely); q != nil && !d.confirmed {
		return q
	}
	d.add(ReadingCorrected{Of: t.Event, Reading: t.Reading.ID, Typed: typed, Value: p.value, Text: p.text, Unlikely: unlikely != nil, Planned: planned, Why: why})
	d.correctedGuards(t, p)
	return nil
}

// Named returns the newest value of a reading, and the vessel that has it: another one than the given where the reading
// is shared and was taken with that. nil where there is none.
func (s *State) Named(vessel, name string) (*Vessel, *Taken) {
	v := s.Vessel(vessel)
	if v == nil {
		return nil, nil
	}
	if t := v.newest(name); t != nil || name == "" {
		return v, t
	}
	for _, w := range s.Vessels {
		if t := w.newest(name); t != nil && t.Reading.Shared {
			return w, t
		}
	}
	return v, nil
}

// named returns the value that a correction or a taking back is about; the decision is about its vessel from here on.
func (d *decision) named(name string) *Taken {
	v, t := d.s.Named(d.v.Label, name)
	d.v, d.pos = v, v.Position
	return t
}

// newest returns the last value of a reading; "" stands for whichever was taken last. A portion may be named: dose.2,
// and so may a point of a series.
func (v *Vessel) newest(name string) *Taken {
	id, of := name, ""
	if i := strings.LastIndexByte(name, '.'); i > 0 {
		id, of = name[:i], name[i+1:]
	}
	for i := len(v.Taken) - 1; i >= 0; i-- {
		t := &v.Taken[i]
		switch {
		case name == "" && !t.NotTaken && t.Reading.Kind != protocol.Mark && t.Reading.Kind != protocol.Tick:
			return t
		case name != "" && t.Reading.ID == id && (of == "" || v.number(t) == of):
			return t
		}
	}
	return nil
}

// number tells which of a reading's values one is: its portion, or its place among the points of a series, as they were
// entered. A point that was taken back has none: the next one is asked for in its place.
func (v *Vessel) number(t *Taken) string {
	if t.Reading.Kind != protocol.Series {
		return fmt.Sprint(t.Portion)
	}
	n := 0
	for i := range v.Taken {
		w := &v.Taken[i]
		if w.Reading != t.Reading || w.Portion != t.Portion || w.TakenBack {
			continue
		}
		n++
		if w == t {
			return fmt.Sprint(n)
		}
	}
	return ""
}

// nameOf is how a value is named in a typed line.
func (v *Vessel) nameOf(t *Taken) string {
	if t.Reading.Kind == protocol.Series || t.Reading.IsList() {
		return t.Reading.ID + "." + v.number(t)
	}
	return t.Reading.ID
}

// Newest returns the reading that a correction without a name is about, or a taking back, which any reading can be; nil
// where there is none.
func (v *Vessel) Newest(any bool) *Taken {
	if !any {
		return v.newest("")
	}
	for i := len(v.Taken) - 1; i >= 0; i-- {
		if !v.Taken[i].NotTaken {
			return &v.Taken[i]
		}
	}
	return nil
}

// names are the ids of what was read, in the order of the first time.
func (v *Vessel) names() string {
	var ids []string
	for i := range v.Taken {
		if id := v.Taken[i].Reading.ID; !slices.Contains(ids, id) {
			ids = append(ids, id)
		}
	}
	if len(ids) == 0 {
		return "none yet"
	}
	return strings.Join(ids, ", ")
}

// unnamed refuses a name that no value of the vessel has.
func (d *decision) unnamed(name, act string) error {
	id, n, _ := strings.Cut(clean(name), ".")
	t := d.v.newest(id)
	if n == "" || t == nil || t.Reading.Kind != protocol.Series {
		return &Refusal{fmt.Sprintf("Vessel %s has no reading %q to %s; it has %s.", d.v.Label, clean(name), act, d.v.names())}
	}
	points := 0
	for i := range d.v.Taken {
		if w := &d.v.Taken[i]; w.Reading == t.Reading && !w.TakenBack {
			points++
		}
	}
	return &Refusal{fmt.Sprintf("%s of vessel %s has no point %s to %s: its points are numbered from 1 to %d, as they came.",
		t.Reading.Title, d.v.Label, n, act, points)}
}

// correctedGuards lets the guards of a corrected reading speak on its new value.
func (d *decision) correctedGuards(t *Taken, p parsed) {
	values := d.s.Values(d.v.Label)
	values.instead = map[int]parsed{t.Event: p}
	d.speak(t.Reading, values)
}

// withUnit gives a corrected number the unit that follows it: in "500 uL misread" the reason is the last word.
func withUnit(r *protocol.Reading, typed, why string) (withIt, rest string) {
	first, rest, _ := strings.Cut(why, " ")
	if r.Kind != protocol.Number && r.Kind != protocol.Series || first == "" || startsNumber(first) {
		return typed, why
	}
	if _, err := parse(r, typed+" "+first); err != nil {
		return typed, why
	}
	return typed + " " + first, strings.TrimSpace(rest)
}

// unclear returns the question about a correction: about an unlikely value, or where it is not plain which words are
// the value and which the reason. nil: there is none.
func (t *Taken) unclear(typed, why string, unlikely *Question) *Question {
	r := t.Reading
	first, _, _ := strings.Cut(why, " ")
	say := ""
	switch {
	case r.Kind == protocol.FreeText && !strings.Contains(typed, " "):
		say = fmt.Sprintf("%s becomes “%s”, for the reason “%s”? A text of several words stands in quotes.", t.Title(), typed, why)
	case r.Kind == protocol.FreeText || !isNumber(r, first):
		return unlikely
	default:
		say = fmt.Sprintf("Two numbers, one after the other: %s becomes %s, for the reason “%s”?", t.Title(), typed, why)
		if r.IsList() {
			say += fmt.Sprintf(" For the value of a portion write c %s.2, the value, then why.", r.ID)
		}
	}
	if unlikely != nil {
		return &Question{Say: say + " " + unlikely.Say, Yes: unlikely.Yes}
	}
	return &Question{Say: say, Yes: "correct it to " + typed}
}

// isNumber tells whether a word is a number, with a unit of the reading or without one.
func isNumber(r *protocol.Reading, word string) bool {
	if !startsNumber(word) || !strings.ContainsAny(word, "0123456789") {
		return false
	}
	_, err := parse(r, word)
	return err == nil || strings.Trim(word, "0123456789+-.,") == ""
}

func startsNumber(word string) bool {
	return strings.ContainsAny(word[:min(1, len(word))], "0123456789+-.,")
}

// takeBack makes the newest value of a reading one that was not taken.
func (d *decision) takeBack(act TakeBack) error {
	why, t := clean(act.Why), d.v.Newest(true)
	if act.Reading != "" {
		t = d.named(act.Reading)
	}
	switch {
	case t == nil && act.Reading != "":
		return d.unnamed(act.Reading, "take back")
	case t == nil:
		return &Refusal{fmt.Sprintf("Vessel %s has no reading to take back.", d.v.Label)}
	case t.NotTaken:
		return &Refusal{fmt.Sprintf("%s is not taken as it is.", t.Reading.Title)}
	case why == "":
		return &Refusal{fmt.Sprintf("Taking %s (%s) back needs a reason: u, then why.", t.Reading.Title, t.Shown())}
	case !d.confirmed: // it may have been meant for something else, and a reason may begin with the name of a reading
		return &Question{fmt.Sprintf("Take %s (%s) back, for the reason “%s”?", t.Reading.Title, t.Shown(), why), "take it back"}
	}
	d.add(ReadingTakenBack{t.Event, t.Reading.ID, why})
	return nil
}
