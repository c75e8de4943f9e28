package plan

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

// A score is what plans are compared by, in minutes, the first first.
type score struct{ makespan, over, delay int }

func (s score) less(o score) bool {
	switch {
	case s.makespan != o.makespan:
		return s.makespan < o.makespan
	case s.over != o.over:
		return s.over < o.over
	}
	return s.delay < o.delay
}

// A layout is one way through a vessel's steps, minute by minute.
type layout struct {
	score
	hands, held [24]int
}

// layouts lists every way through a vessel that keeps its windows and ends within the time, whatever the others do. What has
// happened stands, and the rest begins no earlier than now.
func layouts(p *Problem, v Vessel, facts []Fact, now int) []layout {
	var out []layout
	starts, ends := make([]int, len(v.Steps)), make([]int, len(v.Steps))
	var place func(j int, l layout)
	place = func(j int, l layout) {
		if j == len(v.Steps) {
			l.delay = starts[0]
			for _, h := range v.Holds {
				for t := starts[h.From]; t < ends[h.To]; t++ {
					l.held[t]++
				}
			}
			out = append(out, l)
			return
		}
		first, last, takes := now, len(l.hands), int(v.Steps[j].Hands.Minutes())
		if facts[j].Begun {
			first = int(facts[j].Start.Minutes())
			last, takes = first, int((facts[j].End - facts[j].Start).Minutes())
		}
		for s := first; s <= last && s+takes <= len(l.hands); s++ {
			next := l
			if j > 0 {
				w, took := v.Waits[j-1], s-ends[j-1]
				if !facts[j].Begun && (minutes(took) < w.AtLeast || w.AtMost != Forever && minutes(took) > w.AtMost) {
					continue
				}
				next.over += max(0, took-int(w.Aim.Minutes()))
			}
			away := false
			for t := s; t < s+takes; t++ {
				next.hands[t]++
				for _, b := range p.Breaks {
					away = away || b.From <= minutes(t) && minutes(t) < b.To
				}
			}
			if away && !facts[j].Begun {
				continue
			}
			starts[j], ends[j], next.makespan = s, s+takes, s+takes
			place(j+1, next)
		}
	}
	place(0, layout{})
	return out
}

// exhausted goes through all ways of all vessels; ok is false when there is none in the time.
func exhausted(p *Problem, facts [][]Fact, now int) (best score, ok bool) {
	var join func(v int, l layout)
	ways := make([][]layout, len(p.Vessels))
	for v := range p.Vessels {
		ways[v] = layouts(p, p.Vessels[v], facts[v], now)
	}
	join = func(v int, l layout) {
		if ok && !l.score.less(best) {
			return
		}
		if v == len(ways) {
			best, ok = l.score, true
			return
		}
	next:
		for _, w := range ways[v] {
			sum := l
			for t := range w.hands {
				sum.hands[t] += w.hands[t]
				sum.held[t] += w.held[t]
				if sum.hands[t] > p.Operators || sum.held[t] > p.PlacesOf("place") {
					continue next
				}
			}
			sum.makespan, sum.over, sum.delay = max(sum.makespan, w.makespan), sum.over+w.over, sum.delay+w.delay
			join(v+1, sum)
		}
	}
	join(0, layout{})
	return best, ok
}

// small draws a case of two or three vessels that can be gone through by hand.
func small(seed uint64) *Problem {
	chance := rand.New(rand.NewPCG(seed, 3))
	p := &Problem{Operators: 1 + chance.IntN(3)/2, Places: []Place{{"place", 1 + chance.IntN(3)}}}
	vessel := func() (v Vessel) {
		for j := range 2 + chance.IntN(2) {
			v.Steps = append(v.Steps, Step{ID: string(rune('a' + j)), Hands: minutes(1 + chance.IntN(3)), Operators: 1})
			if j == 0 {
				continue
			}
			least := chance.IntN(4)
			aim := least + chance.IntN(2)*chance.IntN(3)
			w := Wait{j - 1, j, minutes(least), minutes(aim), minutes(aim + chance.IntN(4))}
			if chance.IntN(4) == 0 {
				w.AtMost = Forever
			}
			v.Waits = append(v.Waits, w)
		}
		if chance.IntN(2) == 0 {
			v.Holds = []Hold{{"place", 0, len(v.Steps) - 1}}
		}
		return v
	}
	p.Vessels = copies(2, vessel())
	if chance.IntN(2) == 0 {
		p.Vessels = append(p.Vessels, vessel())
		p.Vessels[2].Label = "C"
	}
	if chance.IntN(3) == 0 {
		p.Breaks = []Interval{{minutes(4), minutes(4 + 1 + chance.IntN(3))}}
	}
	return p
}

