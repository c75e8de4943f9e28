package run

import (
	"fmt"
	"slices"
	"time"
)

// An Undoing is an act that was undone: it counts as never done, and the record shows it.
type Undoing struct {
	At     Moment // when it was undone
	Of     Moment // when it had been done
	Vessel string
	Stage  string // "" before the first one
	What   string // in words
}

// A before is a vessel as it stood before an event of its own. What it shares with the vessel is never changed in
// place.
type before struct {
	event Event
	acted time.Duration // State.Acted then
	was   Vessel
}

// undoable is how many events of a vessel can be undone at least: far more than an act has, and few enough to be held.
const undoable = 200

// before keeps how a vessel stands before an event; nil where the event is none of its acts.
func (s *State) before(v *Vessel, e Event) *before {
	switch e.What.(type) {
	case Noted, GuardSpoke, Undone:
		return nil
	}
	if v == nil {
		return nil
	}
	b := &before{event: e, acted: s.Acted, was: *v}
	b.was.log = nil
	return b
}

func (v *Vessel) remember(b *before) {
	if len(v.log) >= 2*undoable {
		v.log = slices.Clone(v.log[undoable:])
	}
	v.log = append(v.log, *b)
}

// newestAct is what the newest act of a vessel recorded; nil where none is left that can be undone.
func (v *Vessel) newestAct() []before {
	i := len(v.log) - 1
	for i > 0 && follows(v.log[i-1].event, v.log[i].event) {
		i--
	}
	return v.log[max(i, 0):]
}

// follows tells whether an event came of the same act as the one before it.
func follows(a, b Event) bool {
	if a.Elapsed != b.Elapsed || !a.At.Equal(b.At) {
		return false
	}
	switch f := b.What.(type) {
	case StepDone:
		switch a.What.(type) {
		case ReadingTaken, ReadingNotTaken:
			return true
		}
	case WaitEnded, ReadingNotTaken:
		_, ok := a.What.(ReadingNotTaken)
		return ok
	case StageLeft:
		return f.Skipped == ""
	case StageEntered:
		_, ok := a.What.(StageLeft)
		return ok
	}
	return false
}

// UndoesNext tells in words what undoing the newest act of a vessel takes back; "" where there is nothing.
func (s *State) UndoesNext(vessel string) string {
	v := s.Vessel(vessel)
	if v == nil || len(v.log) == 0 {
		return ""
	}
	what, _ := s.told(v, v.newestAct())
	return what
}

// told tells an act in words, and whether it was a reading.
func (s *State) told(v *Vessel, act []before) (what string, reads bool) {
	main := act[0].event.What
	if _, passed := main.(ReadingNotTaken); passed {
		for _, b := range act { // what is passed over goes with the wait that ends
			if f, ok := b.event.What.(WaitEnded); ok {
				main = f
			}
		}
	}
	of := func(stage string, portion int) string {
		st := s.Protocol.Stage(stage)
		if st.Portions > 1 && portion > 0 {
			return fmt.Sprintf("%s, portion %d", st.Title, portion)
		}
		return st.Title
	}
	named := func(id string) string { return s.Protocol.Reading(id).Title }
	switch f := main.(type) {
	case StageEntered:
		return "the begin of " + of(f.Stage, 0), false
	case StepDone:
		return fmt.Sprintf("step %d of %s", f.Step, of(f.Stage, f.Portion)), false
	case WaitEnded:
		return fmt.Sprintf("the end of the wait of %s after %s", of(f.Stage, f.Portion), Hms(time.Duration(f.Waited))), false
	case StageLeft:
		if f.Skipped == "" {
			return "leaving " + of(f.Stage, 0), false
		}
		return "skipping " + of(f.Stage, 0), false
	case ReadingTaken:
		t := Taken{Reading: s.Protocol.Reading(f.Reading), Portion: f.Portion, Value: f.Value, Text: f.Text, At: Moment{Elapsed: time.Duration(f.TypedAt)}}
		return t.Title() + ": " + t.Shown(), true
	case ReadingCorrected:
		to := f.Typed
		if f.Text != "" {
			to = f.Text
		}
		return fmt.Sprintf("the correction of %s to %s", named(f.Reading), to), true
	case ReadingTakenBack:
		return "that " + named(f.Reading) + " was taken back", true
	case ReadingNotTaken:
		return named(f.Reading) + ": not taken", false
	case StopwatchStarted:
		return "the start of the stopwatch for " + named(f.Reading), false
	case ReminderAnswered:
		return s.Protocol.Stage(f.Stage).Reminders[f.Reminder].Say.Fill(s.Values(v.Label), f.Portion) + ": done", false
	case ClockExtended:
		return Hms(time.Duration(f.By)) + " more for " + of(f.Stage, 0), false
	case VesselEnded:
		return "giving the vessel up", false
	}
	return main.Kind(), false
}

