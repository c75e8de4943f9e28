package plan

import (
	"fmt"
	"testing"
	"time"

	"example.org/meniscus/protocols"
)

// BenchmarkSolve plans the shipped protocols, each resource there once, by the number of vessels. It reports whether
// the plan was proven, and how far the makespan may be from the shortest one.
func BenchmarkSolve(b *testing.B) {
	for _, id := range protocols.IDs() {
		for n := 1; n <= 6; n++ {
			b.Run(fmt.Sprintf("%s/%d", id, n), func(b *testing.B) {
				solveFor(b, FromProtocol(charges(n, shipped(b, id)), Options{}))
			})
		}
	}
}

// BenchmarkSolveWide plans batches with a bath place for each vessel, so that the hands alone bind.
func BenchmarkSolveWide(b *testing.B) {
	for _, n := range []int{2, 4} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			solveFor(b, FromProtocol(charges(n, shipped(b, "ester-batch")), Options{Places: []Place{{"bath", n}}}))
		})
	}
}

func solveFor(b *testing.B, p *Problem) {
	var plan *Plan
	for b.Loop() {
		var err error
		if plan, err = Solve(p, Thorough); err != nil {
			b.Fatal(err)
		}
	}
	proven := 0.0
	if plan.Proven {
		proven = 1
	}
	b.ReportMetric(proven, "proven")
	b.ReportMetric((plan.Makespan - plan.Bound).Minutes(), "gap-min")
	b.ReportMetric(plan.OverWait.Minutes(), "overwait-min")
}

// BenchmarkReplan plans the rest of a day anew after the hands were three minutes late.
func BenchmarkReplan(b *testing.B) {
	for _, id := range protocols.IDs() {
		for _, n := range []int{2, 4} {
			b.Run(fmt.Sprintf("%s/%d", id, n), func(b *testing.B) {
				p := FromProtocol(charges(n, shipped(b, id)), Options{Places: []Place{{"bath", n}}})
				old, err := Solve(p, Quick)
				if err != nil {
					b.Fatal(err)
				}
				facts, now := lateAt(old, old.Makespan/3)
				for b.Loop() {
					if _, err := Replan(old, facts, now, FrozenFor, Quick); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// lateAt is a day that went by the plan until a moment, and whose last step then took three minutes longer.
func lateAt(plan *Plan, until time.Duration) ([][]Fact, time.Duration) {
	facts := make([][]Fact, len(plan.Start))
	now := time.Duration(0)
	var last *Fact
	for v, starts := range plan.Start {
		facts[v] = make([]Fact, len(starts))
		for j, at := range starts {
			if end := plan.End(v, j); at < until {
				facts[v][j] = Fact{true, true, at, end}
				if end > now {
					now, last = end, &facts[v][j]
				}
			}
		}
	}
	last.End += 3 * time.Minute
	return facts, last.End
}
