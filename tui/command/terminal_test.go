//go:build !windows

package command_test

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/creack/pty"

	"example.org/meniscus/protocol/journal"
)

// How long a program in a terminal is waited for: on a loaded machine it is slow, but it goes on showing something.
const (
	patience = 20 * time.Second // with nothing new on its screen
	most     = 5 * time.Minute  // for one text: a whole job takes a few seconds of an idle machine
)

// A terminal is a program that runs in a terminal of its own.
type terminal struct {
	t     testing.TB
	cmd   *exec.Cmd
	file  *os.File
	errs  bytes.Buffer    // what went to stderr, which is not the terminal; to be looked at after wait
	shown chan string     // what arrived on the terminal
	all   strings.Builder // what of it until has not gone past
	past  strings.Builder // what it has
	home  string
}

// inTerminal starts meniscus in a terminal of 80 by 24, in a home of its own.
func inTerminal(t testing.TB, env []string, args ...string) *terminal {
	t.Helper()
	return programInTerminal(t, "meniscus", env, args...)
}

// programInTerminal starts a program of those that this test binary can be.
func programInTerminal(t testing.TB, name string, env []string, args ...string) *terminal {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	return commandInTerminal(t, &exec.Cmd{Path: self, Args: append([]string{name}, args...)}, env...)
}

// commandInTerminal starts any command.
func commandInTerminal(t testing.TB, cmd *exec.Cmd, env ...string) *terminal {
	t.Helper()
	x := &terminal{t: t, cmd: cmd, shown: make(chan string, 1000), home: t.TempDir()}
	x.cmd.Stderr = &x.errs
	x.cmd.Env = append(os.Environ(), "TERM=xterm-256color", "XDG_DATA_HOME="+x.home, "XDG_CONFIG_HOME="+x.home, "NO_COLOR=1", "GORACE=atexit_sleep_ms=0")
	x.cmd.Env = append(x.cmd.Env, env...)
	var err error
	if x.file, err = pty.StartWithSize(x.cmd, &pty.Winsize{Rows: 24, Cols: 80}); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		x.file.Close()
		_ = x.cmd.Process.Kill()
	})
	go func() {
		defer close(x.shown)
		buf := make([]byte, 1<<16)
		for {
			n, err := x.file.Read(buf)
			if err != nil {
				return
			}
			x.shown <- string(buf[:n])
		}
	}()
	return x
}

// until waits for a text on the terminal and forgets what came before it.
func (x *terminal) until(text string) {
	x.t.Helper()
	x.pressUntil("", text)
}

// pressUntil presses keys until the terminal shows a text: so soon after a question, or after another one, an Enter is no
// answer, so they come a second apart.
func (x *terminal) pressUntil(keys, text string) {
	x.t.Helper()
	x.press(keys)
	late, still, again := time.After(most), time.NewTimer(patience), time.NewTicker(time.Second)
	defer still.Stop()
	defer again.Stop()
	for {
		if before, after, ok := strings.Cut(x.all.String(), text); ok {
			x.past.WriteString(before + text)
			x.all.Reset()
			x.all.WriteString(after)
			return
		}
		select {
		case s, ok := <-x.shown:
			if !ok {
				x.t.Fatalf("the terminal was left before %q; it shows %q", text, x.all.String())
			}
			x.all.WriteString(s)
			still.Reset(patience)
		case <-again.C:
			x.press(keys)
		case <-still.C:
			x.t.Fatalf("%q was not shown, and nothing new for %v; the terminal shows %q", text, patience, x.all.String())
		case <-late:
			x.t.Fatalf("%q was not shown in %v; the terminal shows %q", text, most, x.all.String())
		}
	}
}

func (x *terminal) press(keys string) {
	x.t.Helper()
	if _, err := x.file.WriteString(keys); err != nil {
		x.t.Fatal(err)
	}
}

// wait returns the exit code.
func (x *terminal) wait() int {
	x.t.Helper()
	ended := make(chan error, 1)
	go func() { ended <- x.cmd.Wait() }()
	select {
	case err := <-ended:
		var exit *exec.ExitError
		if err != nil && !errors.As(err, &exit) {
			x.t.Fatal(err)
		}
		return x.cmd.ProcessState.ExitCode()
	case <-time.After(most):
		x.t.Fatal("the program goes on")
	}
	return -1
}

