package command

import (
	"errors"
	"os"
	"strings"
	"testing"
	"time"
)

// self is this test's own program, made to run one test or none.
func self(t *testing.T, args string) string {
	t.Helper()
	path, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	return path + " " + args
}

const hanging = "MENISCUS_TEST_HANGS"

// TestHangingSound is the sound that does not end, where it is asked to be.
func TestHangingSound(t *testing.T) {
	if os.Getenv(hanging) != "" {
		<-time.After(time.Minute)
		t.Error("nobody ended it")
	}
}

func TestSound(t *testing.T) {
	t.Setenv(hanging, "1")
	for _, tt := range []struct{ name, line, fails string }{
		{"none", "", ""},
		{"blanks", "  ", ""},
		{"it sounds", self(t, "-test.run=^$"), ""},
		{"it fails", self(t, "-no-such-flag"), "failed: exit status 2"},
		{"it does not end", self(t, "-test.run=^TestHangingSound$"), "failed: it was stopped after 200ms"},
	} {
		s := &sound{line: tt.line, most: time.Minute}
		if tt.name == "it does not end" {
			s.most = 200 * time.Millisecond
		}
		for n, want := range []string{tt.fails, ""} { // told once
			err := s.play()
			if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
				t.Errorf("%s, time %d: %v, want %q", tt.name, n+1, err, want)
			}
		}
	}
}

// One sound at a time; and none outlives the program.
func TestSoundIsOneAtATime(t *testing.T) {
	t.Setenv(hanging, "1")
	s := &sound{line: self(t, "-test.run=^TestHangingSound$"), most: time.Minute}
	ended := make(chan error)
	go func() { ended <- s.play() }()
	for !s.sounds() {
	}
	if err := s.play(); err != nil || !s.sounds() {
		t.Errorf("a second one beside it: %v", err)
	}
	s.stop()
	if err := <-ended; err != nil {
		t.Errorf("stopped by the program's end, it is told as a failure: %v", err)
	}
}

func (s *sound) sounds() bool {
	s.held.Lock()
	defer s.held.Unlock()
	return s.ends != nil
}

func TestSoundThatIsNotThere(t *testing.T) {
	err := (&sound{line: "no-such-bell-anywhere --loud"}).check()
	if !errors.As(err, new(callError)) || !strings.Contains(err.Error(), "no-such-bell-anywhere is no program") {
		t.Errorf("%v", err)
	}
	if err := (&sound{line: self(t, "--loud")}).check(); err != nil {
		t.Error(err)
	}
}
