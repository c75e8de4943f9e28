package run

import (
	"fmt"
	"slices"
	"time"

	"example.org/meniscus/protocol"
)

var (
	errNoVessel = fmt.Errorf("it names no vessel")
	errNoStage  = fmt.Errorf("the vessel is in no stage")
)

// stage returns the stage that the vessel is in, or nil.
func (s *State) stage(v *Vessel) *protocol.Stage {
	if v == nil || v.Stage < 0 || v.Stage >= len(s.Protocol.Stages) {
		return nil
	}
	return s.Protocol.Stages[v.Stage]
}

// at returns the vessel's stage if it is the one named.
func (s *State) at(v *Vessel, id string) (*protocol.Stage, error) {
	switch st := s.stage(v); {
	case v == nil:
		return nil, errNoVessel
	case st == nil:
		return nil, errNoStage
	case st.ID != id:
		return nil, fmt.Errorf("vessel %s is in stage %s, not in %s", v.Label, st.ID, id)
	default:
		return st, nil
	}
}

// move puts the vessel at p; a new phase or portion starts a new clock.
func (v *Vessel) move(p Position, now time.Duration) {
	if p.Stage != v.Stage || p.Portion != v.Portion || p.Phase != v.Phase {
		v.Since, v.Extended = now, 0
		v.reminders = nil
	}
	v.Position = p
}

func (s *State) deviate(d Deviation) { s.Deviations = append(s.Deviations, d) }

func (f Acknowledged) apply(s *State, _ *Vessel, _ Event) error {
	s.Acknowledged = true
	for i := range s.Deviations {
		if d := &s.Deviations[i]; d.Kind == doesNotFit && d.Why == "" {
			d.Why = f.Why
		}
	}
	return nil
}

func (f StageEntered) apply(s *State, v *Vessel, e Event) error {
	if v == nil {
		return errNoVessel
	}
	next := v.Stage + 1
	if st := s.stage(v); st != nil && v.Portion <= st.Portions {
		return fmt.Errorf("stage %s is not left yet", st.ID)
	}
	if next >= len(s.Protocol.Stages) || s.Protocol.Stages[next].ID != f.Stage {
		return fmt.Errorf("stage %s does not come next", f.Stage)
	}
	if next == 0 {
		v.Began = e.Elapsed
	}
	v.move(enter(s.Protocol.Stages[next], next, 1), e.Elapsed)
	v.Entered, v.Since = e.Elapsed, e.Elapsed
	v.stays = append(v.stays, stay{stage: next, from: e.Elapsed})
	return nil
}

func (f StepDone) apply(s *State, v *Vessel, e Event) error {
	st, err := s.at(v, f.Stage)
	if err != nil {
		return err
	}
	if v.Phase != protocol.HandsPhase || v.Portion != f.Portion || v.Step+1 != f.Step {
		return fmt.Errorf("step %d of portion %d is not at hand", f.Step, f.Portion)
	}
	p := v.Position.afterStep(st)
	if p.Phase != protocol.HandsPhase || p.Portion != v.Portion {
		s.judge(v, st, "hands", st.Hands, "", e)
	}
	v.move(p, e.Elapsed)
	return nil
}

func (f WaitEnded) apply(s *State, v *Vessel, e Event) error {
	st, err := s.at(v, f.Stage)
	if err != nil {
		return err
	}
	if v.Phase != protocol.WaitPhase || v.Portion != f.Portion {
		return fmt.Errorf("no wait runs")
	}
	s.judge(v, st, "wait", v.window(st), f.Why, e)
	if f.Gate {
		s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Stage: st.ID, Portion: portionOf(st, v), Kind: "gate",
			What: st.Title, Planned: st.Ready.Say.Fill(v.Sheet, v.Portion), Done: "left with this not shown", Why: f.Why})
	}
	s.countReminders(v, st, e)
	v.move(v.Position.afterWait(st), e.Elapsed)
	return nil
}

// countReminders tells which reminders of the wait that ends were not answered.
func (s *State) countReminders(v *Vessel, st *protocol.Stage, e Event) {
	for i, r := range st.Reminders {
		fell, got := fallen(r, e.Elapsed-v.Since), v.reminders[i].count
		if got < fell {
			s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Stage: st.ID, Portion: portionOf(st, v), Kind: "reminder missed",
				What: r.Say.Fill(v.Sheet, v.Portion), Planned: fmt.Sprintf("%d times", fell), Done: fmt.Sprintf("%d times", got)})
		}
	}
}

