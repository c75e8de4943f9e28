package run

import (
	"fmt"
	"slices"
	"time"

	"example.org/meniscus/protocol"
)

// A Timetable says when the hands should begin what had not begun when it was made.
type Timetable struct {
	At Moment
	Planned
	First  bool          // there was none before it
	Moved  []Move        // against the one before it, a vessel's next turn only
	Joined []PlannedTurn // the first turn of each vessel that the one before it does not have
	Later  Span          // how much later the last vessel is through than by the one before it; negative: earlier
	More   Span          // how much longer all waits go over their aims than by the one before it
}

// A Move is a turn that is planned for another time than before.
type Move struct {
	PlannedTurn      // as it is now
	From        Span // when it was to begin
}

// maxTurns bounds the timetable of a journal that somebody else wrote.
const maxTurns = 4000

func (f Planned) apply(s *State, _ *Vessel, e Event) error {
	if len(f.Turns) > maxTurns {
		return fmt.Errorf("a timetable of more than %d turns", maxTurns)
	}
	for _, t := range f.Turns {
		st := s.Protocol.Stage(t.Stage)
		switch {
		case s.Vessel(t.Vessel) == nil:
			return fmt.Errorf("it plans vessel %q, which the run does not have", t.Vessel)
		case st == nil || t.Portion < 1 || t.Portion > st.Portions:
			return fmt.Errorf("it plans portion %d of stage %q, which the protocol does not have", t.Portion, t.Stage)
		case t.Start < 0 || t.End < t.Start:
			return fmt.Errorf("it plans a turn of vessel %s to end before it begins", t.Vessel)
		}
	}
	t := Timetable{At: e.Moment, Planned: f, First: true}
	if old := s.Timetable(); old != nil {
		t.First = false
		t.Later, t.More = f.End-old.End, f.OverWait-old.OverWait
		t.compare(old.Planned)
	}
	s.Timetables = append(s.Timetables, t)
	return nil
}

// compare notes the next turn of each vessel where it begins at another time than before, or was not planned before.
func (t *Timetable) compare(old Planned) {
	last := ""
	for _, turn := range t.Turns {
		if turn.Vessel == last {
			continue
		}
		last = turn.Vessel
		was, ok := old.turn(turn.Vessel, turn.Stage, turn.Portion)
		switch {
		case ok && was.Start != turn.Start:
			t.Moved = append(t.Moved, Move{turn, was.Start})
		case !ok && !old.has(turn.Vessel):
			t.Joined = append(t.Joined, turn)
		}
	}
}

// IsTurn tells whether two turns are of the same portion of a vessel's stage, whenever they are planned.
func (t PlannedTurn) IsTurn(x PlannedTurn) bool {
	return t.Vessel == x.Vessel && t.Stage == x.Stage && t.Portion == x.Portion
}

func (f Planned) has(vessel string) bool {
	return slices.ContainsFunc(f.Turns, func(t PlannedTurn) bool { return t.Vessel == vessel })
}

func (f Planned) turn(vessel, stage string, portion int) (PlannedTurn, bool) {
	for _, t := range f.Turns {
		if t.IsTurn(PlannedTurn{Vessel: vessel, Stage: stage, Portion: portion}) {
			return t, true
		}
	}
	return PlannedTurn{}, false
}

// Timetable returns the newest one; nil where nothing was planned.
func (s *State) Timetable() *Timetable {
	if n := len(s.Timetables); n > 0 {
		return &s.Timetables[n-1]
	}
	return nil
}

// planned returns when the hands are to begin a portion of a stage, in elapsed time.
func (s *State) planned(v *Vessel, stage, portion int) (time.Duration, bool) {
	table := s.Timetable()
	if table == nil || stage < 0 || stage >= len(s.Protocol.Stages) {
		return 0, false
	}
	t, ok := table.turn(v.Label, s.Protocol.Stages[stage].ID, portion)
	return time.Duration(t.Start), ok
}

// plannedNext returns when the hands are to begin what follows the wait that runs, or the first stage.
func (s *State) plannedNext(v *Vessel) (time.Duration, bool) {
	st := s.stage(v)
	if st == nil {
		return s.planned(v, v.Stage+1, 1)
	}
	p := v.Position.afterWait(st)
	if p.Phase == protocol.EndPhase {
		p = p.afterEnd(st)
	}
	if p.complete(st) {
		return s.planned(v, v.Stage+1, 1)
	}
	return s.planned(v, p.Stage, p.Portion)
}

// plannedNow returns when the timetable has the hands at the vessel: at the portion that they are at, or after the wait
// that runs.
func (s *State) plannedNow(v *Vessel) (time.Duration, bool) {
	if v.Phase == protocol.HandsPhase {
		return s.planned(v, v.Stage, v.Portion)
	}
	return s.plannedNext(v)
}

// plannedAt returns when the timetable was made.
func (s *State) plannedAt() time.Duration {
	if t := s.Timetable(); t != nil {
		return t.At.Elapsed
	}
	return 0
}

// CallsBefore is the least that a wait calls before its window closes: as long as hands need that are not at it yet.
const CallsBefore = time.Minute

// closingMost is the most that it does.
const closingMost = 5 * time.Minute

// closing is how long before its window closes the wait of a vessel calls, wherever the timetable has the hands: as
// long as the work takes that they are at elsewhere.
func (s *State) closing(v *Vessel) time.Duration {
	out := CallsBefore
	for _, w := range s.Vessels {
		if x := w.spell(); w != v && x != nil {
			out = max(out, s.Protocol.Stages[x.Stage].Hands.Planned())
		}
	}
	return min(out, closingMost)
}

