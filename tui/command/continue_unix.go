//go:build !windows

package command

import (
	"os"
	"os/signal"
	"syscall"
)

// redrawOnContinue calls redraw when the program was stopped and goes on: the shell has written over the screen. The
// returned function ends that.
func redrawOnContinue(redraw func()) (forget func()) {
	signals, done := make(chan os.Signal, 1), make(chan struct{})
	signal.Notify(signals, syscall.SIGCONT)
	go func() {
		for {
			select {
			case <-signals:
				redraw()
			case <-done:
				return
			}
		}
	}()
	return func() {
		signal.Stop(signals)
		close(done)
	}
}
