package protocols_test

import (
	"runtime"
	"testing"
	"time"

	"example.org/meniscus/calc/montecarlo"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/rehearsal"
)

// played is the demo of a procedure at its end.
func played(b *testing.B, id string) *run.State {
	b.Helper()
	script, _ := protocols.Demo(id)
	clock := rehearsal.NewClock(rehearsal.Day)
	begun, err := rehearsal.Begun(script, "demo", "test")
	if err != nil {
		b.Fatal(err)
	}
	s, _, err := run.Begin(begun, clock.Now())
	if err != nil {
		b.Fatal(err)
	}
	if err := rehearsal.Play(tui.NewOperator(run.NewEngine(s, &rehearsal.Memory{}, clock)), clock, script.Lines); err != nil {
		b.Fatal(err)
	}
	return s
}

// The whole result set of a procedure, with uncertainty and budget.
func BenchmarkResults(b *testing.B) {
	for _, id := range protocols.IDs() {
		b.Run(id, func(b *testing.B) {
			s := played(b, id)
			b.ReportAllocs()
			for b.Loop() {
				summary.FromState(s)
			}
		})
	}
}

// The same by a thousand trials on all cores; a million take a thousand times as long. One trial is held against the whole
// result set in the same run, on one core each.
func BenchmarkThousandTrials(b *testing.B) {
	for _, id := range protocols.IDs() {
		b.Run(id, func(b *testing.B) {
			s := played(b, id)
			var once, trials time.Duration
			for b.Loop() {
				begin := time.Now()
				out := summary.FromState(s)
				between := time.Now()
				if err := out.Trials(s, montecarlo.Options{Trials: 1000, Seed: 1}); err != nil {
					b.Fatal(err)
				}
				once, trials = once+between.Sub(begin), trials+time.Since(between)
			}
			b.ReportMetric(float64(trials)/1000*float64(runtime.GOMAXPROCS(0))/float64(once), "of-all-results/trial")
		})
	}
}