// Wall returns the time of day at a moment of the run's clock, where the bench stands; with the day where that is
// another.
func (s *State) Wall(elapsed time.Duration) string {
	last := s.Last.At.In(Place(s.Here))
	at := last.Add(elapsed - s.Last.Elapsed)
	if at.YearDay() != last.YearDay() {
		return at.Format("Mon 15:04")
	}
	return at.Format("15:04")
}

// KeepTimetable records a timetable; from then on the queue of the hands follows it.
func (g *Engine) KeepTimetable(f Planned) error {
	_, err := g.record(f)
	return err
}

// A Spell is the time in which the hands were at a portion of a stage: from when it was their turn until they were done
// with it, a stage that must not be left with its wait. Of a wait that no work goes before it is the moment of its
// begin.
type Spell struct {
	Stage, Portion int
	From, To       time.Duration // elapsed
	Touched        bool          // something of it was done
	Ended          bool
	rests          bool // the work could rest before it: From counts only once it is touched
}

// spell returns the last one while it goes on, else nil.
func (v *Vessel) spell() *Spell {
	if n := len(v.Spells); n > 0 && !v.Spells[n-1].Ended {
		return &v.Spells[n-1]
	}
	return nil
}

// ownSpell is spell, to be changed: an older state may share it.
func (v *Vessel) ownSpell() *Spell {
	v.Spells = slices.Clone(v.Spells)
	return v.spell()
}

// keepSpells keeps the spells true after an event has brought the vessel to its place.
func (s *State) keepSpells(v *Vessel, e Event) {
	st := s.stage(v)
	at := st != nil && v.Through == nil && !v.complete(st) && (v.Phase == protocol.HandsPhase || st.Attended && v.Phase == protocol.WaitPhase)
	if last := v.spell(); last != nil {
		if !last.Touched && touches(e.What) {
			last = v.ownSpell()
			last.Touched = true
			if last.rests { // until their last act the hands were elsewhere
				last.From = max(last.From, s.Acted)
			}
		}
		if at && last.Stage == v.Stage && last.Portion == v.Portion {
			return
		}
		last = v.ownSpell()
		last.To, last.Ended = e.Elapsed, true
	}
	if st != nil && v.Phase == protocol.WaitPhase && !st.Attended {
		v.keepBegun(e.Elapsed)
	}
	if at {
		v.Spells = append(v.Spells, Spell{Stage: v.Stage, Portion: v.Portion, From: e.Elapsed, rests: s.restsBefore(v, st),
			Touched: v.Phase == protocol.WaitPhase}) // a clock runs
	}
}

// restsBefore tells whether the work may rest before the portion that a vessel is at: no clock runs before it, or one
// that may be left standing. What is attended is followed at once by what is attended too.
func (s *State) restsBefore(v *Vessel, now *protocol.Stage) bool {
	before, portion := now, v.Portion-1
	if portion == 0 {
		if v.Stage == 0 {
			return false
		}
		before = s.Protocol.Stages[v.Stage-1]
		portion = before.Portions
	}
	if before.Attended {
		return !now.Attended
	}
	return !before.WaitsAfter(portion) || !before.Pause.IsEmpty()
}

// keepBegun keeps when the hands began a wait, unless it was by the work of its portion: a spell of no length.
func (v *Vessel) keepBegun(now time.Duration) {
	if n := len(v.Spells); n == 0 || v.Spells[n-1].Stage != v.Stage || v.Spells[n-1].Portion != v.Portion {
		v.Spells = append(v.Spells, Spell{Stage: v.Stage, Portion: v.Portion, From: now, To: now, Touched: true, Ended: true})
	}
}

// keepHands notes when the hands last did something.
func (s *State) keepHands(e Event) {
	if _, entered := e.What.(StageEntered); entered || touches(e.What) {
		s.Acted = e.Elapsed
	}
}

// touches tells whether a fact shows that the hands are at what they are to do.
func touches(f Fact) bool {
	switch f := f.(type) {
	case ReadingTaken:
		return !f.Late
	case StepDone, WaitEnded, StopwatchStarted:
		return true
	}
	return false
}

// The bounds of a bench: what a day has room for.
const (
	mostBreaks = 100
	lastBreak  = 31 * 24 * time.Hour
)

// check refuses a bench that no plan could be made for.
func (b *Bench) check() error {
	if b == nil {
		return nil
	}
	if b.Operators < 0 || b.Operators > 99 {
		return fmt.Errorf("%d pairs of hands", b.Operators)
	}
	for id, n := range b.Places {
		if n < 1 || n > 999 {
			return fmt.Errorf("%d places of %.40q", n, id)
		}
	}
	if len(b.Breaks) > mostBreaks {
		return fmt.Errorf("%d breaks; there may be %d", len(b.Breaks), mostBreaks)
	}
	for _, x := range b.Breaks {
		if x.From < 0 || x.To <= x.From || time.Duration(x.To) > lastBreak {
			return fmt.Errorf("a break from %v to %v s is none of this month", x.From, x.To)
		}
	}
	return nil
}

// Breaktimes are when nobody is present, as was said at the begin.
func (s *State) Breaktimes() []BreakTime {
	if s.Bench == nil {
		return nil
	}
	return s.Bench.Breaks
}

// places returns how often a resource is there.
func (s *State) places(r protocol.Resource) int {
	if s.Bench != nil && s.Bench.Places[r.ID] > 0 {
		return s.Bench.Places[r.ID]
	}
	return r.Places
}
