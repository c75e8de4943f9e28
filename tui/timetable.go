package tui

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/timetable"
)

// ToPlan returns what is to be planned by now; nil where the timetable holds, or the run has none. A face asks after every
// act and with every look at the clock, has the task done, beside the run if it likes, and gives it to Adopt.
func (o *Operator) ToPlan() *timetable.Task {
	return o.keeper.Ask(o.Engine.State, o.Engine.Now().Elapsed, o.Vessel)
}

// Plan has the timetable made where it is asked for, at once, and says what Adopt does.
func (o *Operator) Plan() []string {
	if task := o.ToPlan(); task != nil {
		return o.Adopt(task, task.Plan())
	}
	return nil
}

// Adopt records the timetable that came of a task, if the run still stands as it did and if it is news. It says what moved
// and what that costs, or why there is none.
func (o *Operator) Adopt(task *timetable.Task, found timetable.Found) []string {
	s := o.Engine.State
	if !task.Stands(s) {
		o.keeper.Outdated()
		return nil
	}
	trouble := ""
	switch {
	case found.Err != nil:
		trouble = "There is no timetable: " + found.Err.Error() + "."
	case !found.News:
	case o.Engine.KeepTimetable(found.Planned) != nil:
		o.keeper.NotKept()
		trouble = "The timetable could not be saved."
	default:
		o.keeper.Kept(s)
		o.noTable = ""
		return TellTimetable(s)
	}
	if trouble == o.noTable {
		return nil // it was said
	}
	if o.noTable = trouble; trouble == "" {
		return nil
	}
	return []string{trouble}
}

// joined says that a vessel has joined the run; when it begins is told by the timetable, if there is one.
func (o *Operator) joined(label string) string {
	if o.Engine.State.Bench != nil {
		return "Vessel " + label + " is in the run."
	}
	return "Vessel " + label + " is in the run: type its letter to begin with it."
}

// untimed tells why there is no timetable to be shown.
func (o *Operator) untimed() string {
	switch {
	case o.noTable != "":
		return o.noTable
	case o.Engine.State.Bench == nil:
		return "This run was begun without a timetable."
	}
	return "There is no timetable yet: one is made for several vessels, once the cautions are acknowledged."
}

// TellTimetable says of the newest timetable which windows it cannot keep, then who begins when, or what it has moved and
// what that costs.
func TellTimetable(s *run.State) []string {
	t := s.Timetable()
	var said []string
	for _, m := range t.Missed {
		if !wasMissed(s, m) {
			said = append(said, missed(s, m))
		}
	}
	said = append(said, keptAgain(s, t)...)
	text := "Planned anew: " + changes(s, t)
	if t.First {
		text = "Timetable" + forHands(s) + ": " + begins(s, t.At.Elapsed, firstTurns(s, t)) + "all through at " + s.Wall(time.Duration(t.End))
	}
	if strings.HasSuffix(text, ": ") {
		return said
	}
	return append(said, text+".")
}

func missed(s *run.State, m run.PlannedMiss) string {
	text := fmt.Sprintf("%s will be late for %s, by %s", m.Vessel, stepTitle(s.Protocol, m.To), run.Hms(time.Duration(m.By)))
	if m.Remedy != "" {
		text += ": " + m.Remedy
	}
	return text + "."
}

// wasMissed tells whether the timetable before the newest one misses a window too.
func wasMissed(s *run.State, m run.PlannedMiss) bool {
	n := len(s.Timetables)
	return n > 1 && slices.ContainsFunc(s.Timetables[n-2].Missed, func(x run.PlannedMiss) bool { return x.Vessel == m.Vessel && x.To == m.To })
}

// keptAgain tells the windows that the timetable before missed, and this one does not.
func keptAgain(s *run.State, t *run.Timetable) []string {
	if t.First {
		return nil
	}
	var said []string
	for _, was := range s.Timetables[len(s.Timetables)-2].Missed {
		still := func(m run.PlannedMiss) bool { return m.Vessel == was.Vessel && m.To == was.To }
		open := func(x run.PlannedTurn) bool { return x.Vessel == was.Vessel && numbered(s.Protocol, x) == was.To }
		if !slices.ContainsFunc(t.Missed, still) && slices.ContainsFunc(t.Turns, open) {
			said = append(said, fmt.Sprintf("%s will be in time for %s after all.", was.Vessel, stepTitle(s.Protocol, was.To)))
		}
	}
	return said
}

func forHands(s *run.State) string {
	if s.Bench == nil || s.Bench.Operators < 2 {
		return ""
	}
	return fmt.Sprintf(" for %d pairs of hands", s.Bench.Operators)
}

// firstTurns are those of the vessels that have not begun.
func firstTurns(s *run.State, t *run.Timetable) []run.PlannedTurn {
	var out []run.PlannedTurn
	for _, x := range t.Turns {
		if s.Vessel(x.Vessel).Stage < 0 && (len(out) == 0 || out[len(out)-1].Vessel != x.Vessel) {
			out = append(out, x)
		}
	}
	return out
}

// BeginsAt returns when the timetable has a vessel begin; false where it does not have it.
func BeginsAt(s *run.State, vessel string) (time.Duration, bool) {
	if t := s.Timetable(); t != nil && s.Vessel(vessel).Stage < 0 {
		for _, turn := range t.Turns {
			if turn.Vessel == vessel {
				return time.Duration(turn.Start), true
			}
		}
	}
	return 0, false
}

