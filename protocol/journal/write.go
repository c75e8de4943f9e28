package journal

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/gofrs/flock"

	"example.org/meniscus/protocol/run"
)

// A Writer appends events to one journal. It is not safe for concurrent use.
type Writer struct {
	file   file
	lock   *flock.Flock
	size   int64 // of the lines that are known to be whole
	ragged bool  // bytes may stand behind size that were never confirmed
	n      int
	last   link
}

// file is what a journal is written to; a test puts a failing one in its place.
type file interface {
	Write(p []byte) (int, error)
	Sync() error
	Truncate(size int64) error
	Close() error
}

// Create begins a journal with its first event; the folder is made if it is not there, and the file must not be.
func Create(path string, first run.Event) (*Writer, error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, err
	}
	lock, err := hold(path)
	if err != nil {
		return nil, err
	}
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY|os.O_APPEND, 0o600)
	if err != nil {
		release(lock)
		return nil, err
	}
	w := &Writer{file: f, lock: lock, last: origin}
	if err := errors.Join(w.Append(first), syncFolder(filepath.Dir(path))); err != nil {
		w.Close()
		return nil, err
	}
	return w, nil
}

// Open takes up a journal to go on with it, and returns what it holds. An unfinished last line is cut off with the next
// Append; what it said is in Content.Torn. A damaged journal is not opened for writing.
func Open(path string) (*Writer, *Content, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, nil, err
	}
	lock, err := hold(path)
	if err != nil {
		return nil, nil, err
	}
	c, err := Read(path)
	if err != nil {
		release(lock)
		return nil, c, err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
	if err != nil {
		release(lock)
		return nil, c, err
	}
	return &Writer{file: f, lock: lock, size: c.size, ragged: c.Torn != "", n: len(c.Events), last: c.last}, c, nil
}

// Append writes an event and returns when it is on disk. After an error nothing of the event counts, and the same event
// may be appended again.
func (w *Writer) Append(e run.Event) error {
	if e.N != w.n+1 {
		return fmt.Errorf("event %d follows event %d: want event %d", e.N, w.n, w.n+1)
	}
	line, after, err := encode(e, w.last)
	if err != nil {
		return err
	}
	if len(line) > maxLine {
		return fmt.Errorf("event %d is longer than %d bytes", e.N, maxLine)
	}
	if w.ragged {
		if err := w.file.Truncate(w.size); err != nil {
			return err
		}
		w.ragged = false
	}
	if _, err := w.file.Write(line); err != nil {
		w.ragged = true
		return err
	}
	if err := w.file.Sync(); err != nil {
		w.ragged = true
		return err
	}
	w.n, w.last, w.size = e.N, after, w.size+int64(len(line))
	return nil
}

// Hash returns the chain value of the last line.
func (w *Writer) Hash() string { return string(w.last[:]) }

// Close lets go of the journal; another program may take it up then.
func (w *Writer) Close() error {
	return errors.Join(w.file.Close(), release(w.lock))
}

// hold takes the run's lock, which vanishes with this process; a run that is held is a *HeldError.
func hold(path string) (*flock.Flock, error) {
	lock := flock.New(path+".lock", flock.SetPermissions(0o600))
	ok, err := lock.TryLock()
	if err != nil {
		return nil, err
	}
	if !ok {
		return nil, &HeldError{path}
	}
	return lock, nil
}

// release lets the lock go. Its file stays: to remove it would let two programs hold two files of the same name.
func release(lock *flock.Flock) error { return lock.Unlock() }

// syncFolder makes a new file's entry in its folder durable, where the platform can.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, fs.ErrInvalid) && !errors.Is(err, errors.ErrUnsupported) {
		return ignoreOnWindows(err)
	}
	return nil
}
