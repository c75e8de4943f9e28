//go:build !linux && !darwin && !windows

package command

import "time"

// upTime is not known here: sleep cannot be told from a wall clock that was set forward, and a restart of the machine
// not from one of the program. The run's record says so where it matters.
func upTime() (time.Duration, bool) { return 0, false }

const bootName = ""
