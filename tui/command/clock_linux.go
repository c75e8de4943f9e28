package command

import (
	"os"
	"strings"
	"time"

	"golang.org/x/sys/unix"
)

// upTime is the time since the machine was started, with the time that it slept. A virtual machine that was paused
// counts nothing meanwhile; its wall clock is set when it goes on, and that is told.
func upTime() (time.Duration, bool) {
	var t unix.Timespec
	if err := unix.ClockGettime(unix.CLOCK_BOOTTIME, &t); err != nil {
		return 0, false
	}
	return time.Duration(t.Nano()), true
}

// bootName is another one after each start of the machine; "" where the system does not tell.
var bootName = func() string {
	id, err := os.ReadFile("/proc/sys/kernel/random/boot_id")
	if err != nil || len(id) > 100 {
		return ""
	}
	return strings.TrimSpace(string(id))
}()
