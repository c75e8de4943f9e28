package run

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"example.org/meniscus/protocol"
)

// reading returns the reading of a vessel's stage by id.
func (s *State) reading(v *Vessel, stage, id string) (*protocol.Reading, error) {
	if v == nil {
		return nil, errNoVessel
	}
	r := s.Protocol.Reading(id)
	if r == nil || r.Stage.ID != stage {
		return nil, fmt.Errorf("stage %s has no reading %q", stage, id)
	}
	return r, nil
}

func (f ReadingTaken) apply(s *State, v *Vessel, e Event) error {
	r, err := s.reading(v, f.Stage, f.Reading)
	if err != nil {
		return err
	}
	at := Moment{e.At, time.Duration(f.TypedAt)}
	at.At = e.At.Add(at.Elapsed - e.Elapsed)
	v.Taken = append(v.Taken, Taken{Event: e.N, Reading: r, Portion: f.Portion, At: at,
		Typed: f.Typed, Value: f.Value, Text: f.Text, Unlikely: f.Unlikely})
	if f.Late {
		v.Taken[len(v.Taken)-1].Entered, v.Taken[len(v.Taken)-1].Why = &Moment{e.At, e.Elapsed}, f.Why
	}
	k := key(r, f.Portion)
	if _, ran := v.stopwatch[k]; ran {
		v.stopwatch = maps.Clone(v.stopwatch)
		delete(v.stopwatch, k)
	}
	if f.Unlikely {
		s.unlikely(v, r, f.Portion, f.Typed, f.Planned, e.N, e)
	}
	s.settle(v, k, e)
	for i, rem := range s.Protocol.Stages[r.Stage.Number].Reminders {
		if rem.Reading == r.ID && v.Stage == r.Stage.Number && v.Phase == protocol.WaitPhase {
			v.answerByReading(i, rem, at.Elapsed)
		}
	}
	return nil
}

// answerByReading lets a reading do what a reminder asked for when it was read, a little before it falls due too: half
// its interval.
func (v *Vessel) answerByReading(i int, r protocol.Reminder, at time.Duration) {
	n := fallen(r, at-v.Since+r.Every/2)
	if a := v.reminders[i]; n > a.upTo {
		v.reminders = with(v.reminders, i, answered{n, a.count + 1})
	}
}

func (s *State) unlikely(v *Vessel, r *protocol.Reading, portion int, typed, planned string, of int, e Event) {
	if planned == "" {
		planned = Expected(r, portion, s.Values(v.Label))
	}
	s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Stage: r.Stage.ID, Portion: key(r, portion).portion, Kind: "unlikely",
		What: r.Title, Planned: planned, Done: typed + ", kept all the same", Of: of})
}

// settleDoubt takes note that a doubtful value stands no more.
func (s *State) settleDoubt(of int) {
	for i := range s.Deviations {
		if d := &s.Deviations[i]; d.Kind == "unlikely" && d.Of == of {
			d.Settled = true
		}
	}
}

// settle counts a value that is taken or left out, and goes on when the readings at the end of a stage are done.
func (s *State) settle(v *Vessel, k slot, e Event) {
	v.settled = with(v.settled, k, v.settled[k]+1)
	st := s.stage(v)
	if st == nil || v.Through != nil || v.complete(st) || v.Phase != protocol.EndPhase {
		return
	}
	if s.pending(v, st, v.Position, nil) == nil {
		v.move(v.Position.afterEnd(st), e.Elapsed)
	}
}

// isSettled tells whether a value is taken or left out: by the vessel, or by any vessel where the reading is shared.
func (s *State) isSettled(v *Vessel, r *protocol.Reading, k slot) bool {
	if !r.Shared {
		return v.settled[k] > 0
	}
	for _, w := range s.Vessels {
		if w.settled[k] > 0 {
			return true
		}
	}
	return false
}

// pending returns the first reading at p that is neither taken nor left out; also counts as settled.
func (s *State) pending(v *Vessel, st *protocol.Stage, p Position, also []slot) *protocol.Reading {
	for _, r := range p.readings(st) {
		if k := key(r, p.Portion); r.Kind != protocol.Series && !s.isSettled(v, r, k) && !slices.Contains(also, k) {
			return r
		}
	}
	return nil
}

