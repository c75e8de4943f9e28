package run

import (
	"fmt"
	"time"

	"example.org/meniscus/protocol"
)

// forward does what comes next. The order is: a due reminder, unless the wait is past its latest end, then the reading
// that one key takes, then the step or the wait itself.
func (d *decision) forward() error {
	st := d.s.stage(d.v)
	if st == nil || d.v.complete(st) { // not begun
		return d.begin()
	}
	if i, due := d.v.due(st, d.now.Elapsed); due > 0 && !d.v.isPast(st, d.now.Elapsed) {
		d.answer(st, i)
		return nil
	}
	r := d.s.asked(d.v, st)
	if r == nil || r.Stage != st {
		if err := d.locked(st); err != nil {
			return err // what let it be entered was taken back
		}
	}
	if r != nil {
		switch r.Kind {
		case protocol.Mark, protocol.Tick:
			return d.takeNow(r, parsed{value: d.now.Elapsed.Seconds()}, "")
		case protocol.Stopwatch:
			return d.press(st, r)
		}
	}
	switch d.v.Phase {
	case protocol.WaitPhase:
		return d.endWait(st, "")
	case protocol.HandsPhase:
		if r != nil && r.Kind != protocol.Series {
			return d.passOver(st, r)
		}
		return d.stepDone(st)
	}
	if r == nil { // the stage was held back
		if err := d.losing(st); err != nil {
			return err
		}
		return d.goOn()
	}
	return d.passOver(st, r)
}

// ahead is how far before its planned time a vessel is begun without a question.
const ahead = 30 * time.Second

// begin enters the first stage, or the next one if something held it back.
func (d *decision) begin() error {
	if err := d.barred(); err != nil {
		return err
	}
	if d.v.Stage < 0 && !d.confirmed {
		if at, ok := d.s.planned(d.v, 0, 1); ok && at-d.now.Elapsed >= ahead {
			return &Question{fmt.Sprintf("By the timetable %s begins at %s, in %s. Begin it now all the same?", d.v.Label, d.s.Wall(at),
				Hms(at-d.now.Elapsed)), "begin it now"}
		}
	}
	if d.v.Stage+1 == len(d.s.Protocol.Stages) {
		d.leave(StageLeft{Stage: d.s.stage(d.v).ID, Took: Span(d.now.Elapsed - d.v.Entered)})
		return nil
	}
	d.add(StageEntered{d.s.Protocol.Stages[d.v.Stage+1].ID})
	return nil
}

// asked returns the reading that is asked for where the vessel stands: the first one that is not settled, or the series
// that has the fewest points; nil when there is none.
func (s *State) asked(v *Vessel, st *protocol.Stage) *protocol.Reading {
	if r := s.pending(v, st, v.Position, nil); r != nil {
		return r
	}
	var series *protocol.Reading
	for _, r := range v.readings(st) {
		if r.Kind == protocol.Series && (series == nil || v.settled[key(r, 0)] < v.settled[key(series, 0)]) {
			series = r
		}
	}
	return series
}

// press starts a stopwatch, or stops it and takes what it shows.
func (d *decision) press(st *protocol.Stage, r *protocol.Reading) error {
	from, running := d.v.stopwatch[key(r, d.v.Portion)]
	if !running {
		d.add(StopwatchStarted{st.ID, d.v.Portion, r.ID})
		return nil
	}
	return d.takeNow(r, parsed{value: (d.now.Elapsed - from).Seconds()}, Hms(d.now.Elapsed-from))
}

// takeNow takes what a key says.
func (d *decision) takeNow(r *protocol.Reading, p parsed, typed string) error {
	return d.takeAs(claim{parsed: p, r: r, portion: d.v.Portion, typed: typed, at: d.now.Elapsed}, false, "")
}

// passOver leaves an optional reading out; a needed one is asked for.
func (d *decision) passOver(st *protocol.Stage, r *protocol.Reading) error {
	if r.Needed {
		return &Refusal{fmt.Sprintf("%s is needed: type it, or x and the reason why it is not taken.", r.Title)}
	}
	d.add(ReadingNotTaken{Stage: st.ID, Portion: d.v.Portion, Reading: r.ID})
	d.also = append(d.also, key(r, d.v.Portion))
	return d.afterReading(st)
}

