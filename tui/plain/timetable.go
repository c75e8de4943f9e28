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
		f.write(fmt.Sprintf("  %s  %s  %s, for %s\n", t.At, t.Vessel, t.Turn, run.Hms(t.Takes)))
	}
	f.say("", "All through at "+f.state().Wall(time.Duration(f.state().Timetable().End))+".")
}
