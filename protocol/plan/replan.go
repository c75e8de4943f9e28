package plan

import (
	"fmt"
	"slices"
	"time"
)

// A Fact is what has happened of a step so far: nothing, begun, or ended too.
type Fact struct {
	Begun, Ended bool
	Start, End   time.Duration // since the start of the plan, where they have happened
}

// takenUp is how long after its time a step may still be what the hands are about to do; after that its turn is open again.
const takenUp = 30 * time.Second

// FrozenFor is how far ahead an order of steps is kept that the operator may already be acting on.
const FrozenFor = 2 * time.Minute

// Replan plans the rest of an old plan anew, from what has happened by now. Steps that are due until now + frozen keep
// their order and stay ahead of the others. When everything has gone as planned the old plan comes back as it is; and the
// new plan is never worse than the old one's order with the facts put in. Facts are by vessel and step, as in the problem.
func Replan(old *Plan, facts [][]Fact, now, frozen time.Duration, effort Effort) (*Plan, error) {
	if err := old.Problem.Check(); err != nil {
		return nil, err
	}
	if err := old.fits(facts); err != nil {
		return nil, err
	}
	p := old.since(facts, now)
	if old.keepsLeast() && old.holds(facts, now) && p.allows(old) {
		return old, nil
	}
	p.freeze(old, now-takenUp, now+frozen)
	return solve(p, effort, p.follow(old))
}

// Follow keeps the old plan's order with the facts put in: what would come of not planning anew. It is nil where the
// facts do not belong to the plan.
func Follow(old *Plan, facts [][]Fact, now time.Duration) *Plan {
	if old.Problem.Check() != nil || old.fits(facts) != nil {
		return nil
	}
	return old.since(facts, now).follow(old)
}

// fits tells whether there is a fact for each step.
func (p *Plan) fits(facts [][]Fact) error {
	if len(facts) != len(p.Start) {
		return fmt.Errorf("there are facts of %d vessels for a plan of %d", len(facts), len(p.Start))
	}
	for v := range facts {
		if len(facts[v]) != len(p.Start[v]) {
			return fmt.Errorf("vessel %s: there are facts of %d steps for a plan of %d", p.Problem.Vessels[v].Label, len(facts[v]), len(p.Start[v]))
		}
	}
	return nil
}

// holds tells whether everything until now went as the plan says.
func (p *Plan) holds(facts [][]Fact, now time.Duration) bool {
	for v, starts := range p.Start {
		for j, at := range starts {
			f := facts[v][j]
			switch {
			case f.Begun && f.Start != at, f.Ended && f.End != p.End(v, j):
				return false
			case !f.Begun && at < now, f.Begun && !f.Ended && p.End(v, j) < now:
				return false
			}
		}
	}
	return true
}

// allows tells whether nothing of an old plan clashes: a step that goes on may have been given more time since.
func (p *Problem) allows(old *Plan) bool {
	m := p.model()
	return m.conflict(m.startsOf(old)) == nil
}

// keepsLeast tells whether no wait is shorter than it must be: one may have been given more time since.
func (p *Plan) keepsLeast() bool {
	for v, vessel := range p.Problem.Vessels {
		for _, w := range vessel.Waits {
			if p.Start[v][w.To]-p.End(v, w.From) < w.AtLeast {
				return false
			}
		}
	}
	return true
}

// since is the problem with the facts put in. A step that goes on ends at its planned time, or now if that is over.
func (p *Plan) since(facts [][]Fact, now time.Duration) *Problem {
	out := *p.Problem
	out.pinned, out.earliest, out.orders, out.due = nil, max(now.Round(time.Second), 0), nil, nil
	for v, steps := range facts {
		pins := make([]pin, len(steps))
		for j, f := range steps {
			if !f.Begun {
				continue
			}
			start := max(f.Start.Round(time.Second), 0)
			hands := max(out.Vessels[v].Steps[j].Hands, out.earliest-start)
			if f.Ended {
				hands = max(f.End.Round(time.Second)-start, 0)
			}
			pins[j] = pin{true, start, hands}
		}
		out.pinned = append(out.pinned, pins)
	}
	return &out
}

