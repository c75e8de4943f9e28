package run

import (
	"fmt"
	"time"

	"example.org/meniscus/protocol"
)

// Decide tells which events follow from a command at a moment. It changes nothing. The error is a *Question, which the
// same command with Confirmed set answers, or a *Refusal that says what to do instead.
func Decide(s *State, c Command, now Moment) ([]Event, error) {
	if now.Elapsed < s.Last.Elapsed {
		now.Elapsed = s.Last.Elapsed
	}
	d := &decision{s: s, now: now, confirmed: c.Confirmed, n: s.Last.N}
	if err := d.allowed(c); err != nil {
		return nil, err
	}
	if c.Vessel != "" {
		if d.v = s.Vessel(c.Vessel); d.v == nil {
			return nil, &Refusal{fmt.Sprintf("There is no vessel %s in this run.", clean(c.Vessel))}
		}
		d.pos = d.v.Position
	}
	if _, back := c.Do.(ComeBack); s.Away != nil && !back && s.Ended == nil {
		d.addFor("", CameBack{}) // an act shows that the hands are back
		if _, bare := c.Do.(Forward); bare {
			return d.events, nil // a bare Enter says no more than that: nothing is confirmed by it unseen
		}
	}
	if err := d.carryOut(c.Do); err != nil {
		return nil, err
	}
	return d.events, nil
}

// decision gathers the events of one command, and where they bring the vessel.
type decision struct {
	s         *State
	v         *Vessel
	pos       Position
	also      []slot // the readings that these events settle
	now       Moment
	confirmed bool
	late      bool   // the reading that is taken is entered later than it was read
	why       string // and the reason, as far as it was told
	n         int
	events    []Event
}

func (d *decision) addFor(vessel string, f Fact) {
	d.n++
	d.events = append(d.events, Event{N: d.n, Moment: d.now, Vessel: vessel, What: f})
}

func (d *decision) add(f Fact) { d.addFor(d.v.Label, f) }

// allowed refuses what has no place before the briefing or after the end.
func (d *decision) allowed(c Command) error {
	switch act := c.Do.(type) {
	case Note, Correct, TakeBack:
		return nil
	case Undo:
		if d.s.Ended != nil {
			return nil
		}
	case Take:
		if act.Late && d.s.Ended != nil {
			return nil
		}
	case Acknowledge:
		if d.s.Acknowledged {
			return &Refusal{"The cautions are acknowledged already."}
		}
		if unfit := d.s.Unfit(); unfit != "" && clean(act.Why) == "" {
			return &Refusal{unfit + " To begin all the same: y and a word why."}
		}
		return nil
	}
	switch {
	case d.s.Ended != nil:
		return &Refusal{"This run has ended: notes and corrections can still be added. A reading that was missed: @13:39 NAME 10.02 WHY."}
	case !d.s.Acknowledged:
		if _, end := c.Do.(End); !end {
			return &Refusal{"The cautions come first: read them, then acknowledge them with Enter."}
		}
	}
	return nil
}

func (d *decision) carryOut(act Act) error {
	switch act := act.(type) {
	case Acknowledge:
		d.addFor("", Acknowledged{clean(act.Why)})
		return nil
	case GoAway:
		if d.s.Away != nil {
			return &Refusal{"You are recorded as away already."}
		}
		d.addFor("", CalledAway{})
		return nil
	case ComeBack:
		if d.s.Away == nil {
			return &Refusal{"You are recorded as being at the bench."}
		}
		d.addFor("", CameBack{})
		return nil
	case Note:
		return d.note(act)
	case AddVessel:
		return d.addVessel(act)
	case End:
		return d.end(act)
	}
	if d.v == nil {
		return &Refusal{"Say which vessel: type its letter."}
	}
	switch act := act.(type) {
	case Correct:
		return d.correct(act)
	case TakeBack:
		return d.takeBack(act)
	case Undo:
		return d.undo()
	case Again:
		return d.again(act)
	case EndVessel:
		return d.endVessel(act)
	case Take:
		if act.Late {
			return d.takeLate(act)
		}
	}
	if d.v.Through != nil {
		return &Refusal{fmt.Sprintf("Vessel %s is %s.", d.v.Label, d.v.throughWord())}
	}
	switch act := act.(type) {
	case Forward:
		return d.forward()
	case Take:
		return d.take(act)
	case LeaveOut:
		return d.leaveOut(act)
	case Skip:
		return d.skip(act)
	case Extend:
		return d.extend(act)
	case EndWait:
		return d.endWaitFor(act)
	}
	return &Refusal{"This cannot be done here."}
}

// throughWord tells how a vessel is through.
func (v *Vessel) throughWord() string {
	if v.GivenUp != "" {
		return "given up"
	}
	return "through"
}

