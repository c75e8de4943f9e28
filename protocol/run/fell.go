package run

import (
	"fmt"
	"time"

	"example.org/meniscus/protocol"
)

// FellDue tells in sentences what fell due in any vessel after from and up to to, in elapsed time: reminders, and the
// limits of the clocks that run. It is for the one report after a time in which nobody could be told.
func (s *State) FellDue(from, to time.Duration) []string {
	var out []string
	for _, v := range s.Vessels {
		if st := s.stage(v); st != nil && v.Through == nil && !v.complete(st) {
			for _, text := range s.fellDue(v, st, from-v.Since, to-v.Since) {
				out = append(out, v.Label+": "+text)
			}
		}
	}
	return out
}

// fellDue is FellDue for one vessel, in the time of its phase.
func (s *State) fellDue(v *Vessel, st *protocol.Stage, from, to time.Duration) []string {
	var out []string
	window := st.Hands
	if v.Phase == protocol.WaitPhase {
		window = v.window(st)
		for i, r := range st.Reminders {
			before := max(fallen(r, from), v.reminders[i].upTo)
			if n := fallen(r, to) - before; n > 0 {
				out = append(out, r.Say.Fill(s.Values(v.Label), v.Portion)+", due "+counted(n, "time"))
			}
		}
	} else if v.Phase != protocol.HandsPhase {
		return nil
	}
	for _, limit := range []struct {
		at   time.Duration
		says string
	}{{window.AtLeast, "the least time"}, {window.Aim, "the aim"}, {window.AtMost, "the latest end"}} {
		if limit.at > 0 && from < limit.at && to >= limit.at {
			out = append(out, fmt.Sprintf("%s of %s passed %s ago", limit.says, st.Title, Hms(to-limit.at)))
		}
	}
	return out
}
