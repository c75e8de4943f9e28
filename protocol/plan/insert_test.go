package plan

import "testing"

// TestManyHands plans more pairs of hands than a sweep knows apart, where no simple rule keeps the windows: that a plan
// without a fault exceeds none is proof enough that there is one.
func TestManyHands(t *testing.T) {
	p, err := ReadCase("hands", []byte(`operators = 4
vessels = 11
step = [ { id = "load", hands = 1 }, { id = "dose", hands = 3 }, { id = "pour", hands = 6, operators = 2 } ]
wait = [ { from = "load", to = "dose", at_least = 2, at_most = 3 }, { from = "dose", to = "pour", at_least = 8, at_most = 10 } ]
`))
	if err != nil {
		t.Fatal(err)
	}
	plan, err := Solve(p, Quick)
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range faults(p, plan) {
		t.Error(fault)
	}
	if !plan.Feasible() {
		t.Errorf("windows are exceeded by %v in all, and all can be kept", plan.Excess)
	}
}
