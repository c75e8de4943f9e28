package plan

import (
	"slices"
	"time"
)

// Reasons say why a plan is as long as it is: what was tried, each thing relaxed by itself, and what came of it.
type Reasons struct {
	Alone  time.Duration // how long the slowest vessel takes where it is planned alone
	Chain  bool          // no plan is shorter than a vessel alone, with steps as long as they are here and no break: its waits bind
	Loads  []Load        // the hands first, then the resources
	Trials []Trial
}

// A Load is how busy a resource is in a plan.
type Load struct {
	Resource string
	Places   int
	Busy     time.Duration // the time of all places together
	Share    float64       // of the makespan times places
	AtLeast  time.Duration // no plan is shorter, for this resource alone
}

// A Kind is what a trial relaxes.
type Kind string

// The kinds of trials.
const (
	OneMorePair  Kind = "operators" // one more pair of hands
	OneMorePlace Kind = "place"     // one more place of a resource
	NoBreak      Kind = "break"     // a break less
	NoWindows    Kind = "windows"   // no wait has a latest end
	NoWindow     Kind = "window"    // one wait has none, in all vessels of its kind
)

// An Answer tells whether something binds: whether a plan without it, or with one more of it, is better.
type Answer string

// The answers: Unknown where the work allowed did not suffice for a proof.
const (
	Yes     Answer = "yes"
	No      Answer = "no"
	Unknown Answer = "unknown"
)

// A Trial is the plan anew with one thing relaxed.
type Trial struct {
	Kind     Kind
	Resource string   // of OneMorePlace; "operators" of OneMorePair
	Now      int      // how many there are
	Break    Interval // of NoBreak
	Vessels  []string // of NoWindow: their labels
	From, To string   // and the steps between which the wait lies

	Makespan time.Duration
	Excess   time.Duration
	Saves    time.Duration // of the makespan, 0 or more
	Binds    Answer
	Proven   bool // Saves is exact; where it is not, there may be more to be saved
}

// mostTried is how many breaks, and how many windows one by one, are tried.
const mostTried = 12

// Why works out what binds a plan: it is made anew with one more pair of hands, one more place of each resource, without
// each break, and without latest ends; where these bind, without each of them. The effort is for all trials together: half
// of it is shared evenly among the first ones, the other half among the latest ends one by one.
func Why(plan *Plan, effort Effort) Reasons {
	p := plan.Problem
	out := Reasons{Loads: loads(plan)}
	for v := range p.Vessels {
		if alone, err := Solve(p.again(p.Operators, v), Quick); err == nil {
			out.Alone = max(out.Alone, alone.Makespan)
		}
		chain := &Problem{Vessels: p.Vessels[v : v+1], Operators: p.Operators, Places: p.Places}
		if lone, err := Solve(chain, Quick); err == nil {
			out.Chain = out.Chain || lone.Feasible() && lone.Bound == plan.Makespan
		}
	}
	first := p.relaxed(out.Loads)
	for _, r := range first {
		out.Trials = append(out.Trials, r.try(plan, effort/2/Effort(len(first))))
	}
	if last := out.Trials[len(out.Trials)-1]; last.Kind == NoWindows && last.Binds != No {
		windows := p.unlimited()
		for _, r := range windows {
			out.Trials = append(out.Trials, r.try(plan, effort/2/Effort(len(windows))))
		}
	}
	return out
}

// A relaxation is a trial with the problem that it makes.
type relaxation struct {
	Trial
	problem *Problem
}