// whole checks that the one journal of the home can be read to its end.
func (x *terminal) whole() {
	x.t.Helper()
	found, err := filepath.Glob(filepath.Join(x.home, "meniscus", "runs", "*.journal"))
	if err != nil || len(found) != 1 {
		x.t.Fatalf("journals: %v, %v; want one", found, err)
	}
	content, err := journal.Read(found[0])
	if err != nil || content.Torn != "" || len(content.Events) < 2 {
		x.t.Errorf("the journal is not whole: %v, %+v", err, content)
	}
}

// atTheBench begins a run and leaves its briefing.
func atTheBench(t *testing.T) *terminal {
	t.Helper()
	x := inTerminal(t, nil, "run", "acid-and-catalyst")
	x.until("read on")
	x.begin()
	return x
}

// begin leaves the briefing.
func (x *terminal) begin() {
	x.t.Helper()
	x.press("         ") // page down to its end
	x.until("all of this was read")
	x.press("\r")
	x.until("Begin with Ready")
}

// orders are the ways to tell the program to go, whatever is typed.
var orders = map[string]func(*terminal){
	"ctrl-c":    func(x *terminal) { x.press("\x03") },
	"interrupt": func(x *terminal) { _ = x.cmd.Process.Signal(syscall.SIGINT) },
	"terminate": func(x *terminal) { _ = x.cmd.Process.Signal(syscall.SIGTERM) },
	"hang up":   func(x *terminal) { _ = x.cmd.Process.Signal(syscall.SIGHUP) },
	"quit":      func(x *terminal) { _ = x.cmd.Process.Signal(syscall.SIGQUIT) },
	"abort":     func(x *terminal) { _ = x.cmd.Process.Signal(syscall.SIGABRT) },
}

// told tells the program to go: the terminal is put right, the exit code is 0, and stderr has a text.
func (x *terminal) told(leave func(*terminal), want string) {
	x.t.Helper()
	leave(x)
	x.until(restored)
	if code := x.wait(); code != 0 {
		x.t.Errorf("exit code %d, want 0", code)
	}
	if !strings.Contains(x.errs.String(), want) {
		x.t.Errorf("stderr has no %q: %q", want, x.errs.String())
	}
}

const restored = "\x1b[?1049l" // the terminal's own screen is back

// TestLeaving: however the program is told to go, the terminal is put right, the journal is whole, and a line says how to
// go on.
func TestLeaving(t *testing.T) {
	ways := maps.Clone(orders)
	ways["q"] = func(x *terminal) { x.press("q") }
	for name, leave := range ways {
		t.Run(name, func(t *testing.T) {
			x := atTheBench(t)
			x.told(leave, "To take it up again: meniscus resume ")
			x.whole()
		})
	}
}

// TestTerminalGone: when the window is closed the program ends, and what was done is kept.
func TestTerminalGone(t *testing.T) {
	x := atTheBench(t)
	x.file.Close()
	x.wait()
	x.whole()
}

// TestStopAndContinue draws the screen anew after the shell has written over it.
func TestStopAndContinue(t *testing.T) {
	x := inTerminal(t, nil, "run", "acid-and-catalyst")
	x.until("Before you start")
	for _, s := range []os.Signal{syscall.SIGSTOP, syscall.SIGCONT} {
		if err := x.cmd.Process.Signal(s); err != nil {
			t.Fatal(err)
		}
	}
	x.until("\x1b[2J")
	x.until("Before you start")
	x.press("q")
	x.wait()
}

// TestChooser opens without arguments and asks the terminal nothing that it would have to answer.
func TestChooser(t *testing.T) {
	x := inTerminal(t, nil)
	x.until("Ethyl ester, small batch")
	x.press("q")
	x.until(restored)
	if code := x.wait(); code != 0 || x.errs.Len() > 0 {
		t.Errorf("exit code %d, stderr %q; want 0 and nothing", code, x.errs.String())
	}
}

// TestPlainInADumbTerminal: a terminal that can show no screen has the plain face, its lines broken between words at its width
// unless they are to be left whole.
func TestPlainInADumbTerminal(t *testing.T) {
	for _, whole := range []bool{false, true} {
		x := inTerminal(t, []string{"TERM=dumb"}, "run", "ester-batch", fmt.Sprint("--long-lines=", whole))
		x.until("A> ")
		longest := 0
		for line := range strings.Lines(x.past.String()) {
			longest = max(longest, utf8.RuneCountInString(strings.TrimRight(line, "\r\n")))
		}
		if whole != (longest > 79) || longest < 60 {
			t.Errorf("long lines %v: the longest line has %d characters", whole, longest)
		}
		x.press("q\r")
		x.wait()
	}
}

