package plan

import (
	"fmt"
	"testing"
)

// TestShippedProven plans the shipped protocols for as many vessels as have to be proven. The work is counted in steps, so
// what is proven here is proven on any machine.
func TestShippedProven(t *testing.T) {
	noon := []Interval{{minutes(120), minutes(150)}}
	tests := []struct {
		id      string
		vessels int
		o       Options
	}{
		{"ester-batch", 4, Options{Operators: 2}},
		{"ester-batch", 4, Options{Breaks: noon}},
		{"acid-and-catalyst", 4, Options{Operators: 2, Breaks: noon}},
		{"burn-test", 6, Options{}},
		{"burn-test", 6, Options{Operators: 3, Breaks: noon}},
		{"ester-batch", 5, Options{}},
		{"ester-batch", 6, Options{Breaks: noon}},
		{"ester-batch", 6, Options{Places: []Place{{"bath", 1}}}},
		{"ester-batch", 5, Options{Operators: 2}},
		{"ester-batch", 6, Options{Operators: 3}},
		{"acid-and-catalyst", 6, Options{Breaks: noon}},
		{"acid-and-catalyst", 6, Options{Operators: 2}},
		{"acid-and-catalyst", 6, Options{Operators: 3}},
	}
	for i, tt := range tests {
		if fraction > 1 && i >= 5 {
			break // the rest takes a second or two each without the race detector
		}
		name := fmt.Sprintf("%d x %s, %d pairs, %d breaks, places %v", tt.vessels, tt.id, max(tt.o.Operators, 1), len(tt.o.Breaks), tt.o.Places)
		t.Run(name, func(t *testing.T) {
			p := FromProtocol(charges(tt.vessels, shipped(t, tt.id)), tt.o)
			plan, err := Solve(p, Thorough)
			if err != nil {
				t.Fatal(err)
			}
			for _, fault := range faults(p, plan) {
				t.Error(fault)
			}
			if !plan.Proven || !plan.Settled || !plan.Feasible() {
				t.Errorf("proven %v, settled %v, excess %v: makespan %v and no plan below %v; over-wait %v and none below %v", plan.Proven,
					plan.Settled, plan.Excess, plan.Makespan, plan.Bound, plan.OverWait, plan.LeastOverWait)
			}
		})
	}
}