// freeze keeps the order of the steps that the old plan starts in a time, and keeps those that it starts later behind them.
func (p *Problem) freeze(old *Plan, from, until time.Duration) {
	var due [][2]int
	for v, starts := range old.Start {
		for j, at := range starts {
			if !p.pinned[v][j].set && at >= from && at < until && p.Vessels[v].Steps[j].Operators > 0 {
				due = append(due, [2]int{v, j})
			}
		}
	}
	at := func(x [2]int) time.Duration { return old.Start[x[0]][x[1]] }
	slices.SortStableFunc(due, func(a, b [2]int) int { return int(at(a) - at(b)) })
	for k := 1; k < len(due); k++ {
		p.orders = append(p.orders, order{due[k-1], due[k]})
	}
	if len(due) == 0 {
		return
	}
	p.due = due
	last := due[len(due)-1]
	for v, starts := range old.Start {
		for j := range starts {
			if x := [2]int{v, j}; !p.pinned[v][j].set && p.Vessels[v].Steps[j].Operators > 0 && at(x) >= until {
				p.orders = append(p.orders, order{last, x})
			}
		}
	}
}

// follow gives the steps the best times in the old plan's order. Where the order cannot be kept, for a break or for
// what has happened, what clashes is put one after the other.
func (p *Problem) follow(old *Plan) *Plan {
	m := p.model()
	was := make([]int, m.n)
	for v, starts := range old.Start {
		for j, at := range starts {
			if was[m.first[v]+j] = m.ticks(at); m.pinned(v, j) {
				was[m.first[v]+j] = -1 // what has begun comes first
			}
		}
	}
	w := m.network()
	if w == nil {
		return nil
	}
	first := func(a, b activity) bool { // breaks come first: they do not move
		if (a.from > m.end) != (b.from > m.end) {
			return a.from > m.end
		}
		return was[a.from] < was[b.from] || was[a.from] == was[b.from] && a.from < b.from
	}
	further := m.oneAfterTheOther(w, first)
	t := newTiming(m.n, m.edges, m.costs())
	for {
		s := w.earliest()
		acts := m.conflict(s)
		if acts == nil { // only where nothing clashes is it worth while to look for the best times
			s, _ = t.best(further, s)
			if acts = m.conflict(s); acts == nil {
				out := m.plan(s)
				m.remedies(out)
				return out
			}
		}
		if e, ok := m.unclash(w, acts, first); ok {
			further = append(further, e)
			continue
		}
		return nil
	}
}

// oneAfterTheOther puts what takes the same single place in order, as far as that is possible.
func (m *model) oneAfterTheOther(w *network, first func(a, b activity) bool) []edge {
	var out []edge
	for _, p := range m.pools {
		if p.places > 1 {
			continue
		}
		acts := slices.DeleteFunc(slices.Clone(p.acts), func(a activity) bool { return a.from > m.end })
		slices.SortStableFunc(acts, by(first))
		for k := 1; k < len(acts); k++ {
			if e := m.after(acts[k-1], acts[k]); w.possible(e, m.end, -never) && w.add(e) {
				out = append(out, e)
			}
		}
	}
	return out
}

// unclash puts one of the activities that clash behind another, the later one of the last two if that is possible.
func (m *model) unclash(w *network, acts []activity, first func(a, b activity) bool) (edge, bool) {
	slices.SortStableFunc(acts, by(first))
	for _, backwards := range []bool{false, true} {
		for k := len(acts) - 1; k > 0; k-- {
			for i := 0; i < k; i++ {
				e := m.after(acts[i], acts[k])
				if backwards {
					e = m.after(acts[k], acts[i])
				}
				if w.possible(e, m.end, -never) && w.add(e) {
					return e, true
				}
			}
		}
	}
	return edge{}, false
}

// by makes a comparison of what tells which of two comes first.
func by(first func(a, b activity) bool) func(a, b activity) int {
	return func(a, b activity) int {
		switch {
		case first(a, b):
			return -1
		case first(b, a):
			return 1
		}
		return 0
	}
}
