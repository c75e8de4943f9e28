//go:build !windows

package command

import (
	"io"
	"runtime"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/creack/pty"
)

// breaking is a screen that breaks down as soon as it is to do something.
type breaking struct{}

func (breaking) Init() tea.Cmd                       { return func() tea.Msg { return "now" } }
func (breaking) Update(tea.Msg) (tea.Model, tea.Cmd) { panic("the screen is broken on purpose") }
func (breaking) View() string                        { return "whole so far" }

// TestScreenBreaks: a screen that breaks down leaves the terminal as it was, and is told in a sentence.
func TestScreenBreaks(t *testing.T) {
	ours, theirs, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	shown := make(chan string)
	go func() {
		var b strings.Builder
		buf := make([]byte, 4096)
		for !strings.Contains(b.String(), "[end]") {
			n, err := ours.Read(buf)
			if err != nil {
				break
			}
			b.Write(buf[:n])
		}
		shown <- b.String()
	}()
	// The input is no terminal: after a breakdown the library does not wait for its reader of one, which the race detector
	// sees.
	keys, hold := io.Pipe()
	defer hold.Close()
	e := &env{in: keys, out: theirs}
	err = e.screen(breaking{}, nil)
	if want := "the screen broke down; everything that it had confirmed is kept"; err == nil || err.Error() != want {
		t.Errorf("error %v, want %s", err, want)
	}
	if _, err := theirs.WriteString("[end]"); err != nil {
		t.Fatal(err)
	}
	if got := <-shown; !strings.Contains(got, "\x1b[?1049l") {
		t.Errorf("the terminal's own screen did not come back: %q", got)
	}
	runtime.KeepAlive(theirs) // stays open: the library may still be asking for the terminal's size
	ours.Close()
}
