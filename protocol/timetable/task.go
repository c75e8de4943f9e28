package timetable

import (
	"maps"
	"slices"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/protocol/run"
)

// A Task is the rest of a run that is to be planned. It does not change while the run goes on.
type Task struct {
	stands  standing
	now     time.Duration
	inHand  string        // the vessel that the hands are at
	frozen  time.Duration // for so long what is due keeps its order
	problem *plan.Problem
	slots   [][]slot
	last    *run.Planned // the timetable that holds; nil: there is none yet
}

func newTask(s *run.State, now time.Duration, inHand string) *Task {
	t := &Task{now: now, inHand: inHand, frozen: plan.FrozenFor, problem: problem(s)}
	t.stands.returned = s.Returned
	if table := s.Timetable(); table != nil {
		t.last = &table.Planned
		if s.Returned > table.At.Elapsed {
			t.frozen = -plan.FrozenFor // hands that come back are amid nothing, nor in what was due just now
		}
	}
	for i, v := range s.Vessels {
		t.slots = append(t.slots, slotsOf(s.Protocol, t.problem.Vessels[i].Steps))
		t.stands.facts = append(t.stands.facts, t.facts(s, v, i))
		t.stands.extended = append(t.stands.extended, v.Extended)
		t.extend(s.Protocol, i, v)
	}
	return t
}

// problem makes a problem of all vessels, in the run's own time.
func problem(s *run.State) *plan.Problem {
	o := plan.Options{Operators: s.Bench.Operators}
	for _, id := range slices.Sorted(maps.Keys(s.Bench.Places)) {
		o.Places = append(o.Places, plan.Place{Resource: id, Places: s.Bench.Places[id]})
	}
	for _, b := range s.Bench.Breaks {
		o.Breaks = append(o.Breaks, plan.Interval{From: time.Duration(b.From), To: time.Duration(b.To)})
	}
	var charges []plan.Charge
	for _, v := range s.Vessels {
		charges = append(charges, plan.Charge{Label: v.Label, Protocol: s.Protocol})
	}
	return plan.FromProtocol(charges, o)
}

// extend gives the wait that runs the time that it was given: that of an attended stage is time of the hands.
func (t *Task) extend(p *protocol.Protocol, i int, v *run.Vessel) {
	steps, facts := &t.problem.Vessels[i], t.stands.facts[i]
	for j, f := range facts {
		if at := t.slots[i][j]; f.Begun && !f.Ended && p.Stages[at.stage].Attended {
			steps.Steps[j].Hands += v.Extended
			return
		}
	}
	for j, w := range steps.Waits {
		if !facts[w.From].Begun || facts[w.To].Begun {
			continue
		}
		w.AtLeast += v.Extended
		w.Aim, w.AtMost = longer(w.Aim, v.Extended), longer(w.AtMost, v.Extended)
		steps.Waits[j] = w
	}
}

func longer(a, by time.Duration) time.Duration {
	if a == plan.Forever {
		return a
	}
	return a + by
}

// Found is what came of a task.
type Found struct {
	Planned run.Planned
	News    bool  // it differs from the timetable that holds in what somebody would notice
	Err     error // why there can be none
}

// Plan makes the timetable.
func (t *Task) Plan() Found {
	if t.last == nil {
		return t.found(plan.Rest(t.problem, t.stands.facts, t.now, firstEffort))
	}
	old := t.old()
	kept := plan.Follow(old, t.stands.facts, t.now)
	anew, err := plan.Replan(old, t.stands.facts, t.now, t.frozen, plan.Quick)
	switch {
	case err != nil: // a timetable that somebody else wrote
		return t.found(plan.Rest(t.problem, t.stands.facts, t.now, plan.Quick))
	case kept != nil && !isWorth(kept, anew):
		anew = kept
	}
	return t.found(t.clear(old, anew), nil)
}

// The least gains for which the order of the hands is turned round.
const (
	gain       = 2 * time.Minute
	lessMissed = 30 * time.Second
)

// isWorth tells whether another order gains enough over the one that the hands have in mind: a window that is missed less,
// or a shorter day, or less waiting over the aims.
func isWorth(kept, anew *plan.Plan) bool {
	return kept.Excess-anew.Excess >= lessMissed || anew.Excess <= kept.Excess && (kept.Makespan-anew.Makespan >= gain ||
		anew.Makespan <= kept.Makespan && kept.OverWait-anew.OverWait >= gain)
}

func (t *Task) found(p *plan.Plan, err error) Found {
	if err != nil {
		return Found{Err: err}
	}
	made := t.planned(p)
	return Found{Planned: made, News: t.last == nil || isNews(*t.last, made)}
}

// firstEffort is that for the first timetable, when nobody waits at the bench yet.
const firstEffort = plan.Thorough

// planned writes a plan down: the turns that have not begun, and the windows still to come that it misses.
func (t *Task) planned(p *plan.Plan) run.Planned {
	out := run.Planned{End: run.Span(p.Makespan), OverWait: run.Span(p.OverWait), Proven: p.Proven}
	for i, v := range t.problem.Vessels {
		for j := range v.Steps {
			if slot := t.slots[i][j]; !slot.ends && !t.stands.facts[i][j].Begun {
				out.Turns = append(out.Turns, run.PlannedTurn{Vessel: v.Label, Stage: slot.id, Portion: slot.portion,
					Start: run.Span(p.Start[i][j]), End: run.Span(p.End(i, j))})
			}
		}
		for _, x := range p.Violations {
			to := slices.IndexFunc(v.Steps, func(s plan.Step) bool { return s.ID == x.To })
			if x.Vessel == v.Label && x.By >= lessMissed && !t.stands.facts[i][to].Begun {
				out.Missed = append(out.Missed, run.PlannedMiss{Vessel: x.Vessel, From: x.From, To: x.To, By: run.Span(x.By), Remedy: x.Remedy})
			}
		}
	}
	return out
}
