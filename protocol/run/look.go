package run

import (
	"fmt"
	"strings"
	"time"

	"example.org/meniscus/protocol"
)

// Look returns what there is to show of a vessel at a moment, given as elapsed time. The label must be one of the
// run's; otherwise the view is empty.
func (s *State) Look(label string, now time.Duration) View {
	v := s.Vessel(label)
	if v == nil {
		return View{Vessel: label}
	}
	now = max(now, s.Last.Elapsed)
	l := &look{s: s, v: v, st: s.stage(v), now: now, values: s.Values(label)}
	w := View{Vessel: label, Own: v.own, Begun: v.Stage >= 0, Through: v.Through != nil, GivenUp: v.GivenUp != "", Stages: len(s.Protocol.Stages), Number: v.Stage + 1}
	l.scale(&w)
	switch {
	case w.Through:
		w.Number = min(w.Number, w.Stages)
		w.Do, w.Enter = through(v), ""
	case l.st != nil && v.complete(l.st) && w.Number == w.Stages: // only a journal that somebody else wrote stops here
		w.Do, w.Enter = "Everything of the last stage is done.", "leave it"
	case l.st == nil || v.complete(l.st):
		next := s.Protocol.Stages[v.Stage+1]
		w.Do = "Begin with " + next.Title + "."
		w.Next, w.Enter = next.Title, "begin"
		w.Hazards, w.Cautions = l.cautions(next)
		l.toBegin(&w)
	default:
		l.stage(&w)
	}
	return w
}

// toBegin counts down to a begin that the timetable has put later.
func (l *look) toBegin(w *View) {
	at, ok := l.s.plannedNext(l.v)
	made := l.s.plannedAt()
	if !ok {
		return
	}
	in := at - l.now
	w.Planned, w.Tone = &in, Hands
	if at-made >= ahead {
		w.Clock = &ClockView{ToBegin: true, Elapsed: l.now - made, Window: protocol.Window{Aim: at - made}, Left: in}
	}
	if in >= ahead {
		w.Tone = Waiting
		w.Do = "Begin with " + w.Next + " at " + l.s.Wall(at) + "."
	}
}

func through(v *Vessel) string {
	if v.GivenUp != "" {
		return "Given up: " + v.GivenUp
	}
	return "Everything of this vessel is done."
}

// look works out one view.
type look struct {
	s      *State
	v      *Vessel
	st     *protocol.Stage
	now    time.Duration
	values *Values
}

func (l *look) stage(w *View) {
	v, st := l.v, l.st
	w.Stage, w.Portion, w.Portions = st, v.Portion, st.Portions
	w.Attended, w.Pause = st.Attended, st.Pause.Fill(l.values, v.Portion)
	w.Hazards, w.Cautions = l.cautions(st)
	w.Asked = l.asked()
	w.Gate = gate(st, v.Portion, l.values)
	w.Live = l.live()
	w.Busy = l.s.busy(l.v)
	switch v.Phase {
	case protocol.HandsPhase:
		l.hands(w)
	case protocol.WaitPhase:
		l.wait(w)
	default:
		w.Do = "Read what is left of this stage."
	}
	if w.Asked != nil && v.Phase == protocol.EndPhase {
		w.Do = "Read " + w.Asked.Title + "."
	}
	w.Next = l.next()
	if w.Reached() {
		w.Do = l.reached(w)
	}
	w.Enter = l.enter(w)
	w.Needed = l.needed(w)
	w.Tone = l.tone(w)
	if w.Needed == "" && l.ends(w) {
		w.Needed = l.values.lost(st)
	}
	if w.Wants = l.wants(w); w.Wants != "" {
		w.again = l.rereadIn(w)
	}
}

func (l *look) hands(w *View) {
	steps := stepsOf(l.st, l.v.Portion)
	w.Step, w.Steps = l.v.Step+1, len(steps)
	w.Do = l.stepText(l.v.Portion, l.v.Step)
	if h := l.st.Hands; h != (protocol.Window{}) {
		w.Clock = l.clock(h, true)
	}
}

// stepText returns the words of a step; a stage without steps speaks for itself.
func (l *look) stepText(portion, step int) string {
	if i := stepsOf(l.st, portion)[step]; i < len(l.st.Steps) {
		return l.st.Steps[i].Say.Fill(l.values, portion)
	}
	if say := l.st.Say.Fill(l.values, portion); say != "" {
		return say
	}
	return l.st.Title
}

func (l *look) wait(w *View) {
	w.Do = l.st.Say.Fill(l.values, l.v.Portion)
	if !l.st.HasHands() {
		said := make([]string, 0, len(l.st.Steps)+1)
		if w.Do != "" {
			said = append(said, w.Do)
		}
		for _, i := range l.st.StepsOf(l.v.Portion) {
			said = append(said, l.st.Steps[i].Say.Fill(l.values, l.v.Portion))
		}
		w.Do = strings.Join(said, " ")
	}
	if w.Do == "" {
		w.Do = "Wait."
	}
	w.Clock = l.clock(l.v.window(l.st), false)
	if at, ok := l.s.plannedNext(l.v); ok {
		in := at - l.now
		most := w.Clock.Window.AtMost
		w.Planned, w.Clock.Held = &in, in > 0 && (most == 0 || most-w.Clock.Elapsed > l.s.closing(l.v))
	}
	waited := l.now - l.v.Since
	for i, r := range l.st.Reminders {
		say := r.Say.Fill(l.values, l.v.Portion)
		a, fell := l.v.reminders[i], fallen(r, waited)
		if fell > a.upTo {
			w.Due = append(w.Due, DueReminder{i, say, waited - r.From - time.Duration(fell)*r.Every, fell - a.upTo - 1})
		}
		if in := r.From + time.Duration(max(fell, a.upTo)+1)*r.Every - waited; (r.Until == 0 || waited+in <= r.Until) && r.Every > 0 &&
			(w.NextReminder == nil || in < w.NextReminder.In) {
			w.NextReminder = &NextReminder{say, in}
		}
	}
}

