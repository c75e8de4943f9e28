package run

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"example.org/meniscus/protocol"
)

// A Turn is what one vessel next needs of the hands, and when.
type Turn struct {
	Vessel string
	Tone   Tone
	Stage  string // its title
	Do     string
	In     time.Duration // until it is due; 0 or less: now
	// Closes is the time until its window closes; negative once it has closed. Open is true where nothing closes.
	Closes time.Duration
	Open   bool
	// Planned tells that a vessel that has not begun has its time in the timetable.
	Planned bool
	// Later tells that the hands could begin with it now, and that the timetable has them elsewhere first.
	Later bool
	// Calls tells that a window closes so soon that the hands must come, wherever the timetable has them.
	Calls bool
	begun bool          // the vessel has entered its first stage
	stays bool          // the hands may not leave it
	at    time.Duration // elapsed time at which it fell due, or by the timetable falls due
}

// Due tells whether the hands are needed now.
func (t Turn) Due() bool { return t.In <= 0 }

// Queue returns what the hands do now, next and after that, over all vessels that are not through. What the operator
// must stay with comes first; then what is due, the window that closes first before the others; then vessels that wait
// to begin; then what falls due later, the soonest first. Where there is a timetable, what is due goes in its order
// behind what is about to close or to be missed, and a vessel that is to begin has its turn like any other. Vessels
// alike keep their order.
func (s *State) Queue(now time.Duration) []Turn {
	var turns []Turn
	for _, v := range s.Vessels {
		if v.Through == nil {
			turns = append(turns, s.turn(v, now))
		}
	}
	byPlan := s.Timetable() != nil
	slices.SortStableFunc(turns, func(a, b Turn) int {
		if c := cmp.Compare(a.rank(), b.rank()); c != 0 {
			return c
		}
		if !a.Due() {
			return cmp.Compare(a.In, b.In)
		}
		if byPlan && !a.Calls && a.at != b.at {
			return cmp.Compare(a.at, b.at)
		}
		if a.Open != b.Open {
			return cmp.Compare(boolInt(a.Open), boolInt(b.Open))
		}
		return cmp.Compare(a.Closes, b.Closes)
	})
	return turns
}

func (t Turn) rank() int {
	switch {
	case t.stays:
		return 0
	case t.Calls:
		return 1
	case t.Due() && (t.begun || t.Planned):
		return 2
	case t.Due():
		return 3
	}
	return 4
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// remindsBefore is how long before a reminder is missed it comes before what the timetable has.
const remindsBefore = 30 * time.Second

// turn works out when a vessel needs the hands: at once for a step, a mark or a due reminder, otherwise at the aim of
// its clock, or when the timetable has it if that is later, or with the next reminder if that is sooner.
func (s *State) turn(v *Vessel, now time.Duration) Turn {
	w := s.Look(v.Label, now)
	t := Turn{Vessel: v.Label, Tone: w.Tone, Do: w.Do, Open: true, begun: w.Begun && w.Stage != nil}
	if !t.begun {
		t.Stage = w.Next
		t.at, t.Planned = s.plannedNext(v)
		if t.In = t.at - now; !t.Planned || t.In < ahead {
			t.In = 0
		} else {
			t.Do = "begin at " + s.Wall(t.at)
		}
		return t
	}
	t.at = v.Since
	if at, ok := s.plannedNow(v); ok {
		t.at = at
		last := v.spell()
		t.Later = v.Phase == protocol.HandsPhase && at-now >= ahead && (last == nil || !last.Touched)
	}
	st := w.Stage
	t.Stage, t.stays = st.Title, st.Attended
	if c := w.Clock; c != nil && c.Window.AtMost > 0 {
		t.Closes, t.Open = c.Window.AtMost-c.Elapsed, false
	}
	byPlan := s.Timetable() != nil
	calls := byPlan && !t.Open && t.Closes <= s.closing(v)
	if w.Wants != "" {
		t.Do = w.Gate.Lacks
	}
	if v.Phase != protocol.WaitPhase || w.Tone == Late || w.Tone != Waiting && len(w.Due) == 0 {
		t.Calls = calls
		return t // what is past its window is late for that, whatever reminder is due too
	}
	if len(w.Due) > 0 {
		d := w.Due[0]
		t.Do, t.at, t.Calls = d.Say, now-d.For, calls
		if next := st.Reminders[d.Index].Every - d.For; t.Open || next < t.Closes {
			t.Closes, t.Open = next, false
			t.Calls = t.Calls || byPlan && next <= remindsBefore
		}
		return t
	}
	if w.Wants != "" {
		t.In = max(w.again, 1)
		return t
	}
	t.In = w.Clock.Left
	if t.Do = w.Next; w.Clock.Window.Aim == 0 {
		t.In = w.Clock.Window.AtLeast - w.Clock.Elapsed
	}
	if w.Clock.Held {
		t.In = max(t.In, *w.Planned)
	}
	t.In = max(t.In, 1)
	if r := w.NextReminder; r != nil && r.In < t.In {
		t.In, t.Do = max(r.In, 1), r.Say
	}
	return t
}

// dueElsewhere returns the turn of another vessel that is due, to name it where the hands are at the wrong one.
func (s *State) dueElsewhere(v *Vessel, now time.Duration) (Turn, bool) {
	for _, t := range s.Queue(now) {
		if t.Vessel != v.Label && t.Due() && t.begun {
			return t, true
		}
	}
	return Turn{}, false
}

// busy lists the resources that a vessel uses in its stage, or will use in the next one, and that others fill:
// "Balance: with B". One that this vessel has taken beyond its places says so. Nothing is barred by it.
func (s *State) busy(v *Vessel) []string {
	var out []string
	for i := max(v.Stage, 0); i <= v.Stage+1 && i < len(s.Protocol.Stages); i++ {
		for _, id := range s.Protocol.Stages[i].Uses {
			r := s.Protocol.Resource(id)
			others := s.holders(r, v)
			text := r.Title + ": with " + joined(others)
			if s.holds(v, r) {
				text = fmt.Sprintf("%s: with %s too, and it is there for %d", r.Title, joined(others), s.places(r))
			}
			if len(others) >= s.places(r) && !slices.Contains(out, text) {
				out = append(out, text)
			}
		}
	}
	return out
}

// holders returns the other vessels that hold a resource now.
func (s *State) holders(r protocol.Resource, but *Vessel) []string {
	var out []string
	for _, v := range s.Vessels {
		if v != but && s.holds(v, r) {
			out = append(out, v.Label)
		}
	}
	return out
}

// holds tells whether a vessel holds a resource: in a stage that uses it, and with the hands at it where it is of that
// sort.
func (s *State) holds(v *Vessel, r protocol.Resource) bool {
	st := s.stage(v)
	if st == nil || v.Through != nil || v.complete(st) || !slices.Contains(st.Uses, r.ID) {
		return false
	}
	return !r.WithHands || v.Phase == protocol.HandsPhase && (v.Step > 0 || v.Portion > 1 || s.anyTaken(v, st))
}

// anyTaken tells whether a reading of the stage was taken: the hands have begun with it.
func (s *State) anyTaken(v *Vessel, st *protocol.Stage) bool {
	for _, t := range v.Taken {
		if t.Reading.Stage == st {
			return true
		}
	}
	return false
}

func joined(labels []string) string {
	switch n := len(labels); n {
	case 0:
		return ""
	case 1:
		return labels[0]
	default:
		out := labels[0]
		for _, l := range labels[1 : n-1] {
			out += ", " + l
		}
		return out + " and " + labels[n-1]
	}
}
