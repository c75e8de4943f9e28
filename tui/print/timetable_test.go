package print_test

import (
	"strings"
	"testing"

	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/tui/print"
)

// The page shows a line for each vessel, and the turns that were a minute or more off.
func TestTimetableIsPrinted(t *testing.T) {
	at := func(s float64) *float64 { return &s }
	s := &summary.Summary{Timetable: &summary.Timetable{
		PlannedEndS: 3120, EndS: at(3300),
		Remade: []summary.Remade{{ElapsedS: 360, EndS: 3300, LaterS: 180}},
		Turns: []summary.Turn{
			{Vessel: "A", Stage: "load", Title: "Load", PlannedS: 0, PlannedEndS: 120, BegunS: at(0), EndedS: at(360)},
			{Vessel: "A", Stage: "dose", Title: "Dose", Portion: 2, PlannedS: 600, PlannedEndS: 720, LastPlannedS: 840, BegunS: at(905), EndedS: at(1030)},
			{Vessel: "B", Stage: "load", Title: "Load", PlannedS: 180, PlannedEndS: 300, LastPlannedS: 360},
		},
	}}
	var b strings.Builder
	if err := print.Text(&b, s, print.Options{Width: 80}); err != nil {
		t.Fatal(err)
	}
	got := strings.Join(strings.Fields(b.String()), " ")
	for _, want := range []string{
		"A 0:00:00 0:00:00 0:12:00 0:17:10",
		"B 0:03:00 not done 0:05:00 not done",
		"All through was planned for 0:52:00, and came at 0:55:00.",
		"The timetable was made anew once, at 0:06:00.",
		"A Dose, portion 2 0:10:00 0:14:00 0:15:05 0:01:05",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("the page lacks %q:\n%s", want, b.String())
		}
	}
	if strings.Contains(got, "A Load") {
		t.Errorf("a turn that was on time is listed as off:\n%s", b.String())
	}
}
