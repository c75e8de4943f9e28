package protocol

import "time"

// Planned returns how long the window is meant to take: its aim, else the shortest or the longest time that is declared.
func (w Window) Planned() time.Duration {
	switch {
	case w.Aim > 0:
		return w.Aim
	case w.AtLeast > 0:
		return w.AtLeast
	}
	return w.AtMost
}

// IsZero tells whether nothing is declared.
func (w Window) IsZero() bool { return w == Window{} }

// Planned returns how long one vessel takes from the first stage to the last.
func (p *Protocol) Planned() time.Duration {
	var sum time.Duration
	for _, s := range p.Stages {
		sum += s.Planned()
	}
	return sum
}

// HandsOn returns how long one vessel keeps the operator busy: hands, and the waits of attended stages.
func (p *Protocol) HandsOn() time.Duration {
	var sum time.Duration
	for _, s := range p.Stages {
		sum += s.HandsOn()
	}
	return sum
}

// Planned returns how long the stage takes, all portions and the waits between them.
func (s *Stage) Planned() time.Duration {
	return time.Duration(s.Portions)*s.Hands.Planned() + s.waiting()
}

// HandsOn returns how long the stage keeps the operator busy.
func (s *Stage) HandsOn() time.Duration {
	if s.Attended {
		return s.Planned()
	}
	return time.Duration(s.Portions) * s.Hands.Planned()
}

func (s *Stage) waiting() time.Duration {
	var sum time.Duration
	for portion := 1; portion <= s.Portions; portion++ {
		if s.WaitsAfter(portion) {
			sum += s.Clock.Planned()
		}
	}
	return sum
}

// usualBeat is how far the points of a series are apart where no reminder asks for them.
const usualBeat = 30 * time.Second

// Beat returns how far the points of a series are apart: the shortest interval of the reminders that ask for them.
func (r *Reading) Beat() time.Duration {
	beat := time.Duration(0)
	for _, rem := range r.Stage.Reminders {
		if rem.Reading == r.ID && rem.Every > 0 && (beat == 0 || rem.Every < beat) {
			beat = rem.Every
		}
	}
	if beat == 0 {
		return usualBeat
	}
	return beat
}

// HasHands tells whether the stage has a hands phase. Steps of a stage with a clock and no hands time are done while
// the clock runs.
func (s *Stage) HasHands() bool { return s.Clock == nil || !s.Hands.IsZero() }

// WaitsAfter tells whether the clock runs after a portion, counted from 1.
func (s *Stage) WaitsAfter(portion int) bool {
	return s.Clock != nil && (s.Portions == 1 || portion < s.Portions || s.WaitLast)
}

// StepsOf returns the indices of the steps that are done with a portion, counted from 1.
func (s *Stage) StepsOf(portion int) []int {
	var out []int
	for i, step := range s.Steps {
		if step.Portion == 0 || step.Portion == portion {
			out = append(out, i)
		}
	}
	return out
}

// ReadingsOf returns the readings that are asked for in a phase of a portion, in file order; step counts in the hands
// phase only. A reading whose own step is not done with this portion goes with the portion's last step.
func (s *Stage) ReadingsOf(phase Phase, portion, step int) []*Reading {
	var out []*Reading
	for _, r := range s.Readings {
		if r.Phase != phase || (r.Portion != 0 && r.Portion != portion) {
			continue
		}
		if phase == HandsPhase && s.stepFor(r, portion) != step {
			continue
		}
		out = append(out, r)
	}
	return out
}

// stepFor returns the index of the step that a reading goes with in a portion.
func (s *Stage) stepFor(r *Reading, portion int) int {
	last := 0
	for _, i := range s.StepsOf(portion) {
		if i == r.Step {
			return i
		}
		last = i
	}
	return last
}
