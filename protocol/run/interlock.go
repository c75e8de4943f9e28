package run

import (
	"fmt"
	"slices"
	"time"

	"example.org/meniscus/protocol"
)

// barred refuses to enter the next stage while its interlock does not hold.
func (d *decision) barred() error {
	next := d.v.Stage + 1
	if next >= len(d.s.Protocol.Stages) {
		return nil
	}
	st := d.s.Protocol.Stages[next]
	if err := d.locked(st); err != nil {
		return err
	}
	return d.tooSoon(st)
}

// locked refuses a stage whose interlock does not hold. Such a stage also waits for what it uses, but for what goes
// with the hands: while another vessel has it, and until what the interlock looks at was seen after that vessel let go
// of it, nothing is known to be safe.
func (d *decision) locked(st *protocol.Stage) error {
	if st.Interlock == nil {
		return nil
	}
	values := d.values()
	say := st.Interlock.Say.Fill(values, 0)
	for _, id := range st.Uses {
		r := d.s.Protocol.Resource(id)
		if r.WithHands {
			continue // free again as soon as the hands come here
		}
		if others := d.s.holders(r, d.v); len(others) >= d.s.places(r) && !d.s.holds(d.v, r) {
			return &Refusal{fmt.Sprintf("%s is barred: %s is with %s. %s", st.Title, r.Title, joined(others), say)}
		}
		if old := d.seenBefore(st, d.s.freed(id, d.v)); old != nil {
			return &Refusal{fmt.Sprintf("%s is barred: %s was noted before another vessel let go of %s. Take it back (u %s, then why) and look again.",
				st.Title, old.Title, r.Title, old.ID)}
		}
	}
	if holds, _ := truth(st.Interlock.Holds, values); !holds {
		return &Refusal{fmt.Sprintf("%s is barred: %s%s", st.Title, say, d.wayOut(st))}
	}
	return nil
}

// tooSoon refuses a stage before the least time since a mark of any vessel has gone.
func (d *decision) tooSoon(st *protocol.Stage) error {
	in := st.Interlock
	if in == nil || in.Since == nil {
		return nil
	}
	var last *Taken
	var of string
	for _, v := range d.s.Vessels {
		for i := range v.Taken {
			t := &v.Taken[i]
			if t.Reading == in.Since && !t.NotTaken && (last == nil || t.Value > last.Value) {
				last, of = t, v.Label
			}
		}
	}
	if last == nil {
		return nil
	}
	values := d.values()
	say := in.Say.Fill(values, 0)
	wait, err := in.AtLeast.Value(values, 0)
	if err == nil {
		wait, err = wait.To(seconds)
	}
	if err != nil {
		return &Refusal{fmt.Sprintf("%s is barred: how long to wait is not known. %s", st.Title, say)}
	}
	due := time.Duration((last.Value + wait.Value) * float64(time.Second))
	if left := due - d.now.Elapsed; left > 0 {
		return &Refusal{fmt.Sprintf("%s is barred for %s more: %s of %s is too short a time ago. %s", st.Title, Hms(left), in.Since.Title, of, say)}
	}
	return nil
}

// wayOut tells how a tick that was left out or taken back is set once it is true.
func (d *decision) wayOut(st *protocol.Stage) string {
	for _, name := range st.Interlock.Holds.Names() {
		if t := d.v.newest(name); t != nil && t.NotTaken && t.Reading.Kind == protocol.Tick {
			return fmt.Sprintf(" Once it is so: c %s yes, then why.", name)
		}
	}
	return ""
}

// seenBefore returns a reading that a stage's interlock looks at and that was taken before the given time; nil when
// there is none.
func (d *decision) seenBefore(st *protocol.Stage, at time.Duration) *protocol.Reading {
	for _, name := range st.Interlock.Holds.Names() {
		for _, t := range d.v.Taken {
			if t.Reading.ID == name && !t.NotTaken && t.At.Elapsed < at {
				return t.Reading
			}
		}
	}
	return nil
}

// freed returns when a vessel other than v last let go of a resource; 0 when none had it.
func (s *State) freed(resource string, v *Vessel) time.Duration {
	var last time.Duration
	for _, w := range s.Vessels {
		for _, stay := range w.stays {
			if w != v && slices.Contains(s.Protocol.Stages[stay.stage].Uses, resource) {
				last = max(last, stay.to)
				if w.GivenUp != "" && stay.to == 0 {
					last = max(last, w.Through.Elapsed)
				}
			}
		}
	}
	return last
}
