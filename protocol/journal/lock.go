package journal

import (
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"syscall"

	"github.com/gofrs/flock"
)

// holder is what stands in a lock's file, from its second byte on: where a lock keeps readers out, it is of the first.
type holder struct {
	PID  int    `json:"pid"`
	Host string `json:"host"`
}

const holderAt = 1

// mostHolder bounds what is read of a lock's file.
const mostHolder = 1000

// A hold on a run vanishes with this process, however it ends.
type holding struct{ lock *flock.Flock }

// Close lets go. The lock's file stays: to remove it would let two programs hold two files of the same name.
func (h holding) Close() error { return h.lock.Unlock() }

// hold takes the lock of the journal at path; a *HeldError says who has it.
func hold(path string) (io.Closer, error) {
	name := path + ".lock"
	lock := flock.New(name, flock.SetPermissions(0o600))
	ok, err := lock.TryLock()
	switch {
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return nil, &SaveError{path, err}
	case err != nil:
		return nil, &SaveError{name, err}
	case !ok:
		return nil, heldBy(path, name)
	}
	sign(name)
	return holding{lock}, nil
}

// sign writes who holds the lock. It is only for people to read: that it fails changes nothing.
func sign(name string) {
	host, _ := os.Hostname()
	text, err := json.Marshal(holder{os.Getpid(), host})
	if err != nil {
		return
	}
	f, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return
	}
	defer f.Close()
	if f.Truncate(holderAt) == nil {
		_, _ = f.WriteAt(text, holderAt)
	}
}

// heldBy reads who signed the lock; its file was last written when the lock was taken.
func heldBy(path, name string) *HeldError {
	e := &HeldError{File: path}
	f, err := os.Open(name)
	if err != nil {
		return e
	}
	defer f.Close()
	var by holder
	text, err := io.ReadAll(io.NewSectionReader(f, holderAt, mostHolder))
	if err != nil || json.Unmarshal(text, &by) != nil || by.PID <= 0 {
		return e
	}
	if info, err := f.Stat(); err == nil {
		e.PID, e.Host, e.Since = by.PID, by.Host, info.ModTime().UTC()
	}
	return e
}
