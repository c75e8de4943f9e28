package plain_test

import (
	"bytes"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/plain"
	"example.org/meniscus/tui/rehearsal"
)

var update = flag.Bool("update", false, "write the golden files anew")

const folder = "../../testdata/plain"

// start begins a run of testdata/plain/dilution.toml, an invented protocol with one of everything.
func start(t *testing.T, rec run.Recorder, vessels ...string) (*tui.Operator, *rehearsal.Clock) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, "dilution.toml"))
	if err != nil {
		t.Fatal(err)
	}
	b := run.Begun{Run: "test-run", Program: "test", File: "dilution.toml", Protocol: string(text), Unfit: "two flasks"}
	for _, label := range vessels {
		b.Vessels = append(b.Vessels, run.VesselBegun{Label: label})
	}
	clock := rehearsal.NewClock(rehearsal.Day)
	state, _, err := run.Begin(b, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	return tui.NewOperator(run.NewEngine(state, rec, clock)), clock
}

// acts reads lines as a script has them: time, vessel, what is typed.
func acts(t *testing.T, text string) []protocols.Line {
	t.Helper()
	s, err := protocols.ParseScript("test", []byte("protocol = dilution\nvessels = 2\n"+text))
	if err != nil {
		t.Fatal(err)
	}
	return s.Lines
}

// talk plays the acts, with a look at what is due every 5 s of the run, and returns all that was said.
func talk(t *testing.T, o *tui.Operator, clock *rehearsal.Clock, text string, opts plain.Options) (string, plain.Outcome) {
	t.Helper()
	ticks, done := make(chan time.Duration), make(chan struct{})
	defer close(done)
	opts.Ticks, opts.Echo = ticks, true
	in := &rehearsal.Reader{Operator: o, Clock: clock, Lines: acts(t, text), Beat: 5 * time.Second, Ticks: ticks, Done: done}
	var out bytes.Buffer
	outcome, err := plain.Run(o, in, &out, opts)
	if err != nil {
		t.Fatal(err)
	}
	return out.String(), outcome
}

const wholeRun = `
0:00:00	-	
0:00:10	A	
0:00:40	A	402
0:00:45	A	-
0:00:50	A	40,1
0:01:00	A	c 40.2 misread the display
0:01:05	A	n the room is cold
0:01:10	A	
0:01:15	A	
0:02:20	A	
0:02:40	A	21,5
0:03:30	A	
0:05:30	A	
0:06:55	A	?
0:07:00	A	
0:07:05	A	1
`

// TestWholeRun pins what an operator hears of a run from the briefing to the end.
func TestWholeRun(t *testing.T) {
	o, clock := start(t, &rehearsal.Memory{}, "A")
	got, outcome := talk(t, o, clock, wholeRun, plain.Options{})
	if outcome != plain.Finished {
		t.Errorf("the outcome is %d, want Finished", outcome)
	}
	golden(t, "dilution.golden", got)
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join(folder, name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s (- want, + got):\n%s", path, diff)
	}
}

// TestAnnouncements tells what comes due while a line is waited for, in the vessel at hand and in the other one.
func TestAnnouncements(t *testing.T) {
	o, clock := start(t, &rehearsal.Memory{}, "A", "B")
	got, _ := talk(t, o, clock, `
0:00:00	-	
0:00:10	A	
0:00:20	A	40.1
0:00:30	A	
0:00:40	B	
0:09:00	B	n waited
`, plain.Options{Bell: true})
	for _, want := range []string{
		"\n[1:30] A: reminder: Swirl\n",
		"\n[2:30] A: the least time is over: 2:00\n",
		"\n[2:30] A: reminder: Swirl, 1 before it not answered\n",
		"\n[3:30] A: 3:00 are over, temperature is not read yet. At most 2:00 more.\n",
		"\n[5:35] A: late: over by 0:05, at most 5:00 was meant\n",
		"\n[6:35] A: late: over by 1:05, at most 5:00 was meant\n",
	} {
		if !strings.Contains(strings.ReplaceAll(got, "\a", ""), want) {
			t.Errorf("not said: %q in\n%s", want, got)
		}
	}
	if want := "\a[2:30] A: reminder: Swirl, 1 before it not answered\n[2:30] A: the least time is over: 2:00\n\a"; !strings.Contains(got, want) {
		t.Errorf("the bell does not ring once for %q in\n%q", want, got)
	}
}

