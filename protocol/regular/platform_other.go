//go:build !windows

package regular

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

const (
	noFollow = syscall.O_NOFOLLOW
	noWait   = syscall.O_NONBLOCK
)

// namesOf counts the names that a file has in its file system.
func namesOf(f *os.File) (uint64, error) {
	info, err := f.Stat()
	if err != nil {
		return 0, err
	}
	if s, ok := info.Sys().(*syscall.Stat_t); ok {
		return uint64(s.Nlink), nil
	}
	return 1, nil
}

// Lock takes the lock of the file itself, for as long as it is open; false when another program has it. Nothing is
// written.
func Lock(f *os.File) (bool, error) {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return false, nil
	}
	return err == nil, err
}

// OfAnother reports whether a file is another user's.
func OfAnother(info fs.FileInfo) bool {
	s, ok := info.Sys().(*syscall.Stat_t)
	return ok && int(s.Uid) != os.Getuid()
}
