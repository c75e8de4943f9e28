package tui

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/meniscus/protocol/run"
)

// A Slip is what a correction, or a taking back, is about.
type Slip struct {
	Vessel  string
	Taken   *run.Taken // nil: the vessel has none
	Undoes  string     // what u alone undoes, in words
	Becomes string     // what Enter makes of it now, where no reason is typed: "17.0 mL, mistyped"; "" otherwise
}

// Slip tells what a line is about that begins with c or u: the reading that it names, of the vessel in hand, or else
// the one that was typed last in the run, for the hands may have gone on since. A vessel that was chosen by its letter
// after that reading is meant itself. ok is false for any other line, and for a name that nothing has.
func (o *Operator) Slip(line string) (slip Slip, ok bool) {
	letter, size := utf8.DecodeRuneInString(line)
	if letter != 'c' && letter != 'u' || !standsAlone(line, size) {
		return Slip{}, false
	}
	rest := strings.TrimSpace(line[size:])
	if letter == 'u' && rest == "" {
		return o.undoes(), true
	}
	first, _ := utf8.DecodeRuneInString(rest)
	name, value := o.named(rest)
	switch v, t := o.Engine.State.Named(o.Vessel, name); {
	case t != nil && name != "":
		slip, rest = Slip{Vessel: v.Label, Taken: t}, value
	case name != "" || letter == 'c' && unicode.IsLetter(first):
		return Slip{}, false
	default:
		slip = o.last(letter == 'u')
	}
	if letter == 'c' && o.Engine.State.Ended == nil {
		slip.Becomes = becomes(slip.Taken, rest)
	}
	return slip, true
}

// undoes is what u alone is about: the newest act of the vessel in hand, or of the one that the hands went on from with
// it.
func (o *Operator) undoes() Slip {
	vessel := o.recent
	if vessel == "" {
		vessel = o.Vessel
	}
	return Slip{Vessel: vessel, Undoes: o.Engine.State.UndoesNext(vessel)}
}

// last is the reading that was typed last in the run; any may also be a mark or a tick.
func (o *Operator) last(any bool) Slip {
	s, slip := o.Engine.State, Slip{Vessel: o.Vessel}
	for _, v := range s.Vessels {
		t := v.Newest(any)
		if t == nil || o.chosen && v.Label != o.Vessel {
			continue
		}
		if slip.Taken == nil || t.Event > slip.Taken.Event {
			slip = Slip{Vessel: v.Label, Taken: t}
		}
	}
	return slip
}

// becomes tells a correction without a reason, as the record will have it.
func becomes(t *run.Taken, rest string) string {
	value, why := parted(rest)
	if t == nil || t.NotTaken || value == "" || why != "" {
		return ""
	}
	shown, ok := run.Parsed(t.Reading, value)
	if !ok {
		return ""
	}
	return shown + ", " + run.Mistyped
}

// About tells which vessel a line is about.
func (o *Operator) About(line string) string {
	if slip, ok := o.Slip(line); ok {
		return slip.Vessel
	}
	return o.Vessel
}

// of names the vessel before what is said of it, where there are several.
func (o *Operator) of(vessel, said string) string {
	if len(o.Engine.State.Vessels) < 2 || vessel == "" {
		return said
	}
	return vessel + " " + said
}

// asks is a question with the vessel it is about, where its own words do not name it.
func (o *Operator) asks(c run.Command, q *run.Question) *run.Question {
	switch c.Do.(type) {
	case run.Skip, run.EndVessel:
		return q
	case run.Forward:
		if v := o.Engine.State.Vessel(c.Vessel); v != nil && v.Stage < 0 {
			return q
		}
	}
	if strings.HasPrefix(q.Say, c.Vessel+" ") {
		return q
	}
	return &run.Question{Say: o.of(c.Vessel, q.Say), Yes: q.Yes}
}

// dropped tells what was typed for a question that is given up for another line; nil where nothing is lost.
func (o *Operator) dropped(asked *openQuestion) []string {
	vessel, typed := asked.about.Vessel, ""
	switch act := asked.about.Do.(type) {
	case run.Take:
		typed = act.Typed
	case run.Correct:
		typed = act.Typed
	}
	if d := asked.draft; d != nil {
		vessel, typed = d.Vessel, d.Line
	}
	if typed == "" {
		return nil
	}
	return []string{o.of(vessel, Clean(typed)+" not taken.")}
}
