//go:build !windows

package command_test

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/tui/command"
)

// between is the time between two frames of the library: it draws 60 a second at most.
const between = time.Second / 60

// fourWaiting takes up a run in which four vessels wait, each with its clock running.
func fourWaiting(b *testing.B) *terminal {
	b.Helper()
	dir := b.TempDir()
	file, runs := filepath.Join(dir, "bath.toml"), filepath.Join(dir, "runs")
	if err := os.WriteFile(file, []byte(command.Bath), 0o600); err != nil {
		b.Fatal(err)
	}
	self, err := os.Executable()
	if err != nil {
		b.Fatal(err)
	}
	begin := exec.Command(self, "run", file, "--plain", "--vessels", "4", "--runs", runs)
	begin.Args[0], begin.Stdin = "meniscus", strings.NewReader("\n\nB\n\nC\n\nD\n\nq\n")
	out, err := begin.CombinedOutput()
	if err != nil || !strings.Contains(string(out), "Vessel D, stage 1 of 1: Watch, waiting.") {
		b.Fatalf("four vessels were not begun: %v: %s", err, out)
	}
	x := inTerminal(b, nil, "resume", "--runs", runs)
	x.until("end the wait")
	return x
}

// bareInTerminal starts the program to measure against.
func bareInTerminal(b *testing.B) *terminal {
	b.Helper()
	x := programInTerminal(b, "bare", nil)
	x.until("typed › nothing")
	return x
}

// typed is the time from a digit that is written to the terminal to the frame that shows it; the digit is erased again.
// The n-th key comes at a moment of its own between two frames, all of them evenly spread, as an operator's are: one that
// followed right on a frame would always wait for the next, and hide what the program takes.
func (x *terminal) typed(n int, shown, erased string) time.Duration {
	x.t.Helper()
	_, part := math.Modf(float64(n) * math.Phi)
	<-time.After(time.Duration(part * float64(between)))
	begun := time.Now()
	x.press("7")
	x.until(shown)
	took := time.Since(begun)
	x.press("\x7f")
	x.until(erased)
	return took
}

// BenchmarkKeyToFrame is the time from a digit that is written to the bench's terminal, with four vessels waiting, to the
// frame that shows it. Beside it, bare-ns/op is that of a program that does next to nothing, and times-bare the ratio; the
// two take turns, so that the machine's moods fall on both. The goal is at most 1.5.
func BenchmarkKeyToFrame(b *testing.B) {
	x, y := fourWaiting(b), bareInTerminal(b)
	var ours, bare time.Duration
	b.ResetTimer()
	for i := range b.N {
		ours += x.typed(i+1, "= 7 °C", "end the wait")
		bare += y.typed(i+1, "› 7", "› nothing")
	}
	b.ReportMetric(float64(ours)/float64(b.N), "ns/op")
	b.ReportMetric(float64(bare)/float64(b.N), "bare-ns/op")
	b.ReportMetric(float64(ours)/float64(bare), "times-bare")
}