// crowded draws a case of three equal vessels that get into each other's way: in few places, at times with two pairs of
// hands, around one break or two.
func crowded(seed uint64) *Problem {
	chance := rand.New(rand.NewPCG(seed, 7))
	p := &Problem{Operators: 1 + chance.IntN(2), Places: []Place{{"place", 1 + chance.IntN(2)}}}
	var v Vessel
	for j := range 2 + chance.IntN(2) {
		v.Steps = append(v.Steps, Step{ID: string(rune('a' + j)), Hands: minutes(1 + chance.IntN(2)), Operators: 1})
		if j > 0 {
			least := chance.IntN(3)
			v.Waits = append(v.Waits, Wait{j - 1, j, minutes(least), minutes(least), minutes(least + 1 + chance.IntN(5))})
		}
	}
	from := chance.IntN(len(v.Steps))
	v.Holds = []Hold{{"place", from, from + chance.IntN(len(v.Steps)-from)}}
	p.Vessels = copies(3, v)
	for from := 3 + chance.IntN(4); from < 12 && len(p.Breaks) < 2; from += 4 + chance.IntN(5) {
		p.Breaks = append(p.Breaks, Interval{minutes(from), minutes(from + 1 + chance.IntN(3))})
	}
	return p
}

// TestAgainstAllPlans holds plans against the best of all there are, gone through one by one. All three aims count: the
// makespan, the over-wait, and how late the vessels start.
func TestAgainstAllPlans(t *testing.T) {
	settled, cases := 0, 0
	for seed := range 600 / fraction {
		p := small(uint64(seed))
		if seed%3 == 2 {
			p = crowded(uint64(seed))
		}
		want, ok := exhausted(p, nothing(p), 0)
		if !ok {
			continue
		}
		cases++
		plan, err := Solve(p, Thorough)
		if err != nil {
			t.Fatalf("case %d: %v", seed, err)
		}
		for _, fault := range faults(p, plan) {
			t.Errorf("case %d: %s", seed, fault)
		}
		if plan.Makespan != minutes(want.makespan) || plan.OverWait != minutes(want.over) || !plan.Proven {
			t.Errorf("case %d: makespan %v, over-wait %v, proven %v; the best of all: %+v", seed, plan.Makespan, plan.OverWait, plan.Proven, want)
		}
		if plan.Bound != plan.Makespan || plan.LeastOverWait != plan.OverWait {
			t.Errorf("case %d: proven, and the bounds are %v and %v", seed, plan.Bound, plan.LeastOverWait)
		}
		if plan.Settled {
			settled++
			if plan.Delay != minutes(want.delay) {
				t.Errorf("case %d: vessels start %v late; the best of all: %+v", seed, plan.Delay, want)
			}
		}
	}
	if settled*100 < cases*95 {
		t.Errorf("%d of %d plans say that no vessels could start sooner, want 95 %% or more", settled, cases)
	}
	t.Logf("%d cases, %d of them settled", cases, settled)
}

func nothing(p *Problem) (facts [][]Fact) {
	for _, v := range p.Vessels {
		facts = append(facts, make([]Fact, len(v.Steps)))
	}
	return facts
}

