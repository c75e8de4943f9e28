package plain

import (
	"fmt"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// plan has the timetable made anew where something has changed, and says what moved.
func (f *face) plan() {
	for _, said := range f.o.Plan() {
		f.say("["+run.Hms(f.o.Engine.Now().Elapsed)+"] ", said)
	}
}

// timetable lists what the hands are to do from now on.
func (f *face) timetable() {
	for _, t := range tui.Coming(f.state(), f.o.Engine.Now().Elapsed) {
		line := fmt.Sprintf("  %s  %s  %s", t.At, t.Vessel, t.Turn)
		if t.Takes > 0 {
			line += ", for " + run.Hms(t.Takes)
		}
		f.write(line + "\n")
	}
	f.say("", "All through at "+f.state().Wall(time.Duration(f.state().Timetable().End))+".")
}