func (f StageLeft) apply(s *State, v *Vessel, e Event) error {
	st, err := s.at(v, f.Stage)
	if err != nil {
		return err
	}
	if f.Skipped != "" {
		s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Stage: st.ID, Kind: "skipped", What: st.Title,
			Planned: "to be done", Done: "what was left of it was skipped", Why: f.Skipped})
	} else if !v.complete(st) {
		return fmt.Errorf("stage %s is not through", st.ID)
	}
	v.Portion = st.Portions + 1
	v.stays = slices.Clone(v.stays)
	v.stays[len(v.stays)-1].to = e.Elapsed
	if v.Stage == len(s.Protocol.Stages)-1 {
		v.Stage++
		v.Through = &Moment{e.At, e.Elapsed}
	}
	return nil
}

func (f ClockExtended) apply(s *State, v *Vessel, e Event) error {
	st, err := s.at(v, f.Stage)
	if err != nil {
		return err
	}
	v.Extended += time.Duration(f.By)
	s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Stage: st.ID, Portion: portionOf(st, v), Kind: "extended", What: st.Title,
		Planned: "aim " + Hms(st.Clock.Aim), Done: "aim " + Hms(v.window(st).Aim), Why: f.Why})
	return nil
}

func (f ReminderAnswered) apply(s *State, v *Vessel, _ Event) error {
	if _, err := s.at(v, f.Stage); err != nil {
		return err
	}
	a := v.reminders[f.Reminder]
	v.reminders = with(v.reminders, f.Reminder, answered{f.N, a.count + 1})
	return nil
}

func (f Noted) apply(s *State, _ *Vessel, e Event) error {
	s.Notes = append(s.Notes, Noting{e.Moment, e.Vessel, f.Text})
	return nil
}

func (f GuardSpoke) apply(s *State, _ *Vessel, e Event) error {
	s.Guards = append(s.Guards, Spoken{At: e.Moment, Vessel: e.Vessel, Guard: f.Guard, Say: f.Say})
	return nil
}

func (f CalledAway) apply(s *State, _ *Vessel, e Event) error {
	s.Away = &Moment{e.At, e.Elapsed}
	return nil
}

func (f CameBack) apply(s *State, _ *Vessel, e Event) error {
	s.Away, s.Returned = nil, e.Elapsed
	return nil
}

func (f VesselEnded) apply(s *State, v *Vessel, e Event) error {
	if v == nil {
		return errNoVessel
	}
	title := "before the first stage"
	if st := s.stage(v); st != nil {
		title = st.Title
	}
	s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Kind: "given up", What: title, Planned: "to the end", Done: "ended here", Why: f.Why})
	v.GivenUp, v.Through = f.Why, &Moment{e.At, e.Elapsed}
	return nil
}

func (f Resumed) apply(s *State, _ *Vessel, e Event) error {
	s.Restarts = append(s.Restarts, Restart{At: e.Moment, Gap: time.Duration(f.Gap), Back: time.Duration(f.Back), Torn: f.Torn,
		Rebooted: f.Rebooted, ClockSet: time.Duration(f.ClockSet)})
	s.anchor, s.Returned = f.Anchor, e.Elapsed
	if f.Zone != "" {
		s.Here = f.Zone
	}
	return nil
}

func (f Ended) apply(s *State, _ *Vessel, e Event) error {
	s.Ended = &Ending{e.Moment, f.Abandoned, f.Why, e.N}
	return nil
}

// judge holds the phase that ends against its window, and keeps what differs.
func (s *State) judge(v *Vessel, st *protocol.Stage, what string, w protocol.Window, why string, e Event) {
	took := e.Elapsed - v.Since
	kind := ""
	switch {
	case took < w.AtLeast:
		kind = "early"
	case w.AtMost > 0 && took > w.AtMost:
		kind = "late"
	default:
		return
	}
	s.deviate(Deviation{At: e.Moment, Vessel: v.Label, Stage: st.ID, Portion: portionOf(st, v), Kind: kind,
		What: st.Title + ", " + what, Planned: Range(w), Done: Hms(took), Why: why})
}

// window returns the clock of the running wait, with what it was extended by.
func (v *Vessel) window(st *protocol.Stage) protocol.Window {
	if st.Clock == nil {
		return protocol.Window{}
	}
	w := *st.Clock
	w.Aim += v.Extended
	if w.AtMost > 0 {
		w.AtMost += v.Extended
	}
	return w
}

// portionOf returns the vessel's portion, or 0 in a stage without portions.
func portionOf(st *protocol.Stage, v *Vessel) int {
	if st.Portions == 1 {
		return 0
	}
	return v.Portion
}
