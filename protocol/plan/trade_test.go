package plan

import (
	"testing"
	"time"
)

func minutes(n int) time.Duration { return time.Duration(n) * time.Minute }

// same n times, lettered from A.
func copies(n int, v Vessel) []Vessel {
	out := make([]Vessel, n)
	for i := range out {
		out[i] = v
		out[i].Label = string(rune('A' + i))
	}
	return out
}

func step(id string, hands int, uses ...string) Step {
	return Step{ID: id, Hands: minutes(hands), Operators: 1, Uses: uses}
}

func wait(from, to, least, most int) Wait {
	return Wait{from, to, minutes(least), minutes(least), minutes(most)}
}

func batch() Vessel {
	return Vessel{
		Steps: []Step{step("load", 2), step("dose1", 2), step("dose2", 2), step("seed", 3), step("pour", 3)},
		Waits: []Wait{wait(0, 1, 8, 14), wait(1, 2, 4, 7), wait(2, 3, 15, 20), wait(3, 4, 10, 15)},
		Holds: []Hold{{"bath", 0, 4}},
	}
}

func burn() Vessel {
	return Vessel{
		Steps: []Step{step("weigh", 2, "balance"), step("fill", 2), step("burn", 8), step("lid", 1), step("reweigh", 2, "balance"), step("read", 2)},
		Waits: []Wait{wait(0, 1, 0, 5), wait(1, 2, 0, 2), wait(2, 3, 0, 0), wait(3, 4, 1, 6), wait(3, 5, 5, 6)},
		Holds: []Hold{{"rig", 1, 5}},
	}
}

// TestWorkedInstances holds plans against optima that were worked out elsewhere: exhaustively, and by solvers of
// mixed-integer programs.
func TestWorkedInstances(t *testing.T) {
	const both = "exhaustive search and a mixed-integer program agree"
	tests := []struct {
		name           string
		vessels        []Vessel
		operators      int
		places         []Place
		makespan, over int
		source         string
	}{
		{"batch-2", copies(2, batch()), 1, []Place{{"bath", 2}}, 52, 0, both},
		{"batch-3", copies(3, batch()), 1, []Place{{"bath", 3}}, 55, 3, both},
		{"batch-4", copies(4, batch()), 1, []Place{{"bath", 4}}, 59, 5, both},
		{"batch-5", copies(5, batch()), 1, []Place{{"bath", 5}}, 65, 23, "a mixed-integer program"},
		{"batch-3b", copies(3, batch()), 1, []Place{{"bath", 2}}, 98, 0, "a mixed-integer program, and 2 x 49 in two places"},
		{"burn-4", copies(4, burn()), 2, []Place{{"balance", 1}, {"rig", 2}}, 40, 4, "two mixed-integer programs"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, err := Solve(&Problem{Vessels: tt.vessels, Operators: tt.operators, Places: tt.places}, Thorough)
			if err != nil {
				t.Fatal(err)
			}
			if p.Makespan != minutes(tt.makespan) || p.OverWait != minutes(tt.over) || !p.Feasible() || !p.Proven {
				t.Errorf("makespan %v, over-wait %v, excess %v, proven %v; want %d and %d min, proven (%s)",
					p.Makespan, p.OverWait, p.Excess, p.Proven, tt.makespan, tt.over, tt.source)
			}
		})
	}
}
