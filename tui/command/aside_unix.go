//go:build !windows

package command

import (
	"os"
	"os/signal"
	"syscall"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"golang.org/x/sys/unix"

	"example.org/meniscus/tui/bench"
)

// aMoment is how soon a stop happens that was asked for, and a terminal that was given back is seen.
const aMoment = 200 * time.Millisecond

// goAside leaves the terminal to the shell until it gives it back, or a signal asks the program to go. The library's
// own way waits for a sign to go on that never comes where the system does not stop the program: it stops none that no
// shell could wake.
func goAside(p *tea.Program, terminal any, leave <-chan struct{}) tea.Msg {
	if isAlone() {
		return bench.Stayed{}
	}
	woken := make(chan os.Signal, 1)
	signal.Notify(woken, syscall.SIGCONT)
	defer signal.Stop(woken)
	_ = p.ReleaseTerminal()
	_ = syscall.Kill(0, syscall.SIGTSTP)
	back := tea.Msg(bench.Stayed{})
	for waits := 1; ; waits++ {
		select {
		case <-leave:
			signal.Ignore(syscall.SIGTTOU) // behind a shell, putting the terminal right would stop the program for good
			p.Kill()
			return nil
		case <-woken:
			back = tea.ResumeMsg{}
		case <-time.After(aMoment):
			if waits == 1 {
				continue // after a stop, the sign that it is over may come later than the end of this wait
			}
		}
		if isInFront(terminal) {
			_ = p.RestoreTerminal()
			return back
		}
		back = tea.ResumeMsg{}
	}
}

// isAlone tells that the program was started from outside its session, as the first one of a terminal is: no shell can
// wake it. Where that is the case of a parent only, the stop is tried, and does not happen.
func isAlone() bool {
	own, err := unix.Getsid(0)
	if err != nil {
		return false
	}
	parent, err := unix.Getsid(os.Getppid())
	return os.Getppid() == 0 || err != nil || parent != own
}

// isInFront tells that the terminal takes keys for this program, or that there is none to ask any more.
func isInFront(terminal any) bool {
	f, ok := terminal.(*os.File)
	if !ok {
		return true
	}
	group, err := unix.IoctlGetInt(int(f.Fd()), unix.TIOCGPGRP)
	return err != nil || group == unix.Getpgrp()
}
