package journal

import "syscall"

// diskFull is what the system says besides syscall.ENOSPC: ERROR_DISK_FULL of the Windows system error codes.
const diskFull = syscall.Errno(112)

// removesOpen: a file that is open cannot be removed.
const removesOpen = false

// ignoreOnWindows: a folder cannot be flushed there; NTFS journals the entry itself.
func ignoreOnWindows(error) error { return nil }
