package run

import (
	"slices"
	"strings"

	"example.org/meniscus/protocol"
)

// ownOf tells what is given to a vessel, so that it can be told from the others: what was set for it, what another vessel has
// otherwise, and in any case the first choice that a protocol leaves to each vessel, such as the oil.
func (s *State) ownOf(v *Vessel) []string {
	var out []string
	first := true
	for _, g := range s.Protocol.Givens {
		if !g.PerVessel {
			continue
		}
		isChoice := g.Kind == protocol.GivenChoice
		if v.Set[g.ID] != "" || isChoice && first || s.differ(g, v) {
			if shown, ok := v.Sheet.Show(g.ID, 0); ok {
				if !isChoice {
					shown = g.ID + " " + shown
				}
				out = append(out, strings.ReplaceAll(shown, "_", " "))
			}
		}
		first = first && !isChoice
	}
	return out
}

// differ tells whether a given was set for another vessel.
func (s *State) differ(g *protocol.Given, v *Vessel) bool {
	return slices.ContainsFunc(s.Vessels, func(w *Vessel) bool { return w != v && w.Set[g.ID] != v.Set[g.ID] })
}
