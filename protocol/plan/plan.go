package plan

import "time"

// A Plan says when each step starts.
type Plan struct {
	Problem *Problem
	Start   [][]time.Duration // by vessel and step, since the start

	Makespan   time.Duration // until the last step ends
	OverWait   time.Duration // what all waits last longer than their aims
	Excess     time.Duration // what all waits last longer than their latest ends
	Violations []Violation   // in the order of vessels and waits

	Delay time.Duration // what all vessels start later than the plan

	Proven        bool          // no plan has a smaller excess, then makespan, then over-wait
	Settled       bool          // and of those that are as good none has a smaller delay
	Bound         time.Duration // no plan has a shorter makespan than this, with windows kept
	LeastOverWait time.Duration // and none with this makespan has a smaller over-wait than this
}

// A Violation is a wait that the plan lets last too long.
type Violation struct {
	Vessel, From, To string
	By               time.Duration
	Remedy           string // what may safely give way, or what would help
}

// Feasible tells whether every window is kept.
func (p *Plan) Feasible() bool { return p.Excess == 0 }

// End returns when a step ends.
func (p *Plan) End(vessel, step int) time.Duration {
	return p.Start[vessel][step] + p.Problem.hands(vessel, step)
}

// hands returns how long a step takes: as planned, or as it turned out.
func (p *Problem) hands(vessel, step int) time.Duration {
	if p.pinned != nil && p.pinned[vessel][step].set {
		return p.pinned[vessel][step].hands
	}
	return p.Vessels[vessel].Steps[step].Hands
}

// measured fills in what follows from the starts.
func (p *Plan) measured() {
	p.Makespan, p.OverWait, p.Excess, p.Delay, p.Violations = 0, 0, 0, 0, nil
	for v, vessel := range p.Problem.Vessels {
		p.Delay += p.Start[v][0]
		for j := range vessel.Steps {
			p.Makespan = max(p.Makespan, p.End(v, j))
		}
		for _, w := range vessel.Waits {
			took := p.Start[v][w.To] - p.End(v, w.From)
			if took > w.Aim {
				p.OverWait += took - w.Aim
			}
			if took > w.AtMost {
				p.Excess += took - w.AtMost
				p.Violations = append(p.Violations, Violation{Vessel: vessel.Label, From: vessel.Steps[w.From].ID,
					To: vessel.Steps[w.To].ID, By: took - w.AtMost})
			}
		}
	}
}

// better tells whether p is strictly better than q: less excess, then shorter, then less over-wait.
func (p *Plan) better(q *Plan) bool {
	switch {
	case p.Excess != q.Excess:
		return p.Excess < q.Excess
	case p.Makespan != q.Makespan:
		return p.Makespan < q.Makespan
	}
	return p.OverWait < q.OverWait
}
