package plain_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/plain"
	"example.org/meniscus/tui/rehearsal"
)

// TestLineWithoutEnd: half of a number must not be taken for the number.
func TestLineWithoutEnd(t *testing.T) {
	memory := &rehearsal.Memory{}
	o, _ := start(t, memory, "A")
	var out bytes.Buffer
	if _, err := plain.Run(o, strings.NewReader("\n\n40"), &out, plain.Options{}); err != nil {
		t.Fatal(err)
	}
	for _, e := range memory.Events {
		if _, taken := e.What.(run.ReadingTaken); taken {
			t.Errorf("a line without its end was entered: %+v", e)
		}
	}
	if d := o.Engine.State.Draft; d == nil || d.Line != "40" || !strings.Contains(out.String(), "kept as a draft: 40") {
		t.Errorf("the draft is %+v\n%s", d, out.String())
	}
	out.Reset()
	if _, err := plain.Run(tui.NewOperator(o.Engine), strings.NewReader(""), &out, plain.Options{}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(out.String(), "“40” was typed and not entered before the program ended.") {
		t.Errorf("the draft is not offered again:\n%s", out.String())
	}
}

// TestEnterTwice: with a bounce a foot switch does one thing, not two.
func TestEnterTwice(t *testing.T) {
	o, _ := start(t, &rehearsal.Memory{}, "A")
	var out bytes.Buffer
	if _, err := plain.Run(o, strings.NewReader("\n\n"), &out, plain.Options{Debounce: 300 * time.Millisecond}); err != nil {
		t.Fatal(err)
	}
	if s := o.Engine.State; !s.Acknowledged || s.Vessels[0].Stage >= 0 {
		t.Errorf("the second Enter began stage %d", s.Vessels[0].Stage)
	}
}

// TestLinesInOneGo: in a terminal, what is pasted behind a line that means nothing here does nothing either, and it is said;
// from a pipe each line stands for itself.
func TestLinesInOneGo(t *testing.T) {
	for debounce, taken := range map[time.Duration]int{300 * time.Millisecond: 0, 0: 1} {
		o, _ := start(t, &rehearsal.Memory{}, "A")
		for _, line := range []string{"", ""} {
			o.Enter(line, 0)
		}
		var out bytes.Buffer
		if _, err := plain.Run(o, strings.NewReader(":40.0 was read\n40.1\n\n"), &out, plain.Options{Debounce: debounce}); err != nil {
			t.Fatal(err)
		}
		if n := len(o.Engine.State.Vessels[0].Taken); n != taken {
			t.Errorf("debounce %s: %d readings, want %d\n%s", debounce, n, taken, out.String())
		}
		if n := strings.Count(out.String(), "It came in one go with a line that was not taken."); n != 2-2*taken {
			t.Errorf("debounce %s: said %d times\n%s", debounce, n, out.String())
		}
	}
}

// TestReadTheQuestionFirst: an Enter out of habit, right after the line that led to a question, does not answer it, nor does its
// bounce; from a pipe it does.
func TestReadTheQuestionFirst(t *testing.T) {
	for debounce, ended := range map[time.Duration]bool{time.Nanosecond: false, 0: true} {
		o, _ := start(t, &rehearsal.Memory{}, "A")
		var out bytes.Buffer
		if _, err := plain.Run(o, strings.NewReader("\nz fire drill\n\n\n"), &out, plain.Options{Debounce: debounce}); err != nil {
			t.Fatal(err)
		}
		if (o.Engine.State.Ended != nil) != ended {
			t.Errorf("debounce %s: ended %t\n%s", debounce, !ended, out.String())
		}
		told := strings.Contains(out.String(), "Not done: Read the question first, then Enter again.\nQuestion: The run is not through.")
		if told == ended {
			t.Errorf("debounce %s:\n%s", debounce, out.String())
		}
	}
}

// A lid is a machine that sleeps whenever it is asked.
type lid struct {
	held sync.Mutex
	d    run.Dials
}

func (l *lid) Read() run.Dials {
	l.held.Lock()
	defer l.held.Unlock()
	return l.d
}

func (l *lid) sleep(by time.Duration) {
	l.held.Lock()
	defer l.held.Unlock()
	l.d.Wall, l.d.Up = l.d.Wall.Add(by), l.d.Up+by
}

// TestLidClosed: what fell due while the machine slept is told once, when it wakes.
func TestLidClosed(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(folder, "dilution.toml"))
	if err != nil {
		t.Fatal(err)
	}
	machine := &lid{d: run.Dials{Wall: rehearsal.Day, Up: time.Hour, Boot: "b"}}
	clock := run.Start(machine)
	state, _, err := run.Begin(run.Begun{Run: "test-run", File: "dilution.toml", Protocol: string(text), Unfit: "two flasks", Anchor: clock.Anchor(),
		Vessels: []run.VesselBegun{{Label: "A"}}}, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	engine := run.NewEngine(state, &rehearsal.Memory{}, clock)
	o := tui.NewOperator(engine)
	for range 40 {
		if v := o.View(); v.Clock != nil && !v.Clock.OfHands && v.NextReminder != nil {
			break
		}
		line := ""
		if v := o.View(); v.Asked != nil && v.Asked.Unit != "" {
			line = "x not at hand"
		}
		o.Enter(line, 0)
	}
	if v := o.View(); v.NextReminder == nil {
		t.Fatalf("no wait with a reminder is reached: %+v", v)
	}
	ticks := make(chan time.Duration)
	in, feed := newFeed()
	var out bytes.Buffer
	over := make(chan error, 1)
	go func() {
		_, err := plain.Run(o, in, &out, plain.Options{Ticks: ticks})
		over <- err
	}()
	ticks <- clock.Now().Elapsed
	machine.sleep(10 * time.Minute)
	for range 3 {
		ticks <- clock.Now().Elapsed
	}
	feed("q\n")
	if err := <-over; err != nil {
		t.Fatal(err)
	}
	for _, part := range []string{"The machine slept for 10:00", "Meanwhile fell due: A: "} {
		if n := strings.Count(out.String(), part); n != 1 {
			t.Errorf("%q is said %d times, want once:\n%s", part, n, out.String())
		}
	}
	if strings.Contains(out.String(), "A: reminder: ") {
		t.Errorf("what fell due is told twice:\n%s", out.String())
	}
}

// newFeed returns an input and what puts text into it.
func newFeed() (in *os.File, feed func(string)) {
	r, w, err := os.Pipe()
	if err != nil {
		panic(err)
	}
	return r, func(s string) { _, _ = w.WriteString(s) }
}

// TestGivenUpIsNotThrough: of a vessel that was given up the help says so.
func TestGivenUpIsNotThrough(t *testing.T) {
	o, _ := start(t, &rehearsal.Memory{}, "A", "B")
	var out bytes.Buffer
	if _, err := plain.Run(o, strings.NewReader("\nA\nd flask broke\n\nB\n?\nA\n"), &out, plain.Options{}); err != nil {
		t.Fatal(err)
	}
	if said := out.String(); strings.Count(said, "Vessel A, given up.") != 2 || strings.Contains(said, "through") {
		t.Errorf("told as:\n%s", said)
	}
}