// aMoment is what is said to be now.
const aMoment = 30 * time.Second

// begins tells when vessels begin by a timetable of a moment; "" where there are none.
func begins(s *run.State, made time.Duration, first []run.PlannedTurn) string {
	var parts []string
	for _, x := range first {
		if at := time.Duration(x.Start); at-made < aMoment {
			parts = append(parts, x.Vessel+" begins now")
		} else {
			parts = append(parts, x.Vessel+" at "+s.Wall(at))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	if !strings.Contains(parts[0], "begins") {
		parts[0] = strings.Replace(parts[0], " at ", " begins at ", 1)
	}
	return strings.Join(parts, ", ") + "; "
}

// mostMoves is how many moves are told in one breath.
const mostMoves = 3

// changes tells the moves that are worth it, the soonest first, and what they cost.
func changes(s *run.State, t *run.Timetable) string {
	var told []run.Move
	for _, m := range t.Moved {
		if time.Duration(m.Start-m.From).Abs() >= timetable.Telling {
			told = append(told, m)
		}
	}
	slices.SortStableFunc(told, func(a, b run.Move) int { return cmp.Compare(a.Start, b.Start) })
	var parts []string
	if joined := strings.TrimSuffix(begins(s, t.At.Elapsed, t.Joined), "; "); joined != "" {
		parts = append(parts, joined)
	}
	for _, m := range told[:min(len(told), mostMoves)] {
		parts = append(parts, fmt.Sprintf("%s %s at %s, not %s", m.Vessel, turnTitle(s, m.PlannedTurn), s.Wall(time.Duration(m.Start)),
			s.Wall(time.Duration(m.From))))
	}
	if n := len(told) - mostMoves; n > 0 {
		parts = append(parts, fmt.Sprintf("and %d more", n))
	}
	if by := time.Duration(t.Later); by.Abs() >= timetable.Telling {
		parts = append(parts, fmt.Sprintf("all through at %s, %s", s.Wall(time.Duration(t.End)), sooner(by)))
	}
	if by := time.Duration(t.More); by >= timetable.Telling && len(parts) > 0 {
		parts = append(parts, "waits go "+About(by)+" longer over their aims")
	}
	return strings.Join(parts, "; ")
}

func sooner(by time.Duration) string {
	if by < 0 {
		return About(-by) + " sooner"
	}
	return About(by) + " later"
}

// turnTitle names a turn: "begins", or its stage with the portion.
func turnTitle(s *run.State, t run.PlannedTurn) string {
	if s.Vessel(t.Vessel).Stage < 0 {
		return "begins"
	}
	return stepTitle(s.Protocol, numbered(s.Protocol, t))
}

// stepTitle names a step of a plan as the bench does.
func stepTitle(p *protocol.Protocol, id string) string {
	stage, portion, numbered := strings.Cut(id, ".")
	st := p.Stage(stage)
	switch {
	case st == nil && id == "end":
		return "the end"
	case st == nil && id == "begin":
		return "the begin"
	case st == nil:
		return id
	case numbered:
		return st.Title + " " + portion
	}
	return st.Title
}

// Upcoming is a turn of the hands that is still to come, or that they are at.
type Upcoming struct {
	Vessel string        // " " for a break
	Turn   string        // what it is
	At     string        // the time of day
	In     time.Duration // until then; 0 or less: it goes on, or should have begun
	Takes  time.Duration // 0: it is not known any more
}

// Coming lists what the hands are at, then the turns of the timetable that were not begun yet and the breaks to come, the
// soonest first.
func Coming(s *run.State, now time.Duration) []Upcoming {
	table := s.Timetable()
	if table == nil {
		return nil
	}
	var out []Upcoming
	for _, v := range s.Vessels {
		if n := len(v.Spells); n > 0 && !v.Spells[n-1].Ended {
			x := v.Spells[n-1]
			t := run.PlannedTurn{Vessel: v.Label, Stage: s.Protocol.Stages[x.Stage].ID, Portion: x.Portion}
			if !x.Touched && slices.ContainsFunc(table.Turns, t.IsTurn) {
				continue // it stands among those to come
			}
			out = append(out, Upcoming{v.Label, stepTitle(s.Protocol, numbered(s.Protocol, t)), s.Wall(x.From), min(0, x.From-now), 0})
		}
	}
	n := len(out)
	for _, t := range table.Turns {
		if !timetable.Passed(s, t) {
			at := time.Duration(t.Start)
			out = append(out, Upcoming{t.Vessel, stepTitle(s.Protocol, numbered(s.Protocol, t)), s.Wall(at), at - now, time.Duration(t.End - t.Start)})
		}
	}
	for _, b := range s.Breaktimes() {
		if from, to := time.Duration(b.From), time.Duration(b.To); to > now {
			out = append(out, Upcoming{" ", "nobody is present", s.Wall(from), from - now, to - from})
		}
	}
	slices.SortStableFunc(out[n:], func(a, b Upcoming) int { return cmp.Compare(a.In, b.In) })
	return out
}

// numbered is how a turn's step is named in a plan.
func numbered(p *protocol.Protocol, t run.PlannedTurn) string {
	if st := p.Stage(t.Stage); st != nil && st.Portions > 1 {
		return fmt.Sprint(t.Stage, ".", t.Portion)
	}
	return t.Stage
}
