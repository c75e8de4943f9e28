package command_test

import (
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// watched is how long an idle program is looked at: three of its seconds.
const watched = 3 * time.Second

// processor is the processor time that a process has taken, all its threads together, in user and in system mode. Linux
// gives every process such a clock: its number is the complement of the process id, three bits up, and 2 for "time
// on the processor" (clock_getcpuclockid in the GNU C library, sysdeps/unix/sysv/linux/clock_getcpuclockid.c; from memory).
func processor(b *testing.B, pid int) time.Duration {
	b.Helper()
	var t unix.Timespec
	if err := unix.ClockGettime(int32(^pid<<3|2), &t); err != nil {
		b.Fatal(err)
	}
	return time.Duration(t.Nano())
}

// BenchmarkIdle is the processor time that the bench takes in a second in which nobody touches it and four clocks run.
// Beside it, bare-cpu-ms/s is that of a program that counts seconds, watched at the same time, and times-bare the ratio.
// The goal is at most 1.5. It watches once, whatever b.N.
func BenchmarkIdle(b *testing.B) {
	x, y := fourWaiting(b), bareInTerminal(b)
	<-time.After(time.Second) // until what the start left behind is done
	begun := time.Now()
	ours, bare := processor(b, x.cmd.Process.Pid), processor(b, y.cmd.Process.Pid)
	b.ResetTimer()
	<-time.After(watched)
	ours, bare = processor(b, x.cmd.Process.Pid)-ours, processor(b, y.cmd.Process.Pid)-bare
	wall := time.Since(begun).Seconds()
	b.ReportMetric(1000*ours.Seconds()/wall, "cpu-ms/s")
	b.ReportMetric(1000*bare.Seconds()/wall, "bare-cpu-ms/s")
	b.ReportMetric(float64(ours)/float64(bare), "times-bare")
	b.ReportMetric(0, "ns/op") // it would tell how long was watched
}
