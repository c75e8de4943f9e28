package command

import (
	"context"
	"errors"
	"fmt"
	"os/exec"
	"strings"
	"sync"
	"time"

	"github.com/spf13/cobra"
)

// soundMost is how long a sound may last.
const soundMost = 5 * time.Second

// A sound is a command of the user's own that is run with the bell, one at a time, by no shell. Without a command there is
// none. What it writes is discarded. It may be used from several goroutines.
type sound struct {
	line string        // as it was typed
	most time.Duration // how long it may last; 0: soundMost

	held sync.Mutex
	ends context.CancelFunc // of the one that sounds; nil: none does
	told bool               // that it failed
}

// soundFlag lets the command line say it.
func (e *env) soundFlag(c *cobra.Command) {
	c.Flags().StringVar(&e.sound.line, "sound", "", "run `COMMAND` whenever the bell sounds; it is split at blanks, and no shell reads it")
	c.PreRunE = func(*cobra.Command, []string) error { return e.sound.check() }
}

// check refuses a command that is not there, while there is time to write another one.
func (s *sound) check() error {
	words := strings.Fields(s.line)
	if len(words) == 0 {
		return nil
	}
	if _, err := exec.LookPath(words[0]); err != nil {
		return wrong("--sound %q: %s is no program that can be run; write one with its arguments, without quotes inside", s.line, words[0])
	}
	return nil
}

// play sounds and waits for the end, unless the sound before is still heard. It tells once why there was none.
func (s *sound) play() error {
	words := strings.Fields(s.line)
	if len(words) == 0 {
		return nil
	}
	ctx, ok := s.begin()
	if !ok {
		return nil
	}
	err := exec.CommandContext(ctx, words[0], words[1:]...).Run()
	if errors.Is(ctx.Err(), context.DeadlineExceeded) {
		err = fmt.Errorf("it was stopped after %s", s.longest())
	}
	return s.end(err, errors.Is(ctx.Err(), context.Canceled))
}

// begin takes the place of the one that sounds.
func (s *sound) begin() (context.Context, bool) {
	s.held.Lock()
	defer s.held.Unlock()
	if s.ends != nil {
		return nil, false
	}
	ctx, ends := context.WithTimeout(context.Background(), s.longest())
	s.ends = ends
	return ctx, true
}

func (s *sound) longest() time.Duration {
	if s.most > 0 {
		return s.most
	}
	return soundMost
}

// end gives the place free.
func (s *sound) end(err error, stopped bool) error {
	s.held.Lock()
	defer s.held.Unlock()
	s.ends()
	s.ends = nil
	if err == nil || stopped || s.told {
		return nil
	}
	s.told = true
	return fmt.Errorf("--sound %q failed: %w; the run goes on without it", s.line, err)
}

// stop ends what sounds.
func (s *sound) stop() {
	s.held.Lock()
	defer s.held.Unlock()
	if s.ends != nil {
		s.ends()
	}
}
