package print

import (
	"bytes"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/rehearsal"
)

// The demo readings of each protocol that ships, written as CSV and worked up from there, give the results of the run
// to the last digit.
func TestDemoReadingsGoThroughCSVUnchanged(t *testing.T) {
	for _, id := range protocols.IDs() {
		t.Run(id, func(t *testing.T) {
			played := demo(t, id)
			var rows bytes.Buffer
			if err := CSV(&rows, played); err != nil {
				t.Fatal(err)
			}
			text, _ := protocols.Text(id)
			p, err := protocol.Load(id+".toml", text)
			if err != nil {
				t.Fatal(err)
			}
			events, err := paper.Read(&rows, p, "readings.csv", paper.Options{})
			if err != nil {
				t.Fatal(err)
			}
			calculated, err := summary.Of(p, events)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(figures(played), figures(calculated)); d != "" {
				t.Errorf("results differ (-run +calculated):\n%s", d)
			}
		})
	}
}

func demo(t *testing.T, id string) *summary.Summary {
	t.Helper()
	script, ok := protocols.Demo(id)
	if !ok {
		t.Fatalf("%s has no demo readings", id)
	}
	clock := rehearsal.NewClock(rehearsal.Day)
	begun, err := rehearsal.Begun(script, "demo", "meniscus")
	if err != nil {
		t.Fatal(err)
	}
	state, _, err := run.Begin(begun, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	o := tui.NewOperator(run.NewEngine(state, &rehearsal.Memory{}, clock))
	if err := rehearsal.Play(o, clock, script.Lines); err != nil {
		t.Fatal(err)
	}
	return summary.FromState(state)
}
