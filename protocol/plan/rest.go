package plan

import (
	"slices"
	"time"
)

// Rest plans what is left of a problem from what has happened by now, without an old plan to keep to. Facts are by vessel
// and step, as in the problem. Where nothing has happened it plans like Solve, with no step before now.
func Rest(p *Problem, facts [][]Fact, now time.Duration, effort Effort) (*Plan, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	none := &Plan{Problem: p}
	for _, vessel := range p.Vessels {
		none.Start = append(none.Start, make([]time.Duration, len(vessel.Steps)))
	}
	if err := none.fits(facts); err != nil {
		return nil, err
	}
	begun := slices.ContainsFunc(facts, func(steps []Fact) bool {
		return slices.ContainsFunc(steps, func(f Fact) bool { return f.Begun })
	})
	rest := none.since(facts, now)
	if !begun {
		rest.pinned = nil // so that equal vessels keep their order
	}
	return solve(rest, effort, nil)
}

// FromStarts returns a plan with given starts, by vessel and step, with what follows from them. Nothing is proven of it.
func FromStarts(p *Problem, starts [][]time.Duration) *Plan {
	out := &Plan{Problem: p, Start: starts}
	out.measured()
	return out
}
