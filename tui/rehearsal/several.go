package rehearsal

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
)

// Several returns the script of one vessel played for n, each begun when the timetable of such a run has it begin.
// Readings that serve all vessels are taken with the first alone. A question is answered before another vessel has its
// turn. Other givens may be set by vessel, as With does; nil leaves those of the script.
func Several(script protocols.Script, n int, givens map[string]map[string]string) (protocols.Script, error) {
	switch {
	case n < 1 || n > protocols.MaxVessels:
		return script, fmt.Errorf("%d vessels cannot be rehearsed; write a number from 1 to %d", n, protocols.MaxVessels)
	case len(script.Vessels) != 1:
		return script, fmt.Errorf("the demo readings of %s are for %d vessels already", script.Protocol, len(script.Vessels))
	}
	var err error
	if script.Lines, err = answered(script); err != nil {
		return script, err
	}
	later, err := repeatable(script)
	if err != nil {
		return script, err
	}
	first, lines := script.Vessels[0], script.Lines
	if n > 1 {
		lines, later = present(lines), unremarked(present(later))
	}
	parts := []*part{{label: first, queue: queue{lines: lines}, begun: true}}
	for i := 1; i < n; i++ {
		label := string(rune(first[0]) + rune(i))
		script.Vessels = append(slices.Clip(script.Vessels), label)
		parts = append(parts, &part{label: label, queue: queue{lines: later}})
	}
	if givens != nil {
		script.Givens = givens
	}
	if script.Lines, err = together(script, parts); err != nil && givens != nil {
		err = unsuited(err)
	}
	return script, err
}

// present leaves out that the hands were called away, and the note of it: other vessels' lines fall into that time.
func present(lines []protocols.Line) []protocols.Line {
	var out []protocols.Line
	for i, l := range lines {
		if l.Typed != "a" && !(isNote(l) && i > 0 && lines[i-1].Typed == "a") {
			out = append(out, l)
		}
	}
	return out
}

// unremarked leaves out the notes, which are on the first vessel.
func unremarked(lines []protocols.Line) []protocols.Line {
	return slices.DeleteFunc(lines, isNote)
}

func isNote(l protocols.Line) bool { return strings.HasPrefix(l.Typed, "n ") }

// A part is what one vessel still has to be played.
type part struct {
	label string
	queue
	from  time.Duration // what is added to the times of its lines
	begun bool
}

// at returns when the next line is due.
func (p *part) at() time.Duration { return p.from + p.lines[0].At }

// together plays the parts in one run and returns their lines in the order in which they came, each with its time.
func together(script protocols.Script, parts []*part) ([]protocols.Line, error) {
	o, clock, err := inMemory(script, &run.Bench{})
	if err != nil {
		return nil, err
	}
	var out []protocols.Line
	for {
		begin(o.Engine.State, parts)
		parts = slices.DeleteFunc(parts, func(p *part) bool { return len(p.lines) == 0 })
		if len(parts) == 0 {
			return out, nil
		}
		next := turn(o, parts)
		line := next.lines[0]
		if isIdle(o, line) {
			next.lines = next.lines[1:]
			continue
		}
		line.At = max(next.at(), clock.Now().Elapsed)
		if line.Vessel != "" {
			line.Vessel = next.label
		}
		line = seen(o, clock, line)
		next.from = line.At - next.lines[0].At // what it waited, all that follows in this vessel waits
		next.lines = next.lines[1:]
		if err := play(o, clock, line); err != nil {
			return nil, err
		}
		out = append(out, line)
		if err := next.answer(o, next.own(line)); err != nil {
			return nil, err
		}
	}
}

// own is a line that was played, by the part's own times.
func (p *part) own(line protocols.Line) protocols.Line {
	line.At -= p.from
	return line
}

// turn chooses the part whose next line comes first: an answer where a question is open, and no vessel begins while the
// hands are busy with another one.
func turn(o *tui.Operator, parts []*part) *part {
	var next *part
	for _, p := range parts {
		switch {
		case o.Open() != nil:
			if p.label == o.Vessel {
				return p
			}
		case !p.begun:
		case next == nil, p.isHeld(o, parts) == next.isHeld(o, parts) && p.at() < next.at(), !p.isHeld(o, parts) && next.isHeld(o, parts):
			next = p
		}
	}
	if next == nil {
		return parts[0]
	}
	return next
}

// isHeld tells whether a vessel must wait with its begin until the hands have done with another vessel.
func (p *part) isHeld(o *tui.Operator, parts []*part) bool {
	s := o.Engine.State
	return s.Vessel(p.label).Stage < 0 && slices.ContainsFunc(parts, func(other *part) bool {
		v := s.Vessel(other.label)
		return other != p && v.Stage >= 0 && v.Phase == protocol.HandsPhase && other.at() <= p.at()+patience
	})
}

// patience is how long a vessel waits for hands that are busy with another one, in a rehearsal.
const patience = 5 * time.Minute

// begin sets the times of the vessels that have not begun by the timetable.
func begin(s *run.State, parts []*part) {
	for _, p := range parts {
		if s.Vessel(p.label).Stage >= 0 || len(p.lines) == 0 {
			continue
		}
		if p.begun && p.from == 0 && p == parts[0] {
			continue // the first one has its times from the script
		}
		if at, ok := tui.BeginsAt(s, p.label); ok {
			p.from, p.begun = at-p.lines[0].At, true
		}
	}
}

// repeatable plays the script and returns its lines as a second vessel wants them: without what is of the whole run, and
// with Enter where the first vessel's line took a reading for all and ended a step by it.
func repeatable(script protocols.Script) ([]protocols.Line, error) {
	o, clock, err := inMemory(script, nil)
	if err != nil {
		return nil, err
	}
	var out, asked []protocols.Line // asked: what waits for the answer to a question
	for _, line := range script.Lines {
		clock.Set(line.At)
		a := o.Enter(line.Typed, 0)
		if a.NotSaved != nil || a.Refused != "" {
			return nil, fmt.Errorf("line %d, %q: %s%s", line.Number, line.Typed, a.Refused, a.WhyNotSaved())
		}
		shared, step := serveAll(o.Engine.State, a.Events)
		switch {
		case line.Vessel == "":
		case a.Ask != nil:
			asked = append(asked, line)
			continue
		case shared && step:
			line.Typed = ""
			out = append(out, line)
		case !shared:
			out = append(append(out, asked...), line)
		}
		asked = nil
	}
	return out, nil
}

// serveAll tells whether the events took a reading that serves all vessels, and whether they ended a step.
func serveAll(s *run.State, events []run.Event) (shared, step bool) {
	for _, e := range events {
		switch f := e.What.(type) {
		case run.ReadingTaken:
			shared = shared || s.Protocol.Reading(f.Reading).Shared
		case run.StepDone:
			step = true
		}
	}
	return shared, step
}
