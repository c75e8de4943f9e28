package plan

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"example.org/meniscus/protocols"
)

// BenchmarkSolve plans the shipped protocols by the number of vessels, with the places that they declare. It reports
// whether the plan was proven, also that no vessels could start sooner, and how far the makespan may be from the shortest.
func BenchmarkSolve(b *testing.B) {
	for _, id := range protocols.IDs() {
		for _, n := range []int{1, 2, 3, 4, 5, 6, 7, 8, 12} {
			b.Run(fmt.Sprintf("%s/%d", id, n), func(b *testing.B) {
				solveFor(b, FromProtocol(charges(n, shipped(b, id)), Options{}))
			})
		}
	}
}

// BenchmarkSolveOther plans for more pairs of hands, with a break at noon, and with waits as short as they may be.
func BenchmarkSolveOther(b *testing.B) {
	noon := []Interval{{minutes(120), minutes(150)}}
	tests := []struct {
		name, id string
		o        Options
	}{
		{"two pairs", "ester-batch", Options{Operators: 2}},
		{"three pairs", "ester-batch", Options{Operators: 3}},
		{"two pairs", "acid-and-catalyst", Options{Operators: 2}},
		{"break", "ester-batch", Options{Breaks: noon}},
		{"break", "acid-and-catalyst", Options{Breaks: noon}},
		{"two pairs and break", "ester-batch", Options{Operators: 2, Breaks: noon}},
		{"brisk", "ester-batch", Options{Brisk: true}},
	}
	for _, tt := range tests {
		for _, n := range []int{2, 3, 4, 5, 6} {
			b.Run(fmt.Sprintf("%s/%s/%d", tt.name, tt.id, n), func(b *testing.B) {
				solveFor(b, FromProtocol(charges(n, shipped(b, tt.id)), tt.o))
			})
		}
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
	yes := func(is bool) float64 {
		if is {
			return 1
		}
		return 0
	}
	b.ReportMetric(yes(plan.Proven), "proven")
	b.ReportMetric(yes(plan.Settled), "settled")
	b.ReportMetric((plan.Makespan - plan.Bound).Minutes(), "gap-min")
	b.ReportMetric(plan.Makespan.Minutes(), "makespan-min")
	b.ReportMetric(plan.OverWait.Minutes(), "overwait-min")
}

// A moment is one at which a day has to be planned anew.
type moment struct {
	plan  *Plan
	facts [][]Fact
	now   time.Duration
}

// BenchmarkReplan plans the rest of days with late hands anew, at each moment that brings news, and reports how long the
// slowest in twenty takes.
func BenchmarkReplan(b *testing.B) {
	for _, id := range protocols.IDs() {
		for _, n := range []int{2, 4, 6} {
			b.Run(fmt.Sprintf("%s/%d", id, n), func(b *testing.B) {
				p := FromProtocol(charges(n, shipped(b, id)), Options{})
				all := moments(b, p, 3)
				var took []time.Duration
				for b.Loop() {
					for _, m := range all {
						began := time.Now()
						if _, err := Replan(m.plan, m.facts, m.now, FrozenFor, Quick); err != nil {
							b.Fatal(err)
						}
						took = append(took, time.Since(began))
					}
				}
				slices.Sort(took)
				b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "p50-ms")
				b.ReportMetric(float64(took[len(took)*95/100].Microseconds())/1000, "p95-ms")
				b.ReportMetric(float64(took[len(took)-1].Microseconds())/1000, "max-ms")
			})
		}
	}
}

// moments lives through days and keeps the moments at which something has gone otherwise than planned.
func moments(b *testing.B, p *Problem, days int) []moment {
	first, err := Solve(p, Thorough)
	if err != nil {
		b.Fatal(err)
	}
	var out []moment
	watch := policy{"", func(d *day) (int, int, time.Duration) {
		replanned, err := Replan(d.plan, d.facts, d.now, FrozenFor, Quick)
		if err != nil {
			b.Fatal(err)
		}
		if replanned != d.plan {
			facts := make([][]Fact, len(d.facts))
			for v := range facts {
				facts[v] = slices.Clone(d.facts[v])
			}
			out = append(out, moment{d.plan, facts, d.now})
		}
		d.plan = replanned
		return byPlan(d)
	}}
	for seed := range days {
		live(p, first, uint64(seed), watch, nil)
	}
	return out
}
