package run

import "example.org/meniscus/protocol"

// A Position is where a vessel stands in its protocol.
type Position struct {
	Stage   int // index in Protocol.Stages; -1 before the first, len(Stages) when through
	Portion int // from 1; one past the stage's portions when the stage is complete
	Phase   protocol.Phase
	Step    int // HandsPhase: index in stepsOf(stage, Portion)
}

// stepsOf returns the indices of the stage's steps for a portion. A hands phase without declared steps has one step,
// whose words are the stage's own.
func stepsOf(st *protocol.Stage, portion int) []int {
	if steps := st.StepsOf(portion); len(steps) > 0 {
		return steps
	}
	return []int{0}
}

// enter returns the position at the begin of a portion of a stage: its hands, or the first phase that it has.
func enter(st *protocol.Stage, stage, portion int) Position {
	p := Position{Stage: stage, Portion: portion, Phase: protocol.HandsPhase}
	if !st.HasHands() {
		return p.afterHands(st)
	}
	return p
}

func (p Position) afterStep(st *protocol.Stage) Position {
	p.Step++
	if p.Step < len(stepsOf(st, p.Portion)) {
		return p
	}
	return p.afterHands(st)
}

func (p Position) afterHands(st *protocol.Stage) Position {
	p.Step = 0
	if st.WaitsAfter(p.Portion) {
		p.Phase = protocol.WaitPhase
		return p
	}
	return p.afterWait(st)
}

func (p Position) afterWait(st *protocol.Stage) Position {
	if len(st.ReadingsOf(protocol.EndPhase, p.Portion, 0)) > 0 {
		p.Phase = protocol.EndPhase
		return p
	}
	return p.afterEnd(st)
}

func (p Position) afterEnd(st *protocol.Stage) Position {
	if p.Portion < st.Portions {
		return enter(st, p.Stage, p.Portion+1)
	}
	p.Portion = st.Portions + 1
	return p
}

// complete tells whether everything of the stage is behind p.
func (p Position) complete(st *protocol.Stage) bool { return p.Portion > st.Portions }

// readings returns the readings that can be taken at p, in file order.
func (p Position) readings(st *protocol.Stage) []*protocol.Reading {
	if p.complete(st) {
		return nil
	}
	step := 0
	if p.Phase == protocol.HandsPhase {
		step = stepsOf(st, p.Portion)[p.Step]
	}
	return st.ReadingsOf(p.Phase, p.Portion, step)
}

// key names one value of a reading: its id, and its portion where it is a list.
func key(r *protocol.Reading, portion int) slot {
	if !r.IsList() {
		portion = 0
	}
	return slot{r.ID, portion}
}

type slot struct {
	reading string
	portion int
}
