package plan

import (
	"fmt"
	"slices"
	"testing"
	"time"
)

// solveProven plans a case that must come with a proof: the laws below hold for optima.
func solveProven(t *testing.T, p *Problem) *Plan {
	t.Helper()
	plan, err := Solve(p, Thorough)
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range faults(p, plan) {
		t.Error(fault)
	}
	if !plan.Proven {
		t.Error("not proven")
	}
	return plan
}

// TestLaws holds plans of many cases against what must be so whatever the case.
func TestLaws(t *testing.T) {
	for i, c := range solvedCases(t) {
		if i%fraction != 0 {
			continue
		}
		t.Run(fmt.Sprint(c.Seed), func(t *testing.T) {
			p := c.problem(t)
			plan := solveProven(t, p)
			again := solveProven(t, c.problem(t))
			if !slices.EqualFunc(plan.Start, again.Start, slices.Equal) {
				t.Error("the same case gives another plan")
			}
			fewer := *p
			fewer.Vessels = p.Vessels[:len(p.Vessels)-1]
			if less := solveProven(t, &fewer); less.Excess == plan.Excess && less.Makespan > plan.Makespan || less.Excess > plan.Excess {
				t.Errorf("with a vessel less: makespan %v, excess %v; with all %v, %v", less.Makespan, less.Excess, plan.Makespan, plan.Excess)
			}
			roomier := *p
			roomier.Places = nil
			for _, place := range p.Places {
				roomier.Places = append(roomier.Places, Place{place.Resource, place.Places + 1})
			}
			if more := solveProven(t, &roomier); plan.better(more) {
				t.Errorf("with more places: excess %v, makespan %v, over-wait %v; without %v, %v, %v", more.Excess, more.Makespan,
					more.OverWait, plan.Excess, plan.Makespan, plan.OverWait)
			}
			shift(t, p, plan)
			relabel(t, p, plan)
		})
	}
}

// shift lets nobody be present at first: everything comes later by just that.
func shift(t *testing.T, p *Problem, plan *Plan) {
	t.Helper()
	const by = 17 * time.Minute
	later := *p
	later.Breaks = []Interval{{0, by}}
	for _, b := range p.Breaks {
		later.Breaks = append(later.Breaks, Interval{b.From + by, b.To + by})
	}
	shifted := solveProven(t, &later)
	if shifted.Makespan != plan.Makespan+by || shifted.OverWait != plan.OverWait || shifted.Excess != plan.Excess {
		t.Errorf("%v later: makespan %v, over-wait %v, excess %v; at first %v, %v, %v", by, shifted.Makespan, shifted.OverWait,
			shifted.Excess, plan.Makespan, plan.OverWait, plan.Excess)
	}
}

// relabel gives the vessels other labels, and another order.
func relabel(t *testing.T, p *Problem, plan *Plan) {
	t.Helper()
	named := *p
	named.Vessels = slices.Clone(p.Vessels)
	for v := range named.Vessels {
		named.Vessels[v].Label = "vessel " + named.Vessels[v].Label
	}
	if other := solveProven(t, &named); !slices.EqualFunc(plan.Start, other.Start, slices.Equal) {
		t.Error("other labels give another plan")
	}
	slices.Reverse(named.Vessels)
	if other := solveProven(t, &named); other.better(plan) || plan.better(other) {
		t.Errorf("in another order: makespan %v, over-wait %v; at first %v, %v", other.Makespan, other.OverWait, plan.Makespan, plan.OverWait)
	}
}
