package rehearsal_test

import (
	"bytes"
	"fmt"
	"io"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/bench"
	"example.org/meniscus/tui/plain"
	"example.org/meniscus/tui/print"
	"example.org/meniscus/tui/rehearsal"
)

// start begins a run of the script in memory.
func start(t *testing.T, script protocols.Script) (*tui.Operator, *rehearsal.Clock, *rehearsal.Memory) {
	t.Helper()
	b, err := rehearsal.Begun(script, "rehearsal-"+script.Protocol, "test")
	if err != nil {
		t.Fatal(err)
	}
	if len(script.Vessels) > 2 {
		b.Bench = &run.Bench{}
	}
	clock := rehearsal.NewClock(rehearsal.Day)
	state, first, err := run.Begin(b, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	memory := &rehearsal.Memory{Events: []run.Event{first}}
	return tui.NewOperator(run.NewEngine(state, memory, clock)), clock, memory
}

// A face takes a script in its own way and leaves the events.
type face func(t *testing.T, script protocols.Script) []run.Event

// byOperator gives the typed lines to the operator, with no face between.
func byOperator(t *testing.T, script protocols.Script) []run.Event {
	o, clock, memory := start(t, script)
	if err := rehearsal.Play(o, clock, script.Lines); err != nil {
		t.Fatal(err)
	}
	return memory.Events
}

// byPipe writes the typed lines to the plain face.
func byPipe(t *testing.T, script protocols.Script) []run.Event {
	o, clock, memory := start(t, script)
	ticks, done := make(chan time.Duration), make(chan struct{})
	defer close(done)
	in := &rehearsal.Reader{Operator: o, Clock: clock, Lines: script.Lines, Beat: time.Minute, Ticks: ticks, Done: done}
	outcome, err := plain.Run(o, in, io.Discard, plain.Options{Ticks: ticks, Echo: true})
	if err != nil || outcome != plain.Finished {
		t.Fatalf("outcome %d, error %v; want Finished and none", outcome, err)
	}
	return memory.Events
}

// byKeys presses the keys of the typed lines at the screens, one message each, and draws each screen.
func byKeys(t *testing.T, script protocols.Script) []run.Event {
	o, clock, memory := start(t, script)
	var m tea.Model = bench.New(bench.Options{Operator: o, PlanAtOnce: true})
	m, _ = m.Update(tea.WindowSizeMsg{Width: 100, Height: 30})
	for _, line := range script.Lines {
		clock.Set(line.At)
		for _, typed := range rehearsal.Typed(o, line) {
			for _, key := range bench.Keys(typed) {
				m, _ = m.Update(key)
			}
			if m.View() == "" {
				t.Fatalf("line %d: the screen is empty", line.Number)
			}
		}
	}
	return memory.Events
}

// byBurst presses the same keys as a fast hand or a paste gives them: all runes of a line in one message.
func byBurst(t *testing.T, script protocols.Script) []run.Event {
	o, clock, memory := start(t, script)
	var m tea.Model = bench.New(bench.Options{Operator: o, PlanAtOnce: true})
	for _, line := range script.Lines {
		clock.Set(line.At)
		for _, typed := range rehearsal.Typed(o, line) {
			var runes []rune
			for _, key := range bench.Keys(typed) {
				if key.Type != tea.KeyEnter {
					runes = append(runes, key.Runes...)
					continue
				}
				if len(runes) > 0 {
					m, _ = m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: runes})
				}
				m, _ = m.Update(key)
				runes = nil
			}
			if len(runes) > 0 {
				m, _ = m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: runes})
			}
		}
	}
	return memory.Events
}

// TestFacesAgree plays every protocol that ships through every face, on the same clock: the summaries are the same, byte
// for byte, in every form.
func TestFacesAgree(t *testing.T) {
	for _, id := range protocols.IDs() {
		t.Run(id, func(t *testing.T) {
			script, ok := protocols.Demo(id)
			if !ok {
				t.Fatal("it has no demo readings")
			}
			want := forms(t, byOperator(t, script))
			for name, f := range map[string]face{"plain": byPipe, "keys": byKeys, "burst": byBurst, "again": byOperator} {
				if diff := cmp.Diff(want, forms(t, f(t, script))); diff != "" {
					t.Errorf("%s (- operator, + %s):\n%s", name, name, diff)
				}
			}
		})
	}
}

// TestSeveralVesselsAgree plays a whole batch with several vessels, begun by a timetable that is kept meanwhile, their acts
// between one another, through every face; and what each vessel gives is what it gives alone.
func TestSeveralVesselsAgree(t *testing.T) {
	alone, _ := protocols.Demo("ester-batch")
	script, err := rehearsal.Several(alone, 3, nil)
	if err != nil {
		t.Fatal(err)
	}
	events := byOperator(t, script)
	want := forms(t, events)
	for name, f := range map[string]face{"plain": byPipe, "keys": byKeys, "burst": byBurst} {
		if diff := cmp.Diff(want, forms(t, f(t, script))); diff != "" {
			t.Errorf("%s (- operator, + %s):\n%s", name, name, diff)
		}
	}
	one, together := results(t, byOperator(t, alone)), results(t, events)
	for _, label := range script.Vessels {
		if diff := cmp.Diff(one["A"], together[label]); diff != "" || len(one["A"]) < 10 {
			t.Errorf("A alone and %s among others (- alone, + among others):\n%s", label, diff)
		}
	}
}

// results are the figures of each vessel, as printed.
func results(t *testing.T, events []run.Event) map[string][]string {
	t.Helper()
	s, err := summary.Of(nil, events)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]string{}
	for _, v := range s.Vessels {
		for _, r := range v.Results {
			figure := r.ID + " " + string(r.Status)
			if r.Value != nil {
				figure += fmt.Sprintf(" %.10g %s", *r.Value, r.Unit) // a later start changes the last bits of a fit
			}
			out[v.Label] = append(out[v.Label], figure)
		}
	}
	return out
}

// forms writes the summary of the events in every form, and checks that the run came to its end.
func forms(t *testing.T, events []run.Event) map[string]string {
	t.Helper()
	s, err := summary.Of(nil, events)
	if err != nil {
		t.Fatal(err)
	}
	if !s.Run.Complete {
		t.Errorf("the run is not complete after event %d, %T", len(events), events[len(events)-1].What)
	}
	out := map[string]string{}
	for name, write := range map[string]func(io.Writer) error{
		"text":     func(w io.Writer) error { return print.Text(w, s, print.Options{Budget: true}) },
		"markdown": func(w io.Writer) error { return print.Markdown(w, s, print.Options{}) },
		"html":     func(w io.Writer) error { return print.HTML(w, s, print.Options{}) },
		"json":     func(w io.Writer) error { return print.JSON(w, s) },
		"csv":      func(w io.Writer) error { return print.CSV(w, s) },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Fatal(fmt.Errorf("%s: %w", name, err))
		}
		out[name] = b.String()
	}
	return out
}