// afterReading goes on when the readings of a step, or those at the end of a stage, are done. What would be asked about
// or barred is left to the forward key.
func (d *decision) afterReading(st *protocol.Stage) error {
	if d.v.Phase == protocol.WaitPhase || d.s.pending(d.v, st, d.v.Position, d.also) != nil {
		return nil
	}
	next := d.pos.afterEnd(st)
	if d.v.Phase == protocol.HandsPhase {
		if d.hasSeries(st) {
			return nil
		}
		next = d.pos.afterStep(st)
	}
	if next.complete(st) && (d.barred() != nil || d.gateUnmet(st) || d.losing(st) != nil) {
		return nil
	}
	if d.v.Phase == protocol.HandsPhase {
		d.add(StepDone{st.ID, d.pos.Portion, d.pos.Step + 1})
	}
	d.pos = next
	return d.goOn()
}

// hasSeries tells whether a series is taken at the step at hand: it has no last point, so only the hands can end it.
func (d *decision) hasSeries(st *protocol.Stage) bool {
	for _, r := range d.v.readings(st) {
		if r.Kind == protocol.Series {
			return true
		}
	}
	return false
}

func (d *decision) stepDone(st *protocol.Stage) error {
	if err := d.seriesTaken(st); err != nil {
		return err
	}
	next := d.pos.afterStep(st)
	if next.complete(st) {
		if err := d.mayLeave(st); err != nil {
			return err
		}
	}
	d.add(StepDone{st.ID, d.pos.Portion, d.pos.Step + 1})
	d.pos = next
	return d.goOn()
}

// seriesTaken refuses to go on while a needed series is shorter than it must be.
func (d *decision) seriesTaken(st *protocol.Stage) error {
	for _, r := range d.v.readings(st) {
		if r.Kind != protocol.Series || !r.Needed || d.v.leftOut(r) {
			continue
		}
		if have := d.v.settled[key(r, 0)]; have < max(1, r.Points) {
			return &Refusal{fmt.Sprintf("%s needs at least %s, and has %d: type them as they come, or x and the reason why not.",
				r.Title, counted(max(1, r.Points), "point"), have)}
		}
	}
	return nil
}

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// leftOut tells whether the operator said that a series is not taken, or not taken further.
func (v *Vessel) leftOut(r *protocol.Reading) bool {
	for _, t := range v.Taken {
		if t.Reading == r && t.NotTaken && !t.TakenBack {
			return true
		}
	}
	return false
}

// endWaitFor ends the running wait for a reason, whether its time is up or not.
func (d *decision) endWaitFor(act EndWait) error {
	st, why := d.s.stage(d.v), clean(act.Why)
	switch {
	case st == nil || d.v.complete(st) || d.v.Phase != protocol.WaitPhase:
		return &Refusal{"No wait is running that could be ended."}
	case why == "":
		return &Unfinished{Refusal{"Ending the wait by y needs a reason: y, then why."}}
	}
	return d.endWait(st, why)
}

// endWait ends the running wait. Before its least time, or with its gate not met, it takes a reason: a key that is held
// down or struck again must not be an answer to that. Too late is only kept.
func (d *decision) endWait(st *protocol.Stage, why string) error {
	if r := d.s.pending(d.v, st, d.v.Position, nil); r != nil && r.Needed {
		return d.passOver(st, r)
	}
	if err := d.seriesTaken(st); err != nil {
		return err
	}
	next := d.pos.afterWait(st)
	if next.complete(st) {
		if err := d.barred(); err != nil {
			return err
		}
	}
	waited, w := d.now.Elapsed-d.v.Since, d.v.window(st)
	unmet := d.gateUnmet(st)
	switch {
	case why != "":
	case waited < w.AtLeast:
		return &Refusal{d.tooEarly(st, w.AtLeast, waited)}
	case unmet:
		return &Refusal{fmt.Sprintf("Not shown yet: %s. To go on all the same: y, then why.", gate(st, d.v.Portion, d.values()).Words())}
	case next.complete(st):
		if err := d.losing(st); err != nil {
			return err
		}
	}
	for r := d.s.pending(d.v, st, d.v.Position, d.also); r != nil; r = d.s.pending(d.v, st, d.v.Position, d.also) {
		d.add(ReadingNotTaken{Stage: st.ID, Portion: d.v.Portion, Reading: r.ID})
		d.also = append(d.also, key(r, d.v.Portion))
	}
	d.add(WaitEnded{st.ID, d.v.Portion, Span(waited), unmet, why})
	d.pos = next
	return d.goOn()
}