// TestReplanAgainstAllPlans lets a day go by its plan until a step takes longer, and holds what is planned then against the
// best of all that is still possible.
func TestReplanAgainstAllPlans(t *testing.T) {
	cases := 0
	for seed := range 600 / fraction {
		p := small(uint64(seed))
		if seed%3 == 2 {
			p = crowded(uint64(seed))
		}
		old, err := Solve(p, Thorough)
		if err != nil {
			t.Fatalf("case %d: %v", seed, err)
		}
		chance := rand.New(rand.NewPCG(uint64(seed), 5))
		facts, now := nothing(p), minutes(1+chance.IntN(int(old.Makespan.Minutes())))
		var last *Fact
		for v, starts := range old.Start {
			for j, at := range starts {
				if f := &facts[v][j]; at < now {
					*f = Fact{true, true, at, old.End(v, j)}
					if last == nil || f.End > last.End {
						last = f
					}
				}
			}
		}
		if last != nil && chance.IntN(4) > 0 {
			last.End += minutes(1 + chance.IntN(2))
			now = max(now, last.End)
		}
		want, ok := exhausted(p, facts, int(now.Minutes()))
		if !ok {
			continue
		}
		cases++
		plan, err := Replan(old, facts, now, -old.Makespan, Thorough) // nothing is due so soon that it is kept
		if err != nil {
			t.Fatalf("case %d: %v", seed, err)
		}
		if plan.Makespan != minutes(want.makespan) || plan.OverWait != minutes(want.over) {
			t.Errorf("case %d at %v: makespan %v, over-wait %v, proven %v; the best of all: %+v", seed, now, plan.Makespan, plan.OverWait, plan.Proven, want)
		}
	}
	if cases*fraction < 300 {
		t.Errorf("%d cases with a plan, want 300 or more", cases)
	}
}

// TestSweepAndSearchAgree plans cases by both ways, where both can.
func TestSweepAndSearchAgree(t *testing.T) {
	both := 0
	for i, c := range solvedCases(t) {
		if i%fraction != 0 {
			continue
		}
		p := c.problem(t)
		m := p.model()
		v := &solver{m: m, effort: int(Thorough)}
		if v.root(); v.hard == nil || m.newSweep() == nil {
			continue
		}
		out, through := v.swept(m.newSweep(), nil)
		if !through || (out == nil) != (c.Excess > 0) {
			t.Errorf("case %d: swept through: %v, a plan: %v; want one unless windows are exceeded by %d min", c.Seed, through, out != nil, c.Excess)
			continue
		}
		if out == nil {
			continue
		}
		both++
		if out.Makespan != minutes(c.Makespan) || out.OverWait != minutes(c.OverWait) || !out.Proven {
			t.Errorf("case %d: makespan %v, over-wait %v, proven %v; want %d and %d min (%s)", c.Seed, out.Makespan, out.OverWait, out.Proven,
				c.Makespan, c.OverWait, c.Source)
		}
	}
	if both*fraction < 50 {
		t.Errorf("%d cases are planned by both ways, want 50 or more", both)
	}
}

// TestSweepBeyondItsReach gives what a sweep cannot go through to the search instead.
func TestSweepBeyondItsReach(t *testing.T) {
	mark := batch()
	mark.Steps = append([]Step{}, mark.Steps...)
	mark.Steps[4].Operators = 0
	for name, p := range map[string]*Problem{
		"many pairs of hands":      {Vessels: copies(2, batch()), Operators: mostHands + 1},
		"no chain":                 {Vessels: copies(2, burn()), Operators: 1},
		"a step without hands":     {Vessels: copies(2, mark), Operators: 1},
		"more vessels than it can": {Vessels: copies(mostLanes+1, batch()), Operators: 1},
	} {
		if p.model().newSweep() != nil {
			t.Errorf("%s: it is swept", name)
		}
		plan, err := Solve(p, Quick)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, fault := range faults(p, plan) {
			t.Errorf("%s: %s", name, fault)
		}
	}
}

func ExamplePlan_delay() {
	weigh := Vessel{Steps: []Step{{ID: "weigh", Hands: 2 * time.Minute, Operators: 1}}}
	long := weigh
	long.Steps = []Step{{ID: "weigh", Hands: 5 * time.Minute, Operators: 1}}
	long.Label, weigh.Label = "A", "B"
	plan, _ := Solve(&Problem{Vessels: []Vessel{long, weigh}, Operators: 1}, Quick)
	fmt.Println(plan.Start[0][0], plan.Start[1][0], plan.Delay, plan.Settled)
	// Output: 2m0s 0s 2m0s true
}
