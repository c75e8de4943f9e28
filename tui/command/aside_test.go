//go:build !windows

package command_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"
)

const entered = "\x1b[?1049h" // the program's own screen

// signs are what must end the program at any time.
var signs = map[string]syscall.Signal{"terminate": syscall.SIGTERM, "hang up": syscall.SIGHUP}

// TestCtrlZ: under a shell with job control the program goes aside at ctrl-z, with the terminal put right, and comes back with
// the screen, as often as it is wanted.
func TestCtrlZ(t *testing.T) {
	x := underShell(t)
	for range 2 {
		x.press("\x1a")
		x.until(restored)
		x.press("echo aside-$((40+2))\n")
		x.until("aside-42")
		x.press("fg\n")
		x.until(entered)
		x.until("Before you start")
	}
	x.press("q")
	x.until(restored)
	x.press("echo code-$?\n")
	x.until("code-0")
	x.press("exit\n")
	x.wait()
}

// TestCtrlZAndGone: a program that went aside can be told to go by the shell, and when the shell ends.
func TestCtrlZAndGone(t *testing.T) {
	for name, gone := range map[string]func(*terminal){
		"terminate":    func(x *terminal) { x.press("kill %1\n") },
		"hang up":      func(x *terminal) { x.press("kill -HUP %1; kill -CONT %1\n") },
		"behind":       func(x *terminal) { x.press("bg; kill %1\n") },
		"left shell":   func(x *terminal) { x.press("exit\nexit\n") },
		"closed shell": func(x *terminal) { x.press("sleep 0.3; echo\n"); x.file.Close() },
	} {
		t.Run(name, func(t *testing.T) {
			x := underShell(t)
			x.begin()
			x.press("\x1a")
			x.until(restored)
			x.press("echo aside-$((40+2))\n")
			x.until("aside-42")
			gone(x)
			x.free()
			x.whole()
		})
	}
}

// TestCtrlZWithoutShell: where no shell could wake the program it stays, says so, and takes keys and signals as before: the
// first program of a terminal, and one started by a script that is the first.
func TestCtrlZWithoutShell(t *testing.T) {
	for name, start := range map[string]func(*testing.T) *terminal{
		"alone":  func(t *testing.T) *terminal { return inTerminal(t, nil, "run", "acid-and-catalyst") },
		"script": underScript,
	} {
		for sign, s := range signs {
			t.Run(name+", "+sign, func(t *testing.T) {
				x := start(t)
				x.until("Before you start")
				for range 3 {
					x.press("\x1a")
					x.until("ctrl-z does nothing here")
				}
				x.begin()
				x.press("\x1a")
				x.until("ctrl-z does nothing here")
				x.press("\x1a")
				if err := syscall.Kill(x.process(), s); err != nil {
					t.Fatal(err)
				}
				x.until(restored)
				x.free()
				x.whole()
			})
		}
	}
}

// underShell starts a run from a shell with job control, and waits for its first screen.
func underShell(t *testing.T) *terminal {
	t.Helper()
	shell, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("there is no bash here")
	}
	x := commandInTerminal(t, &exec.Cmd{Path: shell, Args: []string{"bash", "--norc", "--noprofile", "--noediting", "-i"}})
	x.press(named(t) + " run acid-and-catalyst\n")
	x.until(entered)
	return x
}

// underScript starts a run from a script that is the first program of its terminal.
func underScript(t *testing.T) *terminal {
	t.Helper()
	script := `sh -c 'echo $$ >"$XDG_DATA_HOME/process"; exec ` + named(t) + ` run acid-and-catalyst'; exit $?`
	return commandInTerminal(t, &exec.Cmd{Path: "/bin/sh", Args: []string{"sh", "-c", script}})
}

// process is the program's: that of the terminal, or the one that its script has written down.
func (x *terminal) process() (process int) {
	x.t.Helper()
	process = x.cmd.Process.Pid
	if told, err := os.ReadFile(filepath.Join(x.home, "process")); err == nil {
		if _, err := fmt.Sscan(string(told), &process); err != nil {
			x.t.Fatal(err)
		}
	}
	return process
}

// named is a path of this program that ends in its name.
func named(t *testing.T) string {
	t.Helper()
	self, err := os.Executable()
	path := filepath.Join(t.TempDir(), "meniscus")
	if err == nil {
		err = os.Symlink(self, path)
	}
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// free waits until the run is open nowhere.
func (x *terminal) free() {
	x.t.Helper()
	program := named(x.t.(*testing.T))
	for end := time.Now().Add(patience); ; {
		call := exec.Command(program, "resume", "--plain")
		call.Env = x.cmd.Env
		out, err := call.CombinedOutput()
		if err == nil {
			return
		}
		if time.Now().After(end) {
			x.t.Fatalf("the run is still open: %v, %s; the terminal shows %q", err, out, x.all.String())
		}
	}
}
