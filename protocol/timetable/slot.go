package timetable

import (
	"strconv"
	"strings"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/plan"
)

// A slot is what a step of a plan is in the protocol.
type slot struct {
	stage, portion int    // the stage's index; that of the first stage for the begin of a vessel that waits first
	id             string // the stage's
	ends           bool   // no turn of the hands: the end of the vessel
}

// slotsOf tells what the steps of a plan are: each is named after its stage, with the portion where there are several.
func slotsOf(p *protocol.Protocol, steps []plan.Step) []slot {
	out := make([]slot, len(steps))
	for i, step := range steps {
		id, portion, _ := strings.Cut(step.ID, ".")
		n, _ := strconv.Atoi(portion)
		out[i] = slot{stage: place(p, id), portion: max(n, 1), id: id}
		switch first := p.Stages[0]; {
		case step.Operators == 0:
			out[i] = slot{stage: len(p.Stages), ends: true}
		case i == 0 && waits(first):
			out[i] = slot{portion: 1, id: first.ID}
		}
	}
	return out
}

// waits tells whether a stage is a wait that nobody has to stay with.
func waits(st *protocol.Stage) bool { return !st.HasHands() && !st.Attended }

// place returns where a stage stands in its protocol; -1 where there is no such stage.
func place(p *protocol.Protocol, id string) int {
	if st := p.Stage(id); st != nil {
		return st.Number
	}
	return -1
}