// tooEarly tells how a wait is ended before its time, and names the vessel that is due if it is another one.
func (d *decision) tooEarly(st *protocol.Stage, atLeast, waited time.Duration) string {
	if other, ok := d.s.dueElsewhere(d.v, d.now.Elapsed); ok {
		return fmt.Sprintf("%s is not due%s before %s: %s wants at least %s, %s to go. %s is due: %s. To end the wait of %s all the same: y, then why.",
			d.v.Label, forPortion(d.v, st), d.s.Wall(d.now.Elapsed+atLeast-waited), st.Title, Hms(atLeast), Hms(atLeast-waited),
			other.Vessel, other.Stage, d.v.Label)
	}
	return fmt.Sprintf("%s wants at least %s: %s to go. To end it now all the same: y, then why.", st.Title, Hms(atLeast), Hms(atLeast-waited))
}

// forPortion names the portion that the running wait leads to; "" where it leads to none.
func forPortion(v *Vessel, st *protocol.Stage) string {
	if next := v.Position.afterWait(st); !next.complete(st) && next.Portion != v.Portion {
		return fmt.Sprintf(" for portion %d", next.Portion)
	}
	return ""
}

// mayLeave asks about a condition for going on that is not met, and refuses where an interlock bars the next stage.
func (d *decision) mayLeave(st *protocol.Stage) error {
	if err := d.barred(); err != nil {
		return err
	}
	if d.gateUnmet(st) && !d.confirmed {
		return d.notShown(st)
	}
	return d.losing(st)
}

// notShown asks about a condition for going on that is not met.
func (d *decision) notShown(st *protocol.Stage) *Question {
	return &Question{fmt.Sprintf("Not shown yet: %s. Go on all the same?", gate(st, d.v.Portion, d.values()).Words()), "go on, recorded"}
}

func (d *decision) gateUnmet(st *protocol.Stage) bool {
	if st.Ready == nil {
		return false
	}
	holds, _ := truth(st.Ready.Holds, d.values())
	return !holds
}

// values sees the vessel's names with the reading that is being taken.
func (d *decision) values() *Values {
	x := d.s.Values(d.v.Label)
	for _, e := range d.events {
		if f, ok := e.What.(ReadingTaken); ok {
			x.extra = &Taken{Reading: d.s.Protocol.Reading(f.Reading), Portion: f.Portion, Value: f.Value, Text: f.Text,
				At: Moment{Elapsed: time.Duration(f.TypedAt)}}
		}
	}
	return x
}

// goOn leaves the stage when it is complete and enters the next one.
func (d *decision) goOn() error {
	st := d.s.Protocol.Stages[d.v.Stage]
	if !d.pos.complete(st) {
		return nil
	}
	if err := d.barred(); err != nil {
		return err
	}
	d.leave(StageLeft{Stage: st.ID, Took: Span(d.now.Elapsed - d.v.Entered)})
	return nil
}

func (d *decision) leave(f StageLeft) {
	d.add(f)
	if next := d.v.Stage + 1; next < len(d.s.Protocol.Stages) {
		d.add(StageEntered{d.s.Protocol.Stages[next].ID})
		return
	}
	if d.s.through(d.v) {
		d.addFor("", Ended{})
	}
}
