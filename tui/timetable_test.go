package tui_test

import (
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// planned has the timetable made, and returns what was said of it.
func planned(o *tui.Operator) string {
	task := o.ToPlan()
	if task == nil {
		return ""
	}
	return strings.Join(o.Adopt(task, task.Plan()), " ")
}

// What was planned is said with the times of day, what moved with both times and with what it costs.
func TestTimetableIsTold(t *testing.T) {
	o, m := atBench(t, "ABC", &run.Bench{})
	start := m.Now()
	at := func(minutes int) string {
		return start.At.Add(time.Duration(minutes) * time.Minute).Format("15:04")
	}
	first := planned(o)
	if want := "Timetable: A begins now, B at " + at(3) + ", C at " + at(6) + "; all through at " + at(112) + "."; first != want {
		t.Errorf("said\n%s\nwant\n%s", first, want)
	}
	if a := o.Enter("p", 0); !a.Timetable {
		t.Errorf("p says %+v", a)
	}
	if got := tui.Coming(o.Engine.State, m.now); len(got) == 0 || got[0].Vessel != "A" || got[0].At != at(0) || got[0].Takes != 3*time.Minute {
		t.Errorf("the first turn to come is %+v", got)
	}
	o.Enter("", 0) // A begins
	if said := planned(o); said != "" {
		t.Errorf("everything goes by the timetable, and it is said %q", said)
	}
	m.now += 5 * time.Minute
	said := planned(o)
	for _, want := range []string{"Planned anew: B begins at " + at(5) + ", not " + at(3), "all through at ", "2 min later"} {
		if !strings.Contains(said, want) {
			t.Errorf("said\n%s\nwant in it\n%s", said, want)
		}
	}
}

// A vessel that the timetable has later is begun after a question alone.
func TestBeginBeforeItsTime(t *testing.T) {
	o, _ := atBench(t, "AB", &run.Bench{})
	planned(o)
	o.Enter("", 0)
	o.Enter("B", 0)
	a := o.Enter("", 0)
	if a.Ask == nil || !strings.Contains(a.Ask.Say, "B begins at ") {
		t.Fatalf("beginning B now is answered with %+v, want a question", a)
	}
	if a = o.Enter("", 0); len(a.Events) == 0 || o.Engine.State.Vessel("B").Stage != 0 {
		t.Errorf("assent leads to %+v", a)
	}
}

// Where the timetable cannot be recorded, nothing of it counts; that is said once, and it is made again as soon as something
// else could be recorded, not before: a full disk keeps nobody busy.
func TestTimetableNotSaved(t *testing.T) {
	o, m := atBench(t, "AB", &run.Bench{})
	m.fails = errFull
	if said := planned(o); said != "The timetable could not be saved." || o.Engine.State.Timetable() != nil {
		t.Errorf("the disk is full, and it is said %q", said)
	}
	for range 5 {
		m.now += time.Minute
		if o.ToPlan() != nil {
			t.Fatal("the disk is full and nothing was done, and it is made again")
		}
	}
	if a := o.Enter("p", 0); a.Timetable || !strings.Contains(a.Refused, "could not be saved") {
		t.Errorf("p says %+v", a)
	}
	m.fails = nil
	o.Enter("n the disk is cleared", 0)
	if said := planned(o); !strings.HasPrefix(said, "Timetable: ") {
		t.Errorf("the disk takes it again, and it is said %q", said)
	}
}