// TestRehearsalInTerminal shows a rehearsal to its end; keys other than q change nothing of it.
func TestRehearsalInTerminal(t *testing.T) {
	x := inTerminal(t, nil, "rehearse", "burn-test", "--speed", "20000", "--keep")
	x.until("\x1b[?1049h")
	x.press("x1,5\r")
	x.until("Summary: Burn test")
	x.press("q")
	if code := x.wait(); code != 0 {
		t.Errorf("exit code %d, want 0", code)
	}
	if want := "Run rehearsal-burn-test is closed"; !strings.Contains(x.errs.String(), want) {
		t.Errorf("stderr has no %q: %q", want, x.errs.String())
	}
	if out, err := x.beside("summary", "rehearsal-burn-test"); err != nil || !strings.Contains(out, "14.09") {
		t.Errorf("the summary has no 14.09 (kJ/g of the demo's ethanol burn): %v\n%s", err, out)
	}
}

// TestSeveralVesselsInTerminal plays whole jobs with two vessels on the screen: one burn after the other on one rig, and two
// batches with the acts of each between those of the other. The summary is the one that the plain face gives, and
// so is the journal, by its hash.
func TestSeveralVesselsInTerminal(t *testing.T) {
	for name, args := range map[string][]string{
		"burn-test":   {"rehearse", "burn-test", "--keep"},
		"ester-batch": {"rehearse", "ester-batch", "--vessels", "2", "--keep"},
	} {
		t.Run(name, func(t *testing.T) {
			x := inTerminal(t, nil, append(args, "--speed", "100000")...)
			x.until("Summary: ")
			x.press("q")
			if code := x.wait(); code != 0 {
				t.Errorf("exit code %d, want 0", code)
			}
			elsewhere := t.TempDir()
			if out, err := x.beside(append(args, "--plain", "--runs", elsewhere)...); err != nil {
				t.Fatalf("%v\n%s", err, out)
			}
			id := "rehearsal-" + name
			screen, err := x.beside("summary", id, "--format", "json")
			if err != nil || !strings.Contains(screen, `"complete": true`) || !strings.Contains(screen, `"label": "B"`) {
				t.Fatalf("%v\n%.500s", err, screen)
			}
			plain, err := x.beside("summary", id, "--format", "json", "--runs", elsewhere)
			if err != nil || screen != plain {
				t.Errorf("%v: %s", err, firstDifference(screen, plain))
			}
		})
	}
}

// firstDifference shows where two texts part.
func firstDifference(a, b string) string {
	other := strings.Split(b, "\n")
	for i, line := range strings.Split(a, "\n") {
		if i >= len(other) || line != other[i] {
			return fmt.Sprintf("line %d of the screen's is %q, of the plain one's %q", i+1, line, append(other[min(i, len(other)):], "")[0])
		}
	}
	return "the plain one's is longer"
}

// beside runs another command in the same home, without a terminal, and returns all its output.
func (x *terminal) beside(args ...string) (string, error) {
	call := exec.Command(x.cmd.Path, args...)
	call.Args[0], call.Env = "meniscus", x.cmd.Env
	out, err := call.CombinedOutput()
	return string(out), err
}

// TestHeld: a run that is open at one place is not written from another, and can be looked at meanwhile.
func TestHeld(t *testing.T) {
	x := atTheBench(t)
	out, err := x.beside("resume")
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != 1 || !strings.Contains(out, "another meniscus (its last line is of ") ||
		!strings.Contains(out, "look at it meanwhile with meniscus summary ") {
		t.Errorf("a second one at the run: %v: %s", err, out)
	}
	found, err := filepath.Glob(filepath.Join(x.home, "meniscus", "runs", "*.journal"))
	if err != nil || len(found) != 1 {
		t.Fatalf("journals: %v, %v; want one", found, err)
	}
	if out, err := x.beside("summary", found[0]); err != nil || !strings.Contains(out, "Acid value of the oil") {
		t.Errorf("its summary: %v: %s", err, out)
	}
	x.press("q")
	x.wait()
}

// TestDumbTerminal goes line by line and sends no escape sequence.
func TestDumbTerminal(t *testing.T) {
	x := inTerminal(t, []string{"TERM=dumb"}, "run", "acid-and-catalyst")
	x.until("Press Enter once")
	x.press("\n")
	x.until("Do: Begin with Ready.")
	x.press("q\n")
	x.until("To take it up again")
	if code := x.wait(); code != 0 {
		t.Errorf("exit code %d, want 0", code)
	}
	for s := range x.shown {
		x.all.WriteString(s)
	}
	if sent := x.past.String() + x.all.String(); strings.Contains(sent, "\x1b") {
		t.Errorf("an escape sequence was sent: %q", sent)
	}
}
