package command

import (
	"os"
	"os/signal"
	"sync"
	"syscall"
)

// onSignal returns a channel that is closed when the program is asked to go: by ctrl-c, by the system, or because the
// terminal went away. forget gives the signals back.
func onSignal() (asked <-chan struct{}, forget func()) {
	signals := make(chan os.Signal, 1)
	signal.Notify(signals, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGQUIT, syscall.SIGABRT)
	leave, done := make(chan struct{}), make(chan struct{})
	go func() {
		select {
		case <-signals:
			close(leave)
		case <-done:
		}
	}()
	var once sync.Once
	return leave, func() {
		once.Do(func() {
			signal.Stop(signals)
			close(done)
		})
	}
}