// relaxed lists what is tried in any case, the latest ends last.
func (p *Problem) relaxed(loads []Load) []relaxation {
	var out []relaxation
	for _, l := range loads {
		if l.Resource == hands {
			out = append(out, relaxation{Trial{Kind: OneMorePair, Resource: hands, Now: l.Places}, p.again(p.Operators + 1)})
			continue
		}
		more := p.again(p.Operators)
		more.Places = append([]Place{{l.Resource, l.Places + 1}}, p.Places...)
		out = append(out, relaxation{Trial{Kind: OneMorePlace, Resource: l.Resource, Now: l.Places}, more})
	}
	for i, b := range p.Breaks[:min(len(p.Breaks), mostTried)] {
		less := p.again(p.Operators)
		less.Breaks = slices.Delete(slices.Clone(p.Breaks), i, i+1)
		out = append(out, relaxation{Trial{Kind: NoBreak, Break: b}, less})
	}
	open, any := p.again(p.Operators), false
	for _, v := range open.Vessels {
		for i := range v.Waits {
			any = any || v.Waits[i].AtMost != Forever
			v.Waits[i].AtMost = Forever
		}
	}
	if any {
		out = append(out, relaxation{Trial{Kind: NoWindows}, open})
	}
	return out
}

// unlimited lists the waits with a latest end, each once for all vessels that go through the same.
func (p *Problem) unlimited() []relaxation {
	var out []relaxation
	for v := range p.Vessels {
		alike := func(u int) bool { return same(&p.Vessels[u], &p.Vessels[v]) }
		if slices.ContainsFunc(counting(v), alike) {
			continue
		}
		for i, w := range p.Vessels[v].Waits {
			if w.AtMost == Forever || len(out) == mostTried {
				continue
			}
			t := Trial{Kind: NoWindow, From: p.Vessels[v].Steps[w.From].ID, To: p.Vessels[v].Steps[w.To].ID}
			open := p.again(p.Operators)
			for _, u := range counting(len(p.Vessels)) {
				if alike(u) {
					open.Vessels[u].Waits[i].AtMost = Forever
					t.Vessels = append(t.Vessels, p.Vessels[u].Label)
				}
			}
			out = append(out, relaxation{t, open})
		}
	}
	return out
}

func counting(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// try plans the relaxed problem and holds it against the plan. A shorter plan proves that something binds only where none as
// short is possible without it.
func (r relaxation) try(plan *Plan, effort Effort) Trial {
	t := r.Trial
	t.Makespan, t.Excess, t.Binds = plan.Makespan, plan.Excess, Unknown
	with, err := Solve(r.problem, effort)
	if err != nil {
		return t
	}
	kept := plan.Feasible()
	if with.Excess < plan.Excess || with.Excess == plan.Excess && with.Makespan < plan.Makespan {
		t.Makespan, t.Excess = with.Makespan, with.Excess
		t.Saves = max(0, plan.Makespan-with.Makespan)
		if kept && with.Makespan < plan.Bound || !kept && plan.Proven {
			t.Binds = Yes
		}
		t.Proven = t.Binds == Yes && (with.Proven || kept && with.Bound == with.Makespan)
		return t
	}
	if kept && with.Bound >= plan.Makespan || !kept && with.Proven {
		t.Binds, t.Proven = No, true
	}
	return t
}

// loads tells how busy the hands and the resources are.
func loads(plan *Plan) []Load {
	m := plan.Problem.model()
	w := newNetwork(m.n)
	for _, e := range m.edges {
		w.add(e)
	}
	var out []Load
	starts := m.startsOf(plan)
	for i := range m.pools {
		out = append(out, m.load(&m.pools[i], w, starts))
	}
	return out
}

func (m *model) load(p *pool, w *network, starts []int) Load {
	busy := 0
	for _, a := range p.acts {
		if a.from < m.end {
			busy += a.amount * (starts[a.to] + m.d[a.to] - starts[a.from])
		}
	}
	out := Load{Resource: p.resource, Places: p.places, Busy: m.time(busy)}
	if end := starts[m.end] * p.places; end > 0 {
		out.Share = float64(busy) / float64(end)
	}
	jobs := m.jobs(p, w, nil)
	if p.places == 1 {
		out.AtLeast = m.time(oneByOne(jobs))
	} else {
		out.AtLeast = m.time(together(jobs, p.places))
	}
	return out
}
