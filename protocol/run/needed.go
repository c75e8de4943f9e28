package run

import (
	"errors"
	"fmt"
	"slices"
	"time"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// needsBefore is how long before it is too late for a reading the bench says so: time to come to it and to read.
const needsBefore = 45 * time.Second

// needed tells of the reading that is asked for, and that has no value yet, that a result hangs on having it soon: with
// a value now the result can be worked out, with one a little later it cannot. "" where nothing is about to be lost.
func (l *look) needed(w *View) string {
	if w.Asked == nil || l.values.newestOf(w.Asked.Reading) != nil {
		return ""
	}
	r := w.Asked.Reading
	for _, res := range l.s.Protocol.Results {
		if res.OfRun || !slices.Contains(res.Formula.Names(), r.ID) {
			continue
		}
		if l.s.refusedWith(l.v, res, l.guess(r, l.now)) == "" && l.s.refusedWith(l.v, res, l.guess(r, l.now+needsBefore)) != "" {
			return fmt.Sprintf("Read it now: %s. Later there is no %s.", r.Title, l.s.headline(res).Title)
		}
	}
	return ""
}

// guess is a value as a reading might have it, taken at a moment: what matters is when.
func (l *look) guess(r *protocol.Reading, at time.Duration) *Taken {
	t := &Taken{Reading: r, Portion: l.v.Portion, At: Moment{Elapsed: at}}
	b := boundsOf(r, l.v.Portion, l.values)
	switch {
	case b.low != nil && b.high != nil:
		t.Value = (*b.low + *b.high) / 2
	case b.low != nil:
		t.Value = *b.low
	case b.high != nil:
		t.Value = *b.high
	}
	return t
}

// refusedWith says why a result has no value though every reading that it takes is there; "" where it has one, or waits
// for readings. extra is a reading that is not taken yet; nil: none.
func (s *State) refusedWith(v *Vessel, r *protocol.Result, extra *Taken) string {
	x := s.Values(v.Label)
	x.extra = extra
	return x.refused(r)
}

// refused says why a result has no value though all that it is worked out from has one; "" otherwise.
func (x *Values) refused(r *protocol.Result) string {
	_, err := x.Value(r.ID)
	var refused *quantity.RangeError
	if !errors.As(err, &refused) {
		return ""
	}
	for _, name := range r.Formula.Names() {
		if _, err := x.Value(name); err != nil {
			return "" // told of that one
		}
	}
	return refused.Msg
}

// lost tells of the first result that hangs on a reading of a stage and cannot be worked out with what the stage has so
// far; "" where there is none. After the stage that reading is had no more.
func (x *Values) lost(st *protocol.Stage) string {
	for _, res := range x.s.Protocol.Results {
		if res.OfRun || !x.takes(res, st) {
			continue
		}
		if why := x.refused(res); why != "" {
			return fmt.Sprintf("No %s yet: %s.", x.s.headline(res).Title, why)
		}
	}
	return ""
}

// CostOf returns the result that says most to a reader among those that cannot be worked out without a reading; nil
// where no result of a vessel hangs on it.
func (s *State) CostOf(r *protocol.Reading) *protocol.Result {
	for _, res := range s.Protocol.Results {
		if !res.OfRun && slices.Contains(res.Formula.Names(), r.ID) {
			return s.headline(res)
		}
	}
	return nil
}

// ends reports whether a wait has lasted long enough and the stage is over with it.
func (l *look) ends(w *View) bool {
	return l.v.Phase == protocol.WaitPhase && w.Clock.Elapsed >= w.Clock.Window.AtLeast && l.v.Position.afterWait(l.st).complete(l.st)
}

// losing asks about leaving a stage without a reading that a result hangs on; nil where none does.
func (d *decision) losing(st *protocol.Stage) error {
	if said := d.values().lost(st); said != "" && !d.confirmed {
		return &Question{said + " Leave " + st.Title + " all the same?", "go on without it"}
	}
	return nil
}

// takes reports whether the formula of a result names a reading of a stage.
func (x *Values) takes(res *protocol.Result, st *protocol.Stage) bool {
	return slices.ContainsFunc(res.Formula.Names(), func(name string) bool {
		r := x.s.Protocol.Reading(name)
		return r != nil && r.Stage == st
	})
}

// headline is the result that is worked out from res and says most to a reader: the first one that a result of the
// whole run takes and on which the protocol has something to say; or else the last one that is checked against a limit,
// or the last of all; res itself where none follows.
func (s *State) headline(res *protocol.Result) *protocol.Result {
	after := []*protocol.Result{res}
	for grown := true; grown; {
		grown = false
		for _, r := range s.Protocol.Results {
			if r.OfRun || slices.Contains(after, r) {
				continue
			}
			if slices.ContainsFunc(r.Formula.Names(), func(n string) bool { return slices.Contains(after, s.Protocol.Result(n)) }) {
				after, grown = append(after, r), true
			}
		}
	}
	var last, checked *protocol.Result
	for _, r := range s.Protocol.Results {
		if !slices.Contains(after, r) {
			continue
		}
		last = r
		if slices.ContainsFunc(s.Protocol.Checks, func(c *protocol.Check) bool { return c.Result == r }) {
			checked = r
		}
		for _, whole := range s.Protocol.Results {
			if whole.OfRun && !r.Say.IsEmpty() && slices.Contains(whole.Formula.Names(), r.ID) {
				return r
			}
		}
	}
	if checked != nil {
		return checked
	}
	return last
}
