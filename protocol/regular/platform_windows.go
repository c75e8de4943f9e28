package regular

import (
	"errors"
	"io/fs"
	"os"

	"golang.org/x/sys/windows"
)

const (
	noFollow = windows.FILE_FLAG_OPEN_REPARSE_POINT
	noWait   = 0
)

// namesOf counts the names that a file has in its file system.
func namesOf(f *os.File) (uint64, error) {
	var info windows.ByHandleFileInformation
	err := windows.GetFileInformationByHandle(windows.Handle(f.Fd()), &info)
	return uint64(info.NumberOfLinks), err
}

// Lock takes the lock of the file itself, for as long as it is open; false when another program has it. Nothing is
// written. A lock keeps others from reading what it covers, so it covers one byte far behind the end.
func Lock(f *os.File) (bool, error) {
	behind := &windows.Overlapped{OffsetHigh: 1 << 30}
	err := windows.LockFileEx(windows.Handle(f.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, behind)
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return false, nil
	}
	return err == nil, err
}

// OfAnother reports whether a file is another user's; there it is not asked.
func OfAnother(fs.FileInfo) bool { return false }
