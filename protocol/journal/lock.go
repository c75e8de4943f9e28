package journal

import (
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"github.com/gofrs/flock"
)

// holder is what stands in a lock's file, from its second byte on: where a lock keeps readers out, it is of the first.
type holder struct {
	PID   int    `json:"pid"`
	Host  string `json:"host"`
	Moved string `json:"moved,omitempty"` // where the journal goes on, once it was moved
}

const holderAt = 1

// mostHolder bounds what is read of a lock's file.
const mostHolder = 10_000

// A hold on a run vanishes with this process, however it ends.
type holding struct{ lock *flock.Flock }

// Close lets go and takes the lock's file away, unless that tells where the journal went. It is removed while it is held, where
// a file that is open can be: whoever opened it before and takes the lock then finds that it is no longer there, and begins
// anew.
func (h holding) Close() error {
	name := h.lock.Path()
	by, _ := signed(name)
	remove := by.Moved == "" && stands(h.lock)
	if remove && removesOpen {
		_ = os.Remove(name)
	}
	err := h.lock.Unlock()
	if remove && !removesOpen {
		_ = os.Remove(name) // fails when another has it open by now
	}
	return err
}

// stands reports whether the lock's name still leads to the file that is locked.
func stands(lock *flock.Flock) bool {
	ours, err := lock.Stat()
	if err != nil {
		return false
	}
	found, err := os.Stat(lock.Path())
	return err == nil && os.SameFile(ours, found)
}

// mostTries is how often a lock is taken anew that somebody let go of and removed in that moment.
const mostTries = 100

// take takes the lock on the file that its name leads to.
func take(name string) (lock *flock.Flock, ok bool, err error) {
	for range mostTries {
		lock = flock.New(name, flock.SetPermissions(0o600))
		if ok, err = lock.TryLock(); err != nil || !ok || stands(lock) {
			return lock, ok, err
		}
		_ = lock.Unlock()
	}
	return lock, false, nil
}

// hold takes the lock of the journal at path; a *HeldError says who has it.
func hold(path string) (io.Closer, error) {
	name := lockOf(path)
	lock, ok, err := take(name)
	switch {
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return nil, &SaveError{path, err}
	case err != nil:
		return nil, &SaveError{name, err}
	case !ok:
		return nil, heldBy(path, name)
	}
	sign(name, "")
	return holding{lock}, nil
}

// sign writes who holds the lock, and where the journal went. That it fails changes nothing.
func sign(name, moved string) {
	host, _ := os.Hostname()
	text, err := json.Marshal(holder{os.Getpid(), host, moved})
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
	by, ok := signed(name)
	if info, err := os.Stat(name); err == nil && ok {
		e.PID, e.Host, e.Since = by.PID, by.Host, info.ModTime().UTC()
	}
	return e
}

func signed(name string) (by holder, ok bool) {
	f, err := os.Open(name)
	if err != nil {
		return by, false
	}
	defer f.Close()
	text, err := io.ReadAll(io.NewSectionReader(f, holderAt, mostHolder))
	return by, err == nil && json.Unmarshal(text, &by) == nil && by.PID > 0
}

// MovedTo returns where the journal at path was moved by MoveTo, "" if it was not, or was taken up again since. Only the
// chain proves it: Verify of the journal there finds the last line of this one.
func MovedTo(path string) string {
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	}
	by, _ := signed(lockOf(path))
	return by.Moved
}

func lockOf(path string) string { return path + ".lock" }
