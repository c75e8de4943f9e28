package command

import (
	"time"

	"golang.org/x/sys/unix"
)

// upTime is the time since the machine was started, with the time that it slept: on this system the clock of that name
// goes on through sleep, while the one that time.Now carries does not.
func upTime() (time.Duration, bool) {
	var t unix.Timespec
	if err := unix.ClockGettime(unix.CLOCK_MONOTONIC, &t); err != nil {
		return 0, false
	}
	return time.Duration(t.Nano()), true
}

// bootName is another one after each start of the machine; "" where the system does not tell.
var bootName = func() string {
	id, err := unix.Sysctl("kern.bootsessionuuid")
	if err != nil {
		return ""
	}
	return id
}()
