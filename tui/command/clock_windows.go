package command

import (
	"time"

	"golang.org/x/sys/windows"
)

// upTime is the time since the machine was started, with the time that it slept, in steps of some 16 ms.
func upTime() (time.Duration, bool) { return windows.DurationSinceBoot(), true }

// This system gives its starts no names: a restart of the machine is told by a shorter time since the start, and after
// a restart of the program the wall clock tells how long it was away.
const bootName = ""
