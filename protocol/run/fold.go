package run

import (
	"fmt"

	"example.org/meniscus/protocol"
)

// Begin returns the first event of a run and the state that it makes. The protocol's text must load and the givens must
// be in bounds; the error is the loader's, or says which given is wrong.
func Begin(b Begun, now Moment) (*State, Event, error) {
	e := Event{N: 1, Moment: now, What: b}
	s, err := Fold([]Event{e})
	return s, e, err
}

// Fold rebuilds a run from its events; the first one is Begun.
func Fold(events []Event) (*State, error) {
	s := &State{}
	if len(events) == 0 {
		return nil, fmt.Errorf("a run without events")
	}
	for _, e := range events {
		if err := s.Apply(e); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// Apply folds one event into the state. It looks at nothing but its arguments, so a replay always rebuilds the same
// run. An event that does not follow the last one, or speaks of something that the protocol does not have, is an error
// and changes nothing.
func (s *State) Apply(e Event) error {
	if e.N != s.Last.N+1 {
		return fmt.Errorf("event %d follows event %d: want event %d", e.N, s.Last.N, s.Last.N+1)
	}
	if e.What == nil {
		return fmt.Errorf("event %d says nothing", e.N)
	}
	if _, first := e.What.(Begun); first != (e.N == 1) {
		return fmt.Errorf("event %d: a run begins once, with its first event", e.N)
	}
	if e.Elapsed < s.Last.Elapsed {
		return fmt.Errorf("event %d lies before event %d on the run's clock", e.N, s.Last.N)
	}
	var v *Vessel
	if e.Vessel != "" {
		if v = s.Vessel(e.Vessel); v == nil {
			return fmt.Errorf("event %d is of vessel %q, which the run does not have", e.N, e.Vessel)
		}
	}
	deviations, guards, was := len(s.Deviations), len(s.Guards), s.before(v, e)
	if err := e.What.apply(s, v, e); err != nil {
		return fmt.Errorf("event %d (%s): %w", e.N, e.What.Kind(), err)
	}
	s.mark(deviations, guards, e.N)
	if was != nil {
		v.remember(was)
		s.keepSpells(v, e)
		s.keepHands(e)
	}
	s.Last = e
	if !leavesDraft(e.What) {
		s.Draft = nil
	}
	return nil
}

// Vessel returns the vessel with the given label, or nil.
func (s *State) Vessel(label string) *Vessel {
	for _, v := range s.Vessels {
		if v.Label == label {
			return v
		}
	}
	return nil
}

func (b Begun) apply(s *State, _ *Vessel, e Event) error {
	p, err := protocol.Load(b.File, []byte(b.Protocol))
	if err != nil {
		return err
	}
	if b.Instruments != "" {
		if p, err = p.WithInstruments("instruments.toml", []byte(b.Instruments)); err != nil {
			return err
		}
	}
	if len(b.Vessels) == 0 {
		return fmt.Errorf("a run needs a vessel")
	}
	fresh := State{Protocol: p, ID: b.Run, Program: b.Program, Zone: b.Zone, Here: b.Zone, Begun: e.Moment, Bench: b.Bench, anchor: b.Anchor}
	for _, given := range b.Vessels {
		if err := fresh.addVessel(given.Label, given.Givens); err != nil {
			return err
		}
		fresh.unfit(e, b.Unfit)
	}
	if err := b.Bench.check(); err != nil {
		return err
	}
	*s = fresh
	return nil
}

func (f VesselAdded) apply(s *State, _ *Vessel, e Event) error {
	if err := s.addVessel(f.Label, f.Givens); err != nil {
		return err
	}
	s.unfit(e, s.whyUnfit(s.Vessels[len(s.Vessels)-1].Sheet))
	return nil
}

// doesNotFit is the kind of deviation of an amount that is too much for what holds it.
const doesNotFit = "does not fit"

// unfit records which amounts of the newest vessel do not fit what holds them, and why it is begun all the same.
func (s *State) unfit(e Event, why string) {
	v := s.Vessels[len(s.Vessels)-1]
	for _, w := range v.Sheet.Warnings() {
		s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Kind: doesNotFit, What: "amounts", Planned: "what fits", Done: w, Why: why})
	}
}

// Unfit tells what does not fit and was given no reason yet; "" where all fits or was given one.
func (s *State) Unfit() string {
	for _, d := range s.Deviations {
		if d.Kind == doesNotFit && d.Why == "" {
			return "Vessel " + d.Vessel + ": " + d.Done
		}
	}
	return ""
}

// whyUnfit returns the reason that another vessel was given for amounts that do not fit in the same way; "" where all
// fits.
func (s *State) whyUnfit(sheet *protocol.Sheet) string {
	for _, w := range sheet.Warnings() {
		for _, d := range s.Deviations {
			if d.Kind == doesNotFit && d.Done == w {
				return d.Why
			}
		}
	}
	return ""
}

// The bounds of a recorded run, readings from paper included: far above what a bench has room for.
const (
	mostVessels = 100
	maxLabel    = 20 // bytes
)

// addVessel brings a vessel into the run, before its first stage.
func (s *State) addVessel(label string, givens map[string]string) error {
	switch {
	case label == "" || s.Vessel(label) != nil:
		return fmt.Errorf("each vessel needs a label of its own; %q is none", label)
	case len(label) > maxLabel || clean(label) != label:
		return fmt.Errorf("%.40q is no label of a vessel: it has up to %d letters and digits", label, maxLabel)
	case len(s.Vessels) == mostVessels:
		return fmt.Errorf("more than %d vessels", mostVessels)
	}
	sheet, err := s.Protocol.ScaleFor(label, givens)
	if err != nil {
		return err
	}
	s.Vessels = append(s.Vessels, &Vessel{
		Label: label, Set: givens, Sheet: sheet, Position: Position{Stage: -1, Portion: 1},
	})
	for _, v := range s.Vessels {
		v.own = s.ownOf(v)
	}
	return nil
}
