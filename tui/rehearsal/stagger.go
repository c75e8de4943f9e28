package rehearsal

import (
	"fmt"
	"slices"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
)

// Stagger returns the script of one vessel played for n, each so much later than the one before. Readings that serve all
// vessels are taken with the first alone.
func Stagger(script protocols.Script, n int, apart time.Duration) (protocols.Script, error) {
	switch {
	case n < 1 || n > protocols.MaxVessels:
		return script, fmt.Errorf("%d vessels cannot be rehearsed; write a number from 1 to %d", n, protocols.MaxVessels)
	case len(script.Vessels) != 1:
		return script, fmt.Errorf("the demo readings of %s are for %d vessels already", script.Protocol, len(script.Vessels))
	}
	later, err := repeatable(script)
	if err != nil {
		return script, err
	}
	first := script.Vessels[0]
	script.Lines = slices.Clone(script.Lines)
	for i := 1; i < n; i++ {
		label := string(rune(first[0]) + rune(i))
		script.Vessels = append(slices.Clip(script.Vessels), label)
		for _, line := range later {
			line.Vessel = label
			line.At += time.Duration(i) * apart
			script.Lines = append(script.Lines, line)
		}
	}
	slices.SortStableFunc(script.Lines, func(a, b protocols.Line) int { return int(a.At - b.At) })
	return script, nil
}

// repeatable plays the script and returns its lines as a second vessel wants them: without what is of the whole run, and
// with Enter where the first vessel's line took a reading for all and ended a step by it.
func repeatable(script protocols.Script) ([]protocols.Line, error) {
	b, err := Begun(script, "rehearsal", "")
	if err != nil {
		return nil, err
	}
	clock := NewClock(Day)
	state, _, err := run.Begin(b, clock.Now())
	if err != nil {
		return nil, err
	}
	o := tui.NewOperator(run.NewEngine(state, &Memory{}, clock))
	var out, asked []protocols.Line // asked: what waits for the answer to a question
	for _, line := range script.Lines {
		clock.Set(line.At)
		a := o.Enter(line.Typed, 0)
		if a.NotSaved != nil || a.Refused != "" {
			return nil, fmt.Errorf("line %d, %q: %s%s", line.Number, line.Typed, a.Refused, a.WhyNotSaved())
		}
		shared, step := serveAll(state, a.Events)
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
