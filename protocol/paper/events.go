package paper

import (
	"example.org/meniscus/calc/formula"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// recorder folds the events as it writes them, so that a value can be held against what is expected.
type recorder struct {
	state  *run.State
	events []run.Event
}

type place struct {
	slot
	portion int
}

// events turns the readings into a run that was begun with them and ended after the last.
func (r *reader) events(begun run.Begun) ([]run.Event, error) {
	first := run.Event{N: 1, Moment: run.Moment{At: r.times.begin}, What: begun}
	state, err := run.Fold([]run.Event{first})
	if err != nil {
		return nil, err
	}
	rec := &recorder{state: state, events: []run.Event{first}}
	now := first.Moment
	for _, one := range r.placed {
		now = run.Moment{At: one.at, Elapsed: one.at.Sub(r.times.begin)}
		fact := one.fact
		fact.TypedAt = run.Span(now.Elapsed)
		if one.reading.Kind == protocol.Mark {
			fact.Value = now.Elapsed.Seconds()
		}
		fact.Planned, fact.Unlikely = state.Doubt(one.vessel, fact)
		if err := rec.add(now, one.vessel, fact); err != nil {
			return nil, err
		}
	}
	for _, closing := range []func(run.Moment) error{rec.notTaken, rec.guards} {
		if err := closing(now); err != nil {
			return nil, err
		}
	}
	if err := rec.add(now, "", run.Ended{}); err != nil {
		return nil, err
	}
	return rec.events, nil
}

func (rec *recorder) add(at run.Moment, vessel string, fact run.Fact) error {
	e := run.Event{N: len(rec.events) + 1, Moment: at, Vessel: vessel, What: fact}
	rec.events = append(rec.events, e)
	return rec.state.Apply(e)
}

// notTaken tells the needed readings that are not in the file. A shared one is wanting once, with the first vessel.
func (rec *recorder) notTaken(now run.Moment) error {
	have := map[place]bool{}
	for _, v := range rec.state.Vessels {
		for _, t := range v.Taken {
			have[place{slot{owner(v.Label, t.Reading), t.Reading.ID}, t.Portion}] = true
		}
	}
	for _, v := range rec.state.Vessels {
		for _, stage := range rec.state.Protocol.Stages {
			for _, reading := range stage.Readings {
				if err := rec.missing(now, v.Label, reading, have); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

func (rec *recorder) missing(now run.Moment, vessel string, r *protocol.Reading, have map[place]bool) error {
	from, to := max(r.Portion, 1), max(r.Portion, 1)
	if r.IsList() {
		to = r.Stage.Portions
	}
	for portion := from; r.Needed && portion <= to; portion++ {
		k := place{slot{owner(vessel, r), r.ID}, portion}
		if have[k] {
			continue
		}
		have[k] = true
		fact := run.ReadingNotTaken{Stage: r.Stage.ID, Portion: portion, Reading: r.ID, Why: "not among the readings on paper"}
		if err := rec.add(now, vessel, fact); err != nil {
			return err
		}
	}
	return nil
}

// owner returns whose reading it is: the vessel's, or nobody's own where all share it.
func owner(vessel string, r *protocol.Reading) string {
	if r.Shared {
		return ""
	}
	return vessel
}

// guards lets each guard speak that does not hold once all readings are there.
func (rec *recorder) guards(now run.Moment) error {
	for _, v := range rec.state.Vessels {
		values := rec.state.Values(v.Label)
		for _, g := range rec.state.Protocol.Guards {
			if got, err := g.Holds.Eval(values); err != nil || got.Kind != formula.Truth || got.Truth {
				continue
			}
			if err := rec.add(now, v.Label, run.GuardSpoke{Guard: g.ID, Say: g.Say.Fill(values, 0)}); err != nil {
				return err
			}
		}
	}
	return nil
}
