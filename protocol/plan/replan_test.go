package plan

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"
)

// A policy says which step the hands take up next, and when: not before now.
type policy struct {
	name string
	next func(d *day) (v, j int, at time.Duration)
}

// A day is a run in which the hands are late: each step takes as long as chance has it.
type day struct {
	p     *Problem
	plan  *Plan
	facts [][]Fact
	takes [][]time.Duration
	now   time.Duration
	check func(d *day, replanned *Plan)
}

// late draws how long the steps really take: one in four takes up to twice its time, and one in ten up to 3 min more.
func late(p *Problem, seed uint64) [][]time.Duration {
	chance := rand.New(rand.NewPCG(seed, 7))
	out := make([][]time.Duration, len(p.Vessels))
	for v, vessel := range p.Vessels {
		for _, s := range vessel.Steps {
			took := s.Hands
			if chance.IntN(4) == 0 {
				took += time.Duration(chance.Int64N(int64(s.Hands)/int64(time.Second)+1)) * time.Second
			}
			if chance.IntN(10) == 0 {
				took += time.Duration(chance.IntN(180)) * time.Second
			}
			out[v] = append(out[v], took)
		}
	}
	return out
}

// ready returns when a step may begin and when it should at most; false while steps before it have not ended.
func (d *day) ready(v, j int) (from, most time.Duration, ok bool) {
	most = Forever
	if d.facts[v][j].Begun {
		return 0, 0, false
	}
	for _, w := range d.p.Vessels[v].Waits {
		if w.To != j {
			continue
		}
		if !d.facts[v][w.From].Ended {
			return 0, 0, false
		}
		end := d.facts[v][w.From].End
		from = max(from, end+w.AtLeast)
		if w.AtMost != Forever {
			most = min(most, end+w.AtMost)
		}
	}
	return from, most, true
}

// byRule takes the step that can begin first; of those that are ready the one with the smallest key.
func byRule(key func(from, most time.Duration) time.Duration) func(*day) (int, int, time.Duration) {
	return func(d *day) (int, int, time.Duration) {
		pv, pj, at, best := -1, -1, Forever, Forever
		for v := range d.p.Vessels {
			for j := range d.p.Vessels[v].Steps {
				if from, most, ok := d.ready(v, j); ok {
					from0 := max(from, d.now)
					if k := key(from, most); from0 < at || from0 == at && k < best {
						pv, pj, at, best = v, j, from0, k
					}
				}
			}
		}
		return pv, pj, at
	}
}

// byPlan takes the step that the plan starts next.
func byPlan(d *day) (int, int, time.Duration) {
	pv, pj, at := -1, -1, Forever
	for v, starts := range d.plan.Start {
		for j, s := range starts {
			if _, _, ok := d.ready(v, j); ok && s < at {
				pv, pj, at = v, j, s
			}
		}
	}
	return pv, pj, at
}

func following(d *day) (int, int, time.Duration) {
	d.plan = Follow(d.plan, d.facts, d.now)
	return byPlan(d)
}

func replanning(d *day) (int, int, time.Duration) {
	replanned, err := Replan(d.plan, d.facts, d.now, FrozenFor, 40_000_000)
	if err != nil {
		panic(err)
	}
	if d.check != nil {
		d.check(d, replanned)
	}
	d.plan = replanned
	return byPlan(d)
}

// live goes through the day and returns what it came to, with the windows that were missed.
func live(p *Problem, plan *Plan, seed uint64, rule policy, check func(*day, *Plan)) (end, over, excess time.Duration, missed int) {
	d := &day{p: p, plan: plan, takes: late(p, seed), check: check}
	for _, v := range p.Vessels {
		d.facts = append(d.facts, make([]Fact, len(v.Steps)))
	}
	for {
		v, j, at := rule.next(d)
		if v < 0 {
			break
		}
		from, _, _ := d.ready(v, j)
		start := max(at, d.now, from)
		d.now = start + d.takes[v][j]
		d.facts[v][j] = Fact{true, true, start, d.now}
	}
	for v, vessel := range p.Vessels {
		for _, w := range vessel.Waits {
			took := d.facts[v][w.To].Start - d.facts[v][w.From].End
			over += max(0, took-w.Aim)
			if w.AtMost != Forever && took > w.AtMost {
				excess += took - w.AtMost
				missed++
			}
		}
	}
	return d.now, over, excess, missed
}

var policies = []policy{
	{"first ready, first served", byRule(func(from, _ time.Duration) time.Duration { return from })},
	{"earliest closing first", byRule(func(_, most time.Duration) time.Duration { return most })},
	{"the plan's order kept", following},
	{"planned anew after each step", replanning},
}