// undo takes the newest act of the vessel back. A reading is asked about first.
func (d *decision) undo() error {
	act := d.v.newestAct()
	if len(act) == 0 {
		return &Refusal{fmt.Sprintf("Vessel %s has no act that can be undone.", d.v.Label)}
	}
	if d.s.Ended != nil && !d.s.endedWith(act) {
		return &Refusal{"This run was ended after that: notes and corrections can still be added."}
	}
	what, reads := d.s.told(d.v, act)
	if reads && !d.confirmed {
		return &Question{fmt.Sprintf("%s, of %s: undo it, as if it had never been?", what, Hms(act[0].event.Elapsed)), "undo it"}
	}
	d.add(Undone{From: act[0].event.N, What: what})
	return nil
}

// endedWith tells whether an act closed the run.
func (s *State) endedWith(act []before) bool {
	last := act[len(act)-1].event
	return s.Ended.event == last.N+1 && s.Ended.At.Elapsed == last.Elapsed
}

// apply brings the vessel back to where it stood before an act, clocks included: they count from when they began, so
// they stand where they would stand without the act. What other vessels did meanwhile stays.
func (f Undone) apply(s *State, v *Vessel, e Event) error {
	if v == nil {
		return errNoVessel
	}
	i := slices.IndexFunc(v.log, func(b before) bool { return b.event.N == f.From })
	if i < 0 {
		return fmt.Errorf("event %d is no act of vessel %s that can be undone", f.From, v.Label)
	}
	act, log, own := v.log[i:], v.log[:i], v.own
	if s.Ended != nil {
		if !s.endedWith(act) {
			return fmt.Errorf("the run was ended after event %d", f.From)
		}
		s.Ended = nil
	}
	first, last := act[0], act[len(act)-1].event
	if s.Acted <= last.Elapsed {
		s.Acted = first.acted
	}
	u := Undoing{At: e.Moment, Of: first.event.Moment, Vessel: v.Label, What: f.What}
	review := slices.ContainsFunc(act, func(b before) bool {
		switch b.event.What.(type) {
		case ReadingCorrected, ReadingTakenBack:
			return true
		}
		return false
	})
	*v = first.was
	v.log, v.own = log, own
	v.Taken, v.Spells, v.stays = slices.Clip(v.Taken), slices.Clip(v.Spells), slices.Clip(v.stays)
	if st := s.stage(v); st != nil {
		u.Stage = st.ID
	}
	s.Undone = append(s.Undone, u)
	s.Deviations = slices.DeleteFunc(slices.Clone(s.Deviations), func(d Deviation) bool { return d.Vessel == v.Label && d.event >= f.From })
	s.Guards = slices.DeleteFunc(slices.Clone(s.Guards), func(g Spoken) bool { return g.Vessel == v.Label && g.event >= f.From })
	if review {
		s.reviewGuards(v)
	}
	return nil
}

// mark notes which event brought the deviations and guards behind those that there were.
func (s *State) mark(deviations, guards, event int) {
	for i := deviations; i < len(s.Deviations); i++ {
		s.Deviations[i].event = event
	}
	for i := guards; i < len(s.Guards); i++ {
		s.Guards[i].event = event
	}
}

// with returns a map with one value changed; the map itself stays as it is, for an older state may share it.
func with[K comparable, V any](m map[K]V, k K, x V) map[K]V {
	out := make(map[K]V, len(m)+1)
	for key, val := range m {
		out[key] = val
	}
	out[k] = x
	return out
}
