package print

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"example.org/meniscus/protocol/summary"
)

// lateBy is how far a turn must have been behind its last planned time to be listed, in s.
const lateBy = 60

// timetable prints planned against done: a line for each vessel by the first timetable, and the turns that were begun later
// than the last one before them had.
func (p *page) timetable(t *summary.Timetable) {
	if t == nil || len(t.Turns) == 0 {
		return
	}
	whole := &table{Columns: []column{{Head: "Vessel"}, {Head: "Begin planned", Right: true}, {Head: "Begun", Right: true},
		{Head: "End planned", Right: true}, {Head: "Ended", Right: true}}}
	late := &table{Columns: []column{{Head: "Vessel"}, {Head: "Turn of the hands"}, {Head: "Planned first", Right: true},
		{Head: "At last", Right: true}, {Head: "Begun", Right: true}, {Head: "Later by", Right: true}}}
	for i, turn := range t.Turns {
		if i == 0 || t.Turns[i-1].Vessel != turn.Vessel {
			last := turn
			for _, x := range t.Turns[i:] {
				if x.Vessel == turn.Vessel {
					last = x
				}
			}
			whole.row(turn.Vessel, inRun(turn.PlannedS), inRunOr(turn.BegunS), inRun(last.PlannedEndS), inRunOr(last.EndedS))
		}
		if turn.BegunS != nil && *turn.BegunS-turn.LastPlannedS >= lateBy {
			late.row(turn.Vessel, turnTitle(turn), inRun(turn.PlannedS), inRun(turn.LastPlannedS), inRun(*turn.BegunS),
				inRun(*turn.BegunS-turn.LastPlannedS))
		}
	}
	p.add("Timetable, planned and done", whole, "Times since the begin of the run. "+remade(t))
	p.add("Turns that were begun a minute or more late", late)
}

func remade(t *summary.Timetable) string {
	said := "All through was planned for " + inRun(t.PlannedEndS)
	if t.EndS != nil {
		said += ", and came at " + inRun(*t.EndS)
	}
	switch n := len(t.Remade); n {
	case 0:
		return said + ". The timetable was kept as it was first made."
	case 1:
		return said + ". The timetable was made anew once, at " + inRun(t.Remade[0].ElapsedS) + "."
	default:
		return fmt.Sprintf("%s. The timetable was made anew %d times, the last time at %s.", said, n, inRun(t.Remade[n-1].ElapsedS))
	}
}

func turnTitle(t summary.Turn) string {
	if t.Portion == 0 {
		return t.Title
	}
	return t.Title + ", portion " + strconv.Itoa(t.Portion)
}

func inRun(s float64) string { return since(time.Duration(math.Round(s)) * time.Second) }

func inRunOr(s *float64) string {
	if s == nil {
		return "not done"
	}
	return inRun(*s)
}