// TestDisturbedDays lives through 1000 days with late hands by each policy. A new plan must never be worse than the old
// order, and must not turn round what was due within the frozen time; over all days it must miss fewer windows.
func TestDisturbedDays(t *testing.T) {
	days := 1000 / fraction
	p := &Problem{Vessels: copies(4, batch()), Operators: 1, Places: []Place{{"bath", 4}}}
	plan, err := Solve(p, Thorough)
	if err != nil {
		t.Fatal(err)
	}
	var table string
	missed, exceeded := map[string]int{}, map[string]time.Duration{}
	for _, rule := range policies {
		var end, over, excess time.Duration
		spoilt := 0
		for seed := range days {
			e, o, x, n := live(p, plan, uint64(seed), rule, func(d *day, replanned *Plan) { checkReplan(t, seed, d, replanned) })
			end, over, excess, missed[rule.name] = end+e, over+o, excess+x, missed[rule.name]+n
			if n > 0 {
				spoilt++
			}
		}
		exceeded[rule.name] = excess
		table += fmt.Sprintf("| %s | %d | %d | %.1f | %.1f | %.2f |\n", rule.name, missed[rule.name], spoilt,
			end.Minutes()/float64(days), over.Minutes()/float64(days), excess.Minutes()/float64(days))
	}
	t.Logf("%d days\n| | windows missed | days with one | mean makespan, min | mean over-wait, min | mean excess, min |\n%s", days, table)
	for _, rule := range policies[:3] {
		if anew := policies[3].name; missed[anew] > missed[rule.name] || exceeded[anew] > exceeded[rule.name] {
			t.Errorf("planning anew misses %d windows by %v, %q %d by %v", missed[anew], exceeded[anew], rule.name,
				missed[rule.name], exceeded[rule.name])
		}
	}
}

func checkReplan(t *testing.T, seed int, d *day, replanned *Plan) {
	t.Helper()
	kept := Follow(d.plan, d.facts, d.now)
	if kept == nil || kept.better(replanned) {
		t.Errorf("day %d at %v: the new plan is worse than the old order", seed, d.now)
	}
	type due struct{ old, new time.Duration }
	var soon []due
	for v, starts := range d.plan.Start {
		for j, at := range starts {
			if !d.facts[v][j].Begun && at >= d.now-takenUp && at < d.now+FrozenFor {
				soon = append(soon, due{at, replanned.Start[v][j]})
			}
		}
	}
	for _, a := range soon {
		for _, b := range soon {
			if a.old < b.old && a.new > b.new {
				t.Errorf("day %d at %v: steps due at %v and %v change their order", seed, d.now, a.old, b.old)
			}
		}
	}
}

func TestReplanWithNoNews(t *testing.T) {
	p := &Problem{Vessels: copies(4, batch()), Operators: 1, Places: []Place{{"bath", 4}}}
	old, err := Solve(p, Thorough)
	if err != nil {
		t.Fatal(err)
	}
	for now := time.Duration(0); now <= old.Makespan; now += time.Minute {
		facts := make([][]Fact, len(p.Vessels))
		for v, starts := range old.Start {
			for j, at := range starts {
				f := Fact{Begun: at < now, Ended: old.End(v, j) <= now, Start: at, End: old.End(v, j)}
				f.Ended = f.Ended && f.Begun
				facts[v] = append(facts[v], f)
			}
		}
		again, err := Replan(old, facts, now, FrozenFor, Quick)
		if err != nil {
			t.Fatal(err)
		}
		for v := range old.Start {
			for j, at := range old.Start[v] {
				if again.Start[v][j] != at {
					t.Errorf("at %v: %s of vessel %s moved from %v to %v", now, p.Vessels[v].Steps[j].ID, p.Vessels[v].Label, at, again.Start[v][j])
				}
			}
		}
	}
}

// TestReplanStrangeDays puts facts together that no plan has foreseen: steps out of their order, more at once than there
// are hands, ends before beginnings. There is a plan all the same, and what has not begun is not put before now.
func TestReplanStrangeDays(t *testing.T) {
	p := &Problem{Vessels: append(copies(2, batch()), Vessel{"X", burn().Steps, burn().Waits, burn().Holds}), Operators: 1,
		Places: []Place{{"bath", 2}}, Breaks: []Interval{{minutes(20), minutes(30)}}}
	old, err := Solve(p, Quick)
	if err != nil {
		t.Fatal(err)
	}
	for seed := range 300 {
		chance := rand.New(rand.NewPCG(uint64(seed), 11))
		now := time.Duration(chance.Int64N(int64(80 * time.Minute)))
		facts := make([][]Fact, len(p.Vessels))
		for v, vessel := range p.Vessels {
			for range vessel.Steps {
				start := time.Duration(chance.Int64N(int64(now + time.Minute)))
				f := Fact{chance.IntN(2) == 0, chance.IntN(2) == 0, min(start, now), min(start+minutes(chance.IntN(9)-3), now)}
				facts[v] = append(facts[v], f)
			}
		}
		plan, err := Replan(old, facts, now, FrozenFor, 1_000_000)
		if err != nil {
			t.Fatalf("day %d: %v", seed, err)
		}
		for v, starts := range plan.Start {
			for j, at := range starts {
				if !facts[v][j].Begun && at < now.Round(time.Second) {
					t.Errorf("day %d: step %d of vessel %d is put at %v, before now, %v", seed, j, v, at, now)
				}
			}
		}
	}
	if _, err := Replan(old, nil, 0, FrozenFor, Quick); err == nil {
		t.Error("no facts at all are taken for facts")
	}
}
