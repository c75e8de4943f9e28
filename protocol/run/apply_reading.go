package run

import (
	"fmt"
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
	k := key(r, f.Portion)
	delete(v.stopwatch, k)
	if f.Unlikely {
		s.unlikely(v, r, f.Portion, f.Typed, e)
	}
	s.settle(v, k, e)
	for i, rem := range s.Protocol.Stages[r.Stage.Number].Reminders {
		if rem.Reading == r.ID && v.Stage == r.Stage.Number && v.Phase == protocol.WaitPhase {
			v.answerByReading(i, rem, e.Elapsed)
		}
	}
	return nil
}

// answerByReading lets a reading do what a reminder asks, a little before it falls due too: half its interval.
func (v *Vessel) answerByReading(i int, r protocol.Reminder, now time.Duration) {
	n := fallen(r, now-v.Since+r.Every/2)
	if a := v.reminders[i]; n > a.upTo {
		v.reminders[i] = answered{n, a.count + 1}
	}
}

func (s *State) unlikely(v *Vessel, r *protocol.Reading, portion int, typed string, e Event) {
	of := portion
	if !r.IsList() {
		of = 0
	}
	s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Stage: r.Stage.ID, Portion: of, Kind: "unlikely",
		What: r.Title, Planned: expected(r, portion, s.Values(v.Label)), Done: typed + ", asked about and kept"})
}

// settle counts a value that is taken or left out, and goes on when the readings at the end of a stage are done.
func (s *State) settle(v *Vessel, k slot, e Event) {
	v.settled[k]++
	st := s.stage(v)
	if st == nil || v.complete(st) || v.Phase != protocol.EndPhase {
		return
	}
	if v.pending(st, v.Position, nil) == nil {
		v.move(v.Position.afterEnd(st), e.Elapsed)
	}
}

// pending returns the first reading at p that is neither taken nor left out; also counts as settled.
func (v *Vessel) pending(st *protocol.Stage, p Position, also []slot) *protocol.Reading {
	for _, r := range p.readings(st) {
		if k := key(r, p.Portion); r.Kind != protocol.Series && v.settled[k] == 0 && !slices.Contains(also, k) {
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
		portion := f.Portion
		if !r.IsList() {
			portion = 0
		}
		s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Stage: f.Stage, Portion: portion, Kind: "left out",
			What: r.Title, Planned: "to be read", Done: "not taken", Why: f.Why})
	}
	s.settle(v, key(r, f.Portion), e)
	return nil
}

func (f ReadingCorrected) apply(s *State, v *Vessel, e Event) error {
	if v == nil {
		return errNoVessel
	}
	for i := range v.Taken {
		t := &v.Taken[i]
		if t.Event != f.Of || t.Reading.ID != f.Reading {
			continue
		}
		if !t.NotTaken {
			t.Was = append(t.Was, Correction{t.Typed, t.Value, t.Text, e.Moment, f.Why})
		} else {
			t.Was = append(t.Was, Correction{Typed: "not taken: " + t.Why, At: e.Moment, Why: f.Why})
		}
		t.NotTaken, t.Why = false, ""
		t.Typed, t.Value, t.Text, t.Unlikely = f.Typed, f.Value, f.Text, f.Unlikely
		if f.Unlikely {
			s.unlikely(v, t.Reading, t.Portion, f.Typed, e)
		}
		s.reviewGuards(v)
		return nil
	}
	return fmt.Errorf("event %d took no reading %s of vessel %s", f.Of, f.Reading, v.Label)
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
	v.stopwatch[key(r, f.Portion)] = e.Elapsed
	return nil
}