func (d *decision) note(act Note) error {
	text := clean(act.Text)
	if text == "" {
		return &Refusal{"A note needs a word or more: n, then the text."}
	}
	vessel := ""
	if d.v != nil {
		vessel = d.v.Label
	}
	d.addFor(vessel, Noted{text})
	return nil
}

// maxVessels is as many as one alphabet tells apart.
const maxVessels = 26

func (d *decision) addVessel(act AddVessel) error {
	if len(d.s.Vessels) >= maxVessels {
		return &Refusal{fmt.Sprintf("A run has %d vessels at most.", maxVessels)}
	}
	sheet, err := d.s.Protocol.Scale(act.Givens)
	if err != nil {
		return &Refusal{err.Error() + "."}
	}
	if unfit := sheet.Warnings(); len(unfit) > 0 && d.s.whyUnfit(sheet) == "" {
		return &Refusal{unfit[0] + " Add it with givens that fit."}
	}
	label := 'A'
	for d.s.Vessel(string(label)) != nil {
		label++
	}
	d.addFor("", VesselAdded{string(label), act.Givens})
	return nil
}

func (d *decision) end(act End) error {
	why := clean(act.Why)
	if d.s.Ended != nil {
		return &Refusal{"This run has ended already."}
	}
	if d.s.through(nil) {
		d.addFor("", Ended{Why: why})
		return nil
	}
	if why == "" {
		return &Refusal{"The run is not through: ending it now needs a reason: z, then why."}
	}
	if !d.confirmed {
		return &Question{"The run is not through. End it for good, with the reason “" + why + "”?", "end the run"}
	}
	d.addFor("", Ended{Abandoned: true, Why: why})
	return nil
}

// through tells whether every vessel is through; also counts as through.
func (s *State) through(also *Vessel) bool {
	for _, v := range s.Vessels {
		if v != also && v.Through == nil {
			return false
		}
	}
	return true
}

func (d *decision) endVessel(act EndVessel) error {
	why := clean(act.Why)
	switch {
	case d.v.Through != nil:
		return &Refusal{fmt.Sprintf("Vessel %s is %s.", d.v.Label, d.v.throughWord())}
	case why == "":
		return &Refusal{"Giving up a vessel needs a reason: d, then why."}
	case !d.confirmed:
		return &Question{fmt.Sprintf("Give up vessel %s here, with the reason “%s”?", d.v.Label, why), "give it up"}
	}
	d.add(VesselEnded{why})
	d.endIfThrough()
	return nil
}

// endIfThrough ends the run with its last vessel.
func (d *decision) endIfThrough() {
	if d.s.through(d.v) {
		d.addFor("", Ended{Abandoned: d.s.allGivenUp(d.v)})
	}
}

// allGivenUp tells whether no vessel came to the end; v counts as given up by these events if the last one says so.
func (s *State) allGivenUp(v *Vessel) bool {
	for _, w := range s.Vessels {
		if w.GivenUp == "" && (w != v || w.Stage == len(s.Protocol.Stages)-1 && w.complete(s.Protocol.Stages[w.Stage])) {
			return false
		}
	}
	return v.Stage < len(s.Protocol.Stages)-1
}

func (d *decision) skip(act Skip) error {
	st, why := d.s.stage(d.v), clean(act.Why)
	switch {
	case st == nil:
		return &Refusal{fmt.Sprintf("Vessel %s has not begun: Enter begins it.", d.v.Label)}
	case why == "":
		return &Refusal{"Skipping needs a reason: s, then why."}
	}
	if err := d.barred(); err != nil {
		return err
	}
	if !d.confirmed {
		what := st.Title
		if len(d.s.Vessels) > 1 {
			what += " of " + d.v.Label
		}
		return &Question{fmt.Sprintf("Skip what is left of %s, with the reason “%s”?", what, why), "skip it"}
	}
	d.leave(StageLeft{Stage: st.ID, Took: Span(d.now.Elapsed - d.v.Entered), Skipped: why})
	return nil
}

func (d *decision) extend(act Extend) error {
	st := d.s.stage(d.v)
	switch {
	case st == nil || d.v.complete(st) || d.v.Phase != protocol.WaitPhase:
		return &Refusal{"No wait is running that could be given more time."}
	case act.By <= 0 || act.By > 24*time.Hour:
		return &Refusal{"Say by how many minutes: e 5, then why."}
	case d.v.window(st).AtMost > 0 && clean(act.Why) == "":
		return &Unfinished{Refusal{"Moving the latest end needs a reason: e, the minutes, then why."}}
	}
	d.add(ClockExtended{st.ID, Span(act.By), clean(act.Why)})
	return nil
}
