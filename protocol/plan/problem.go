package plan

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// Forever is no limit: as Wait.AtMost nothing is missed, as Wait.Aim waiting longer costs nothing.
const Forever = time.Duration(math.MaxInt64)

// A Problem is what has to be planned: vessels, each with its own steps, and what they share.
type Problem struct {
	Vessels   []Vessel
	Operators int        // pairs of hands, 1 or more
	Places    []Place    // what is not named here is there once
	Breaks    []Interval // times when nobody is present, since the start

	pinned   [][]pin       // what has happened already, per vessel and step; nil: nothing
	earliest time.Duration // steps that are not pinned begin no earlier
	orders   []order       // steps that keep their order when the rest is planned anew
	due      [][2]int      // those that come before all others, in their order: vessel and step

	reminders *reminders // what has made the steps longer; nil: nothing
}

// A Place is a resource with so many places.
type Place struct {
	Resource string
	Places   int
}

// An Interval is a time from From to To, both since the start of the plan.
type Interval struct{ From, To time.Duration }

// A Vessel is one way through its steps.
type Vessel struct {
	Label string
	Steps []Step
	Waits []Wait
	Holds []Hold
}

// A Step is one stretch of work of the hands, never interrupted.
type Step struct {
	ID, Title string
	Hands     time.Duration
	Operators int      // pairs of hands it takes; 0: it only marks a moment
	Uses      []string // resources taken meanwhile
}

// A Wait is the time from the end of one step to the start of another, given by their indices.
type Wait struct {
	From, To             int
	AtLeast, Aim, AtMost time.Duration
}

// A Hold is a place that is taken from the start of one step to the end of another.
type Hold struct {
	Resource string
	From, To int
}

// limits that keep bad input from asking for endless work.
const (
	mostSteps  = 600
	mostBreaks = 100
	longest    = 31 * 24 * time.Hour
)

// Check tells why a problem cannot be planned at all; windows that cannot be kept are not among the reasons.
func (p *Problem) Check() error {
	if p.Operators < 1 || p.Operators > 99 {
		return fmt.Errorf("operators is %d; write a number from 1 to 99", p.Operators)
	}
	if len(p.Vessels) == 0 {
		return fmt.Errorf("there is no vessel; write vessels = 1 or more")
	}
	for _, place := range p.Places {
		if place.Places < 1 || place.Places > 999 {
			return fmt.Errorf("%s has %d places; write a number from 1 to 999", place.Resource, place.Places)
		}
	}
	if len(p.Breaks) > mostBreaks {
		return fmt.Errorf("%d breaks; at most %d can be planned around", len(p.Breaks), mostBreaks)
	}
	for _, b := range p.Breaks {
		if b.From < 0 || b.To <= b.From || b.To > longest {
			return fmt.Errorf("the break from %s to %s is no time after the start; write an end after its beginning", b.From, b.To)
		}
	}
	steps := 0
	for _, v := range p.Vessels {
		if err := p.checkVessel(v); err != nil {
			return fmt.Errorf("vessel %s: %w", v.Label, err)
		}
		steps += len(v.Steps)
	}
	if steps > mostSteps {
		return fmt.Errorf("%d steps in all; at most %d can be planned: plan fewer vessels", steps, mostSteps)
	}
	return nil
}

func (p *Problem) checkVessel(v Vessel) error {
	if len(v.Steps) == 0 {
		return fmt.Errorf("it has no step; write one or more")
	}
	for _, s := range v.Steps {
		switch {
		case s.Hands < 0 || s.Hands > longest:
			return fmt.Errorf("step %s takes %s; write a time from 0 to 31 days", s.ID, s.Hands)
		case s.Operators < 0 || s.Operators > p.Operators:
			return fmt.Errorf("step %s takes %d pairs of hands and there are %d; write operators = %d", s.ID, s.Operators, p.Operators, s.Operators)
		}
	}
	for _, w := range v.Waits {
		if err := v.checkWait(w); err != nil {
			return err
		}
	}
	for _, h := range v.Holds {
		if !v.has(h.From) || !v.has(h.To) {
			return fmt.Errorf("a hold of %s names a step that does not exist", h.Resource)
		}
	}
	return v.checkRound()
}

func (v Vessel) has(step int) bool { return step >= 0 && step < len(v.Steps) }

func (v Vessel) checkWait(w Wait) error {
	if !v.has(w.From) || !v.has(w.To) || w.From == w.To {
		return fmt.Errorf("a wait does not lead from one step to another")
	}
	name := v.Steps[w.From].ID + " > " + v.Steps[w.To].ID
	switch {
	case w.AtLeast < 0 || w.AtLeast > longest:
		return fmt.Errorf("wait %s: at_least is %s; write a time from 0 to 31 days", name, w.AtLeast)
	case w.Aim < w.AtLeast:
		return fmt.Errorf("wait %s: aim %s is shorter than at_least %s; write an aim of that or more", name, w.Aim, w.AtLeast)
	case w.AtMost < w.AtLeast:
		return fmt.Errorf("wait %s: at_most %s is shorter than at_least %s; write an at_most of that or more", name, w.AtMost, w.AtLeast)
	}
	return nil
}

// checkRound refuses steps that wait for each other in a round.
func (v Vessel) checkRound() error {
	before := make([]int, len(v.Steps))
	for _, w := range v.Waits {
		before[w.To]++
	}
	var free []int
	for i, n := range before {
		if n == 0 {
			free = append(free, i)
		}
	}
	for k := 0; k < len(free); k++ {
		for _, w := range v.Waits {
			if w.From != free[k] {
				continue
			}
			if before[w.To]--; before[w.To] == 0 {
				free = append(free, w.To)
			}
		}
	}
	if len(free) < len(v.Steps) {
		return fmt.Errorf("its waits lead round in a circle; write waits that go from earlier steps to later ones")
	}
	return nil
}

// PlacesOf returns how often a resource is there: once, unless it is said.
func (p *Problem) PlacesOf(resource string) int {
	for _, place := range p.Places {
		if place.Resource == resource {
			return place.Places
		}
	}
	return 1
}

// Resources lists what steps and holds name, each once, in the order of their mention.
func (p *Problem) Resources() []string {
	var out []string
	add := func(r string) {
		if !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	for _, v := range p.Vessels {
		for _, s := range v.Steps {
			for _, r := range s.Uses {
				add(r)
			}
		}
		for _, h := range v.Holds {
			add(h.Resource)
		}
	}
	return out
}

// holds tells whether a resource is held around a step.
func (v Vessel) holds(resource string, step int) bool {
	for _, h := range v.Holds {
		if h.Resource == resource && h.From <= step && step <= h.To {
			return true
		}
	}
	return false
}

// same tells whether two vessels go through the same, so that they may change places.
func same(a, b *Vessel) bool {
	return slices.EqualFunc(a.Steps, b.Steps, func(s, t Step) bool {
		return s.ID == t.ID && s.Hands == t.Hands && s.Operators == t.Operators && slices.Equal(s.Uses, t.Uses)
	}) && slices.Equal(a.Waits, b.Waits) && slices.Equal(a.Holds, b.Holds)
}