func (f ReadingNotTaken) apply(s *State, v *Vessel, e Event) error {
	r, err := s.reading(v, f.Stage, f.Reading)
	if err != nil {
		return err
	}
	v.Taken = append(v.Taken, Taken{Event: e.N, Reading: r, Portion: f.Portion, At: e.Moment, NotTaken: true, Why: f.Why})
	if r.Needed || f.Why != "" {
		s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Stage: f.Stage, Portion: key(r, f.Portion).portion, Kind: "left out",
			What: r.Title, Planned: "to be read", Done: "not taken", Why: f.Why})
	}
	s.settle(v, key(r, f.Portion), e)
	return nil
}

func (f ReadingCorrected) apply(s *State, v *Vessel, e Event) error {
	t, err := v.tookIn(f.Of, f.Reading)
	if err != nil {
		return err
	}
	t.supersede(e, f.Why)
	s.settleDoubt(f.Of)
	if f.At != nil {
		at := time.Duration(*f.At)
		if t.NotTaken {
			t.Entered = &Moment{e.At, e.Elapsed}
		}
		t.At = Moment{e.At.Add(at - e.Elapsed), at}
	}
	switch {
	case t.NotTaken: // else the reason is that of an entry that came late, and stays
		t.NotTaken, t.TakenBack, t.Why, t.Again = false, false, "", nil
	case f.Again != nil:
		t.Again = append(t.Again, f.Again.Value)
	}
	t.Typed, t.Value, t.Text, t.Unlikely = f.Typed, f.Value, f.Text, f.Unlikely
	if f.Unlikely {
		s.unlikely(v, t.Reading, t.Portion, f.Typed, f.Planned, f.Of, e)
	}
	s.reviewGuards(v)
	return nil
}

// tookIn returns the reading that an event took, to be changed.
func (v *Vessel) tookIn(event int, reading string) (*Taken, error) {
	if v == nil {
		return nil, errNoVessel
	}
	v.Taken = slices.Clone(v.Taken) // an older state may share it
	if t := v.TakenBy(event); t != nil && t.Reading.ID == reading {
		return t, nil
	}
	return nil, fmt.Errorf("event %d took no reading %s of vessel %s", event, reading, v.Label)
}

// supersede keeps what a reading was.
func (t *Taken) supersede(e Event, why string) {
	was := Correction{Typed: t.Typed, Value: t.Value, Text: t.Text, Read: t.At.Elapsed, At: e.Moment, Why: why}
	switch {
	case t.NotTaken:
		was = Correction{Typed: "not taken: " + t.Why, Read: t.At.Elapsed, At: e.Moment, Why: why, NotTaken: true}
	case was.Typed == "": // a key took it
		was.Typed = t.Shown()
	}
	t.Was = append(t.Was, was)
}

func (f ReadingTakenBack) apply(s *State, v *Vessel, e Event) error {
	t, err := v.tookIn(f.Of, f.Reading)
	if err != nil {
		return err
	}
	if t.NotTaken {
		return fmt.Errorf("event %d took nothing that could be taken back", f.Of)
	}
	shown := t.Shown()
	t.supersede(e, f.Why)
	s.settleDoubt(f.Of)
	t.NotTaken, t.TakenBack, t.Why, t.Unlikely = true, true, f.Why, false
	k := key(t.Reading, t.Portion)
	s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Stage: t.Reading.Stage.ID, Portion: k.portion, Kind: "taken back",
		What: t.Reading.Title, Planned: "to be read", Done: "read as " + shown + ", then taken back", Why: f.Why})
	if (t.Reading.Shared || s.isHere(v, t.Reading, t.Portion)) && v.settled[k] > 0 {
		v.settled = with(v.settled, k, v.settled[k]-1) // it is asked for again: one that is shared, of whatever vessel comes by
	}
	s.reviewGuards(v)
	return nil
}

// isHere tells whether a reading can be taken where the vessel stands.
func (s *State) isHere(v *Vessel, r *protocol.Reading, portion int) bool {
	st := s.stage(v)
	return st != nil && slices.Contains(v.readings(st), r) && (!r.IsList() || portion == v.Portion)
}

// reviewGuards looks again at what spoke: a correction may have settled it.
func (s *State) reviewGuards(v *Vessel) {
	for i := range s.Guards {
		sp := &s.Guards[i]
		if sp.Vessel != v.Label {
			continue
		}
		for _, g := range s.Protocol.Guards {
			if g.ID == sp.Guard {
				holds, known := truth(g.Holds, s.Values(v.Label))
				sp.Settled = known && holds
			}
		}
	}
}

func (f StopwatchStarted) apply(s *State, v *Vessel, e Event) error {
	r, err := s.reading(v, f.Stage, f.Reading)
	if err != nil {
		return err
	}
	v.stopwatch = with(v.stopwatch, key(r, f.Portion), e.Elapsed)
	return nil
}
