package summary

import (
	"time"

	"example.org/meniscus/protocol/run"
)

// Timetable holds what was planned for the hands against what they did. Times are in s since the run began.
type Timetable struct {
	PlannedEndS float64  `json:"planned_end_s"` // of the last vessel, by the first timetable
	EndS        *float64 `json:"end_s"`         // null while a vessel is not through
	Remade      []Remade `json:"remade"`        // each time that it was made anew
	Turns       []Turn   `json:"turns"`         // vessel by vessel, in the protocol's order
}

// Remade is a timetable that took the place of another one.
type Remade struct {
	ElapsedS float64 `json:"elapsed_s"`
	EndS     float64 `json:"planned_end_s"`
	LaterS   float64 `json:"later_s"`          // the end against the timetable before it; negative: earlier
	OverS    float64 `json:"more_over_wait_s"` // what waits last longer over their aims than by the one before it
	Missed   int     `json:"missed"`           // windows that it cannot keep
}

// Turn is a portion of a stage of one vessel. BegunS and EndedS are null where it did not come to that.
type Turn struct {
	Vessel       string   `json:"vessel"`
	Stage        string   `json:"stage"`
	Title        string   `json:"title"`
	Portion      int      `json:"portion"`        // 0 where there is but one
	PlannedS     float64  `json:"planned_s"`      // its begin by the first timetable that has it
	PlannedEndS  float64  `json:"planned_end_s"`  // its end by that one
	LastPlannedS float64  `json:"last_planned_s"` // its begin by the last timetable before it was begun
	BegunS       *float64 `json:"begun_s"`
	EndedS       *float64 `json:"ended_s"`
}

func timetable(s *run.State) *Timetable {
	if len(s.Timetables) == 0 {
		return nil
	}
	first := s.Timetables[0]
	out := &Timetable{PlannedEndS: time.Duration(first.End).Seconds(), Remade: []Remade{}, Turns: []Turn{}}
	for _, t := range s.Timetables[1:] {
		out.Remade = append(out.Remade, Remade{t.At.Elapsed.Seconds(), seconds(t.End), seconds(t.Later), seconds(t.More), len(t.Missed)})
	}
	planned := plannedTurns(s.Timetables)
	var end time.Duration
	through := true
	for _, v := range s.Vessels {
		out.Turns = append(out.Turns, turns(s, v, planned)...)
		if through = through && v.Through != nil; through {
			end = max(end, v.Through.Elapsed)
		}
	}
	if through {
		out.EndS = number(end.Seconds())
	}
	return out
}

func seconds(t run.Span) float64 { return time.Duration(t).Seconds() }

// A turnKey names a turn of the hands.
type turnKey struct {
	vessel, stage string
	portion       int
}

// plannedTurns gathers what the timetables say of each turn: the first that has it, and when the last one has it begin.
func plannedTurns(tables []run.Timetable) map[turnKey]Turn {
	out := map[turnKey]Turn{}
	for _, table := range tables {
		for _, x := range table.Turns {
			key := turnKey{x.Vessel, x.Stage, x.Portion}
			t, known := out[key]
			if !known {
				t.PlannedS, t.PlannedEndS = seconds(x.Start), seconds(x.End)
			}
			t.LastPlannedS = seconds(x.Start)
			out[key] = t
		}
	}
	return out
}

// turns lists what was planned for one vessel, and what it came to.
func turns(s *run.State, v *run.Vessel, planned map[turnKey]Turn) []Turn {
	var out []Turn
	for i, st := range s.Protocol.Stages {
		for portion := 1; portion <= st.Portions; portion++ {
			t, known := planned[turnKey{v.Label, st.ID, portion}]
			if !known {
				continue
			}
			t.Vessel, t.Stage, t.Title = v.Label, st.ID, st.Title
			if st.Portions > 1 {
				t.Portion = portion
			}
			t.done(v, i, portion)
			out = append(out, t)
		}
	}
	return out
}

// done fills in when the hands were at a turn.
func (t *Turn) done(v *run.Vessel, stage, portion int) {
	for _, x := range v.Spells {
		if x.Stage != stage || x.Portion != portion || !x.Touched {
			continue
		}
		if t.BegunS = number(x.From.Seconds()); x.Ended {
			t.EndedS = number(x.To.Seconds())
		}
	}
}