// TestTwoVessels: the hands go on to the vessel that is due, which is said, and an Enter sent before that can have been heard
// does nothing. One more vessel is told with what to have ready for it.
func TestTwoVessels(t *testing.T) {
	o, _ := start(t, &rehearsal.Memory{}, "A", "B")
	var out bytes.Buffer
	if _, err := plain.Run(o, strings.NewReader("\n\n40.1\n\n\nv\nA\nn still here\n"), &out, plain.Options{Echo: true}); err != nil {
		t.Fatal(err)
	}
	rest := out.String()
	for _, want := range []string{
		"A> 40.1\n", "A> \nA Step done.\n", "Vessel B now: Weighing.\n", "Vessel B, not begun.\n",
		"B> \nNot done: B is in hand now: Enter again.\n",
		"B> v\nVessel C is in the run: type its letter to begin with it.\nHave ready for vessel C\n  Solvent: 40.0 g\n",
		"B> A\nVessel A.\n", "A> n still here\nA Noted.\n",
	} {
		before, after, ok := strings.Cut(rest, want)
		if !ok {
			t.Fatalf("not said: %q after %d bytes of\n%s", want, len(out.String())-len(before), out.String())
		}
		rest = after
	}
	if v := o.Engine.State.Vessel("B"); v.Stage >= 0 {
		t.Error("B was begun")
	}
}

// TestSound sounds with each announcement, and says why there was none.
func TestSound(t *testing.T) {
	o, clock := start(t, &rehearsal.Memory{}, "A")
	sounded := make(chan struct{}, 100)
	got, _ := talk(t, o, clock, wholeRun, plain.Options{Sound: func() error {
		sounded <- struct{}{}
		return nil
	}})
	if n := strings.Count(got, "] A: "); n == 0 {
		t.Fatalf("nothing was announced:\n%s", got)
	}
	<-sounded

	ticks := make(chan time.Duration)
	o, clock = start(t, &rehearsal.Memory{}, "A")
	for _, line := range []string{"", "", "40.1", ""} {
		o.Enter(line, 0)
	}
	in, feed := io.Pipe()
	said := make(listener)
	over := make(chan error)
	go func() {
		_, err := plain.Run(o, in, said, plain.Options{Ticks: ticks, Sound: func() error { return errors.New("the horn is broken") }})
		close(said)
		over <- err
	}()
	go func() {
		ticks <- 0 // it waits for a line
		clock.Set(time.Minute)
		ticks <- time.Minute // the reminder is due
	}()
	told := false
	for text := range said {
		if told = told || strings.Contains(text, "the horn is broken.\n"); told {
			feed.Close()
		}
	}
	if err := <-over; err != nil || !told {
		t.Errorf("told: %t, %v", told, err)
	}
}

// A listener hands on what is written.
type listener chan string

func (l listener) Write(p []byte) (int, error) {
	l <- string(p)
	return len(p), nil
}

// TestEndOfInput leaves the run to be taken up again, and says how.
func TestEndOfInput(t *testing.T) {
	for name, text := range map[string]string{"end": "\n", "q": "\nq\n", "no newline": "\nq"} {
		o, _ := start(t, &rehearsal.Memory{}, "A")
		var out bytes.Buffer
		outcome, err := plain.Run(o, strings.NewReader(text), &out, plain.Options{GoOn: func() string { return "meniscus resume test-run" }})
		if outcome != plain.Left || err != nil {
			t.Errorf("%s: outcome %d, error %v; want Left and none", name, outcome, err)
		}
		if want := "To take it up again: meniscus resume test-run\n"; !strings.HasSuffix(out.String(), want) {
			t.Errorf("%s: the last words are not %q:\n%s", name, want, out.String())
		}
	}
}