func (l *look) clock(w protocol.Window, hands bool) *ClockView {
	elapsed := l.now - l.v.Since
	return &ClockView{OfHands: hands, Elapsed: elapsed, Window: w, Left: w.Aim - elapsed}
}

func (l *look) asked() *Asked {
	r := l.s.asked(l.v, l.st)
	if r == nil {
		return nil
	}
	k := key(r, l.v.Portion)
	a := &Asked{Reading: r, Title: r.Title, Say: r.Say.Fill(l.values, l.v.Portion), Unit: unitOf(r).Shown(),
		Expected: l.expected(r)}
	if r.Kind == protocol.Series {
		a.Nth, a.Aim = l.v.settled[k]+1, aimWords(r, l.v.Portion, l.values)
	}
	if r.Instrument != nil {
		a.Instrument = r.Instrument.Title
	}
	if from, ok := l.v.stopwatch[k]; ok {
		d := l.now - from
		a.Running = &d
	}
	return a
}

// next tells what comes after what is done now.
func (l *look) next() string {
	st, p := l.st, l.v.Position
	switch p.Phase {
	case protocol.HandsPhase:
		if p.Step+1 < len(stepsOf(st, p.Portion)) {
			return l.stepText(p.Portion, p.Step+1)
		}
		p = p.afterHands(st)
	case protocol.WaitPhase:
		p = p.afterWait(st)
	default:
		p = p.afterEnd(st)
	}
	switch {
	case p.complete(st):
		if p.Stage+1 < len(l.s.Protocol.Stages) {
			return l.s.Protocol.Stages[p.Stage+1].Title
		}
		return "the end of this vessel"
	case p.Phase == protocol.WaitPhase:
		return "wait " + Hms(st.Clock.Aim)
	case p.Phase == protocol.EndPhase:
		return "the readings at the end"
	}
	return fmt.Sprintf("portion %d of %d", p.Portion, st.Portions)
}

// enter tells what the forward key does, in the order in which forward does it.
func (l *look) enter(w *View) string {
	if len(w.Due) > 0 && !l.v.isPast(l.st, l.now) {
		return "done: " + w.Due[0].Say
	}
	if w.Asked != nil {
		switch r := w.Asked.Reading; {
		case r.Kind == protocol.Mark:
			return "mark it now"
		case r.Kind == protocol.Tick:
			return "tick it"
		case r.Kind == protocol.Stopwatch && w.Asked.Running == nil:
			return "start the stopwatch"
		case r.Kind == protocol.Stopwatch:
			return "stop the stopwatch"
		case l.v.Phase != protocol.WaitPhase && r.Kind != protocol.Series && !r.Needed:
			return "pass over this reading"
		case l.v.Phase != protocol.WaitPhase && r.Kind != protocol.Series, r.Kind != protocol.Series && r.Needed:
			return "type the reading first"
		}
	}
	switch {
	case l.v.Phase != protocol.WaitPhase:
		return "step done"
	case w.Clock.Elapsed < w.Clock.Window.AtLeast, w.Gate != nil && !w.Gate.Met:
		return NotYet
	}
	return "end the wait"
}

// tone tells how urgent the vessel is.
func (l *look) tone(w *View) Tone {
	if w.Clock != nil {
		if most := w.Clock.Window.AtMost; most > 0 && w.Clock.Elapsed > most {
			return Late
		}
	}
	if l.v.Phase != protocol.WaitPhase || l.st.Attended || len(w.Due) > 0 || w.Needed != "" {
		return Hands
	}
	if w.IsUp() {
		if w.Gate == nil || w.Gate.Met || l.rereadIn(w) <= 0 {
			return Hands
		}
		return Waiting
	}
	if w.Clock.Left <= 0 && !w.Clock.Held {
		return Hands
	}
	if w.Asked != nil && w.Asked.Reading.Kind != protocol.Series && w.Asked.Reading.Needed && w.Asked.Reading.Kind == protocol.Mark {
		return Hands
	}
	return Waiting
}

// cautions returns those of the stage alone; what holds for the whole run was acknowledged in the briefing.
func (l *look) cautions(st *protocol.Stage) (hazards []protocol.Hazard, said []string) {
	contents := l.s.Protocol.ContentsOf(st)
	said = protocol.ToDo(contents, l.values)
	for _, c := range l.s.Protocol.CautionsFor(st) {
		if say := c.Say.Fill(l.values, 0); len(c.Applies) > 0 && say != "" {
			said = append(said, say)
		}
	}
	return protocol.HazardsOf(contents), said
}
