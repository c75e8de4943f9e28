package summary

import (
	"fmt"
	"math"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// Deferral stands on everything that is printed.
const Deferral = "The cautions in this protocol are reminders taken from general practice. The rules of your site, the " +
	"current safety data sheets of the products at hand and the person in charge come first. Where they say otherwise, " +
	"follow them and stop."

// Of returns the summary of a run's events, which carry their protocol; p, unless it is nil, must be that one.
func Of(p *protocol.Protocol, events []run.Event) (*Summary, error) {
	s, err := run.Fold(events)
	if err != nil {
		return nil, err
	}
	if p != nil && string(p.Text) != string(s.Protocol.Text) {
		return nil, fmt.Errorf("the run %s is of another protocol, or of another version of it: %s %s, not %s %s", s.ID,
			s.Protocol.ID, s.Protocol.Version, p.ID, p.Version)
	}
	return FromState(s), nil
}

// FromState returns the summary of a run as it stands; one that goes on has no end and is not complete.
func FromState(s *run.State) *Summary {
	p := s.Protocol
	out := &Summary{
		Protocol:    Protocol{p.ID, p.Title, p.Version, p.Purpose},
		Run:         runOf(s),
		Vessels:     make([]Vessel, 0, len(s.Vessels)),
		Results:     []Result{},
		Checks:      []Check{},
		Guards:      make([]Guard, 0, len(s.Guards)),
		Deviations:  deviations(s, ""),
		Notes:       notes(s, ""),
		Restarts:    make([]Restart, 0, len(s.Restarts)),
		Instruments: make([]Instrument, 0, len(p.Instruments)),
		References:  append([]string{}, p.References...),
		Deferral:    Deferral,
	}
	for _, v := range s.Vessels {
		out.Vessels = append(out.Vessels, vesselOf(s, v))
	}
	out.Results, out.Checks = results(s, "")
	for _, g := range s.Guards {
		out.Guards = append(out.Guards, Guard{g.Guard, g.Vessel, g.Say, clock(g.At.At), g.Settled, g.At.Elapsed})
	}
	for _, r := range s.Restarts {
		out.Restarts = append(out.Restarts, Restart{clock(r.At.At), r.Gap.Seconds(), r.Back.Seconds(), r.Torn,
			r.Rebooted, r.ClockSet.Seconds(), r.At.Elapsed})
	}
	for _, b := range s.Breaks {
		out.Breaks = append(out.Breaks, breakOf(b))
	}
	out.Timetable = timetable(s)
	for _, in := range p.Instruments {
		out.Instruments = append(out.Instruments, Instrument{in.ID, in.Title, in.Unit.String(), finite(in.Step),
			finite(in.Tolerance), finite(in.U), finite(in.Offset), finite(in.Gain), in.Checked, finite(in.Graduation), in.Unit})
	}
	return out
}

func runOf(s *run.State) Run {
	r := Run{ID: s.ID, Begun: clock(s.Begun.At), ElapsedS: s.Last.Elapsed.Seconds(), Zone: s.Zone, Program: s.Program, Start: s.Begun.At}
	if e := s.Ended; e != nil {
		at := clock(e.At.At)
		r.Ended, r.Complete, r.Why = &at, !e.Abandoned, e.Why
		r.ElapsedS = e.At.Elapsed.Seconds() // what is corrected later makes the run no longer
	}
	return r
}

func vesselOf(s *run.State, v *run.Vessel) Vessel {
	out := Vessel{
		Label:      v.Label,
		Givens:     givens(s.Protocol, v),
		Amounts:    amounts(s.Protocol, v),
		Readings:   make([]Reading, 0, len(v.Taken)),
		Deviations: deviations(s, v.Label),
		Undone:     undone(s, v.Label),
		Notes:      notes(s, v.Label),
		GivenUp:    v.GivenUp,
	}
	for _, t := range v.Taken {
		out.Readings = append(out.Readings, readingOf(t))
	}
	out.Results, out.Checks = results(s, v.Label)
	return out
}

func deviations(s *run.State, vessel string) []Deviation {
	out := []Deviation{}
	for _, d := range s.Deviations {
		if d.Vessel == vessel && !d.Settled { // the reading tells what it was corrected from
			out = append(out, Deviation{d.Kind, d.Stage, d.Portion, d.What, d.Planned, d.Done, d.Why, clock(d.At.At), d.At.Elapsed})
		}
	}
	return out
}

func undone(s *run.State, vessel string) []Undoing {
	var out []Undoing
	for _, u := range s.Undone {
		if u.Vessel == vessel {
			out = append(out, Undoing{u.Stage, u.What, clock(u.Of.At), clock(u.At.At), u.Of.Elapsed, u.At.Elapsed})
		}
	}
	return out
}

func notes(s *run.State, vessel string) []Note {
	out := []Note{}
	for _, n := range s.Notes {
		if n.Vessel == vessel {
			out = append(out, Note{clock(n.At.At), n.Text, n.At.Elapsed})
		}
	}
	return out
}

// clock writes a wall-clock time; one without a date (year 1) has none to write.
func clock(t time.Time) string {
	if t.Year() <= 1 {
		return ""
	}
	return t.UTC().Format("2006-01-02T15:04:05.000Z")
}

// number returns a pointer to x for a JSON figure, nil when x is none.
func number(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

func finite(x float64) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	return x
}