// TestLeave ends the conversation though the input hangs.
func TestLeave(t *testing.T) {
	o, _ := start(t, &rehearsal.Memory{}, "A")
	in, hold := io.Pipe()
	defer hold.Close()
	leave := make(chan struct{})
	close(leave)
	if outcome, err := plain.Run(o, in, io.Discard, plain.Options{Leave: leave}); outcome != plain.Left || err != nil {
		t.Errorf("outcome %d, error %v; want Left and none", outcome, err)
	}
}

// brokenInput fails after a line.
type brokenInput struct{ text io.Reader }

func (b brokenInput) Read(p []byte) (int, error) {
	n, err := b.text.Read(p)
	if err == io.EOF {
		err = errors.New("the line is dead")
	}
	return n, err
}

func TestInputFails(t *testing.T) {
	o, _ := start(t, &rehearsal.Memory{}, "A")
	_, err := plain.Run(o, brokenInput{strings.NewReader("\n")}, io.Discard, plain.Options{})
	if want := "reading the input: the line is dead"; err == nil || err.Error() != want {
		t.Errorf("error %v, want %s", err, want)
	}
}

// fullDisk refuses every event.
type fullDisk struct{}

func (fullDisk) Append(...run.Event) error { return errors.New("no space is left on the disk") }

// TestNotSaved says that nothing was done when the journal cannot take it.
func TestNotSaved(t *testing.T) {
	o, _ := start(t, fullDisk{}, "A")
	var out bytes.Buffer
	if _, err := plain.Run(o, strings.NewReader("\n"), &out, plain.Options{Echo: true}); err != nil {
		t.Fatal(err)
	}
	if want := "Not saved: no space is left on the disk. Nothing was done. Enter tries again; w and a folder: the journal goes on there; -: leave it."; !strings.Contains(out.String(), want) {
		t.Errorf("not said: %s\n%s", want, out.String())
	}
	if o.Engine.State.Acknowledged {
		t.Error("the state shows what was not saved")
	}
}

// TestHostileLines keeps control characters and endless lines out of the record and off the output.
func TestHostileLines(t *testing.T) {
	memory := &rehearsal.Memory{}
	o, _ := start(t, memory, "A")
	var out bytes.Buffer
	lines := "\nn red \x1b[31malert\a\u202e\xff\x00 end\r\nn " + strings.Repeat("x", 100_000) + "\nn after\n"
	if _, err := plain.Run(o, strings.NewReader(lines), &out, plain.Options{Echo: true}); err != nil {
		t.Fatal(err)
	}
	var notes []string
	for _, n := range o.Engine.State.Notes {
		notes = append(notes, n.Text)
	}
	if diff := cmp.Diff([]string{"red [31malert end", "after"}, notes); diff != "" {
		t.Errorf("notes (- want, + got):\n%s", diff)
	}
	if i := strings.IndexAny(out.String(), "\x1b\a\x00\r\u202e"); i >= 0 {
		t.Errorf("the output has %q at byte %d", out.String()[i], i)
	}
	if !strings.Contains(out.String(), "Not taken: the line is longer than 4000 characters.") {
		t.Errorf("the long line was not refused:\n%.2000s", out.String())
	}
}

// TestNarrowAndAscii: no line is wider than asked, and no character is beyond ASCII.
func TestNarrowAndAscii(t *testing.T) {
	o, clock := start(t, &rehearsal.Memory{}, "A")
	got, _ := talk(t, o, clock, wholeRun, plain.Options{Width: func() int { return 40 }, Ascii: true})
	for _, line := range strings.Split(got, "\n") {
		if len(line) > 40 && !strings.Contains(line, "> ") { // what was typed stays as it is
			t.Errorf("wider than 40: %q", line)
		}
		for _, r := range line {
			if r > 126 || r < 32 {
				t.Errorf("%q has %q, which is not plain ASCII", line, r)
			}
		}
	}
	if !strings.Contains(got, "in deg C,") {
		t.Errorf("the unit is not written out:\n%s", got)
	}
}
