package plan

import (
	"slices"
	"time"
)

// reminders are what the reminders of each vessel take of the hands, and how long the steps are without them.
type reminders struct {
	shares []float64 // of the hands' time, by vessel
	hands  [][]time.Duration
}

func (p *Problem) handsOf(v int) []time.Duration {
	var out []time.Duration
	for _, s := range p.Vessels[v].Steps {
		out = append(out, s.Hands)
	}
	return out
}

// Stretch returns how many times longer the steps of a vessel are planned than its protocol says, for the reminders of the
// other vessels; 1 where they take too little to count.
func (p *Problem) Stretch(v int) float64 {
	if p.reminders == nil {
		return 1
	}
	others := 0.0
	for u, share := range p.reminders.shares {
		if u != v {
			others += share
		}
	}
	if factor := 1 + others/float64(p.Operators); factor >= 1+slack {
		return factor
	}
	return 1
}

// lengthen gives the steps the length that they have with these pairs of hands and these vessels.
func (p *Problem) lengthen() {
	if p.reminders == nil {
		return
	}
	for v, hands := range p.reminders.hands {
		if factor := p.Stretch(v); factor > 1 {
			for j := range hands {
				p.Vessels[v].Steps[j].Hands = whole(time.Duration(float64(hands[j]) * factor))
			}
		}
	}
}

// again returns the problem as it is with other pairs of hands, and with some of its vessels only; all of them where none is
// named. What has happened in a run is left out.
func (p *Problem) again(operators int, vessels ...int) *Problem {
	out := &Problem{Operators: operators, Places: p.Places, Breaks: p.Breaks}
	if p.reminders != nil {
		out.reminders = &reminders{}
	}
	for v := range p.Vessels {
		if len(vessels) > 0 && !slices.Contains(vessels, v) {
			continue
		}
		vessel := p.Vessels[v]
		vessel.Steps, vessel.Waits = slices.Clone(vessel.Steps), slices.Clone(vessel.Waits)
		if p.reminders != nil {
			for j, hands := range p.reminders.hands[v] {
				vessel.Steps[j].Hands = hands
			}
			out.reminders.shares = append(out.reminders.shares, p.reminders.shares[v])
			out.reminders.hands = append(out.reminders.hands, p.reminders.hands[v])
		}
		out.Vessels = append(out.Vessels, vessel)
	}
	out.lengthen()
	return out
}
