package plain_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/plain"
	"example.org/meniscus/tui/rehearsal"
)

// A run of several vessels says its timetable, tells it again at p, asks before a vessel is begun ahead of it, and says
// that its time has come.
func TestTimetableIsSaid(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(folder, "dilution.toml"))
	if err != nil {
		t.Fatal(err)
	}
	b := run.Begun{Run: "test-run", File: "dilution.toml", Protocol: string(text), Unfit: "two flasks", Zone: "+00:00", Bench: &run.Bench{},
		Vessels: []run.VesselBegun{{Label: "A"}, {Label: "B"}}}
	clock := rehearsal.NewClock(rehearsal.Day)
	state, _, err := run.Begin(b, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	o := tui.NewOperator(run.NewEngine(state, &rehearsal.Memory{}, clock))
	got, _ := talk(t, o, clock, `
0:00:00	-	
0:00:02	A	
0:00:05	-	p
0:00:10	B	
0:00:11	B	-
0:10:00	A	n late
`, plain.Options{})
	begins, ok := tui.BeginsAt(state, "B")
	if !ok {
		t.Fatal("B is not planned")
	}
	for _, want := range []string{
		"[0:00] Timetable: A begins now, B at 08:31; all through at 08:35.",
		"Question: By the timetable B begins at 08:3",
		"Nothing was changed.",
		"B: it is to begin by now",
		"  08:31  B  Weighing, for 1:00",
		"All through at ",
		"Planned anew: B begins at " + state.Wall(begins),
	} {
		if !strings.Contains(got, want) {
			t.Errorf("not said: %q in\n%s", want, got)
		}
	}
}
