package journal

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// A disk is where journals lie. The program's is onDisk; a test puts one in its place that fails when it is told to.
type disk interface {
	makeFolder(dir string) error // with its own entry durable
	syncFolder(dir string) error // makes the entries of the files in it durable
	hold(path string) (io.Closer, error)
	create(path string) (file, error) // which must not be there
	open(path string) (file, error)
	remove(path string) error
	leaveWord(path, to string) // beside the journal at path, which is held: it goes on in to
}

// A file is what a journal is written to, always at its end.
type file interface {
	io.Writer
	io.ReaderAt
	Sync() error
	Truncate(size int64) error
	Close() error
	// standing tells the file's size; errRemoved when its name does not lead to it any more.
	standing() (size int64, err error)
}

type onDisk struct{}

// makeFolder makes dir and what is missing above it, each for this user alone.
func (d onDisk) makeFolder(dir string) error {
	if info, err := os.Stat(dir); err == nil {
		if info.IsDir() {
			return nil
		}
		return &fs.PathError{Op: "mkdir", Path: dir, Err: errors.New("it is a file, a folder is wanted")}
	}
	above := filepath.Dir(dir)
	if above == dir {
		return &fs.PathError{Op: "mkdir", Path: dir, Err: fs.ErrNotExist}
	}
	if err := d.makeFolder(above); err != nil {
		return err
	}
	if err := os.Mkdir(dir, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return d.syncFolder(above)
}

func (onDisk) syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return ignoreOnWindows(err)
	}
	defer f.Close()
	if err := f.Sync(); err != nil && !errors.Is(err, fs.ErrInvalid) && !errors.Is(err, errors.ErrUnsupported) {
		return ignoreOnWindows(err)
	}
	return nil
}

func (onDisk) hold(path string) (io.Closer, error) { return hold(path) }

func (onDisk) create(path string) (file, error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_RDWR|os.O_APPEND, 0o600)
	return named{f, path}, err
}

func (onDisk) open(path string) (file, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_APPEND, 0)
	return named{f, path}, err
}

func (onDisk) remove(path string) error { return os.Remove(path) }

// leaveWord writes into the lock's file, which is there already: a full disk still takes that.
func (onDisk) leaveWord(path, to string) { sign(lockOf(path), to) }

// named is a file that knows its name.
type named struct {
	*os.File
	path string
}

func (f named) standing() (int64, error) {
	ours, err := f.Stat()
	if err != nil {
		return 0, err
	}
	found, err := os.Stat(f.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return 0, errRemoved
	case err != nil:
		return 0, err
	case !os.SameFile(ours, found):
		return 0, errChanged
	}
	return ours.Size(), nil
}
