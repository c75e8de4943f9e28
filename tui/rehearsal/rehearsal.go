package rehearsal

import (
	"fmt"
	"strings"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
)

// Memory is a recorder that keeps a run's events for as long as the program runs.
type Memory struct{ Events []run.Event }

// Append keeps the events.
func (m *Memory) Append(events ...run.Event) error {
	m.Events = append(m.Events, events...)
	return nil
}

// named is how the name of every rehearsal begins; that of a run at the bench begins with its date.
const named = "rehearsal-"

// Name returns the run id of a rehearsal of a protocol.
func Name(protocol string) string { return named + protocol }

// IsName tells whether a run id is that of a rehearsal.
func IsName(run string) bool { return strings.HasPrefix(run, named) }

// Begun returns the first fact of a run of the script under the given run id.
func Begun(script protocols.Script, id, program string) (run.Begun, error) {
	text, ok := protocols.Text(script.Protocol)
	if !ok {
		return run.Begun{}, fmt.Errorf("the demo readings are for %s, a protocol that does not ship", script.Protocol)
	}
	b := run.Begun{Run: id, Program: program, File: script.Protocol + ".toml", Protocol: string(text), Zone: "+00:00",
		Unfit: "a rehearsal: nothing is poured"}
	for _, label := range script.Vessels {
		b.Vessels = append(b.Vessels, run.VesselBegun{Label: label, Givens: script.GivensOf(label)})
	}
	return b, nil
}

// Play takes the lines one by one, each at its time. It stops at the first that was refused or not kept.
func Play(o *tui.Operator, clock *Clock, lines []protocols.Line) error {
	for _, line := range lines {
		if err := play(o, clock, line); err != nil {
			return err
		}
	}
	return nil
}

// play takes one line, and has the timetable made after it.
func play(o *tui.Operator, clock *Clock, line protocols.Line) error {
	clock.Set(line.At)
	for _, typed := range Typed(o, line) {
		a := o.Enter(typed, 0)
		switch {
		case a.NotSaved != nil:
			return fmt.Errorf("line %d, %q: %w", line.Number, typed, a.NotSaved)
		case a.Refused != "":
			return fmt.Errorf("line %d, vessel %s, %q: %s", line.Number, o.Vessel, typed, a.Refused)
		}
		if len(a.Events) > 0 {
			o.Plan()
		}
	}
	return nil
}

// Typed returns what is typed for a line: the vessel's letter first, unless the line is taken for the vessel without
// it.
func Typed(o *tui.Operator, line protocols.Line) []string {
	switch {
	case line.Vessel == "", o.Open() != nil && o.Vessel == line.Vessel:
		return []string{line.Typed}
	case o.Engine.State.Bench == nil && o.IsFor(line.Vessel): // a timetable may be made before the line is taken
		return []string{line.Typed}
	}
	return []string{line.Vessel, line.Typed}
}
