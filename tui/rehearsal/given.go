package rehearsal

import (
	"fmt"
	"slices"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
)

// thought is how long the hands take to answer a question that the script does not know of.
const thought = 5 * time.Second

// With returns the script with other givens, by vessel. Its readings need not suit them: a question that comes of it is
// answered with yes, as by hands that have read it right, and an answer that nothing asks for is left out.
func With(script protocols.Script, givens map[string]map[string]string) (protocols.Script, error) {
	lines, err := answered(script)
	if err != nil {
		return script, err
	}
	script.Givens, script.Lines = givens, nil
	o, clock, err := inMemory(script, nil)
	if err != nil {
		return script, err
	}
	for q := (queue{lines: lines}); len(q.lines) > 0; {
		line := q.lines[0]
		if q.lines = q.lines[1:]; isIdle(o, line) {
			continue
		}
		line = seen(o, clock, line)
		if err := play(o, clock, line); err != nil {
			return script, unsuited(err)
		}
		script.Lines = append(script.Lines, line)
		if err := q.answer(o, line); err != nil {
			return script, unsuited(err)
		}
	}
	return script, nil
}

// seen returns a line a second later where what a bare Enter does has just changed: a person sees that first. A wait
// that with these givens is not to end yet is ended with a word why.
func seen(o *tui.Operator, clock *Clock, line protocols.Line) protocols.Line {
	clock.Set(line.At)
	if v := o.Engine.State.Look(line.Vessel, o.Engine.Now().Elapsed); line.Typed == "" && o.Open() == nil && v.Enter == run.NotYet {
		if next := v.NextReminder; next != nil && next.In <= thought { // it is that which the line is for
			line.At = o.Engine.Now().Elapsed + next.In + time.Second
			return line
		}
		line.Typed = "y the demo readings are of other givens"
		return line
	}
	if line.Typed == "" && o.Open() == nil && o.Turned(line.Vessel) != "" {
		line.At += time.Second
	}
	return line
}

func unsuited(err error) error {
	return fmt.Errorf("the demo readings do not go with these givens: %w", err)
}

// inMemory begins a run of the script that nobody sees.
func inMemory(script protocols.Script, bench *run.Bench) (*tui.Operator, *Clock, error) {
	b, err := Begun(script, "rehearsal", "")
	if err != nil {
		return nil, nil, err
	}
	b.Bench = bench
	clock := NewClock(Day)
	state, _, err := run.Begin(b, clock.Now())
	if err != nil {
		return nil, nil, err
	}
	return tui.NewOperator(run.NewEngine(state, &Memory{}, clock)), clock, nil
}

// answered returns the lines of a script, those marked that answer a question.
func answered(script protocols.Script) ([]protocols.Line, error) {
	o, clock, err := inMemory(script, nil)
	if err != nil {
		return nil, err
	}
	lines := slices.Clone(script.Lines)
	for i := range lines {
		lines[i].Answer = o.Open() != nil
		if err := play(o, clock, lines[i]); err != nil {
			return nil, err
		}
	}
	return lines, nil
}

// isIdle tells an answer that nothing asks for.
func isIdle(o *tui.Operator, line protocols.Line) bool { return line.Answer && o.Open() == nil }

// A queue is what is still to be played, one line after the other.
type queue struct {
	lines []protocols.Line
	asked int // questions in a row that the script does not know of
}

// mostAsked bounds them.
const mostAsked = 5

// answer puts the answer to the question that a line has led to before the other lines, where the next one is none.
func (q *queue) answer(o *tui.Operator, line protocols.Line) error {
	if o.Open() == nil || len(q.lines) > 0 && q.lines[0].Answer {
		q.asked = 0
		return nil
	}
	if q.asked++; q.asked > mostAsked {
		return fmt.Errorf("line %d, %q: it is asked again and again: %s", line.Number, line.Typed, o.Open().Say)
	}
	yes := protocols.Line{At: line.At + thought, Vessel: o.Vessel, Number: line.Number, Answer: true}
	if len(q.lines) > 0 {
		yes.At = min(yes.At, max(line.At, q.lines[0].At))
	}
	q.lines = append([]protocols.Line{yes}, q.lines...)
	return nil
}
