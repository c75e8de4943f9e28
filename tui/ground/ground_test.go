package ground_test

import (
	"bytes"
	"os"
	"os/exec"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	_ "example.org/meniscus/tui/ground"
)

// TestOrder runs this test binary again with the runtime's own trace of package initialisation.
func TestOrder(t *testing.T) {
	_ = tea.Quit // the screen library is part of this binary
	const ours, theirs = "example.org/meniscus/tui/ground", "github.com/charmbracelet/bubbletea"
	cmd := exec.Command(os.Args[0], "-test.run=^$")
	cmd.Env = append(os.Environ(), "GODEBUG=inittrace=1")
	var trace bytes.Buffer
	cmd.Stderr = &trace
	if err := cmd.Run(); err != nil {
		t.Fatalf("the binary with a trace: %v\n%s", err, trace.String())
	}
	at := func(pkg string) int { return strings.Index(trace.String(), "init "+pkg+" @") }
	if at(ours) < 0 || at(theirs) < 0 || at(ours) > at(theirs) {
		t.Errorf("%s must be initialised before %s; the trace says:\n%s", ours, theirs, trace.String())
	}
}
