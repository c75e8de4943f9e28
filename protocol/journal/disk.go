package journal

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"example.org/meniscus/protocol/regular"
)

// A disk is where journals lie. The program's is onDisk; a test puts one in its place that fails when it is told to.
type disk interface {
	makeFolder(dir string) error      // with its own entry durable
	syncFolder(dir string) error      // makes the entries of the files in it durable
	create(path string) (file, error) // which must not be there
	open(path string) (file, error)
	remove(path string) error
	leaveWord(path, to string) // beside the journal at path: it goes on in to
}

// A file is what a journal is written to, always at its end.
type file interface {
	io.Writer
	io.ReaderAt
	Sync() error
	Truncate(size int64) error
	Close() error
	lock() (bool, error) // for as long as the file is open; false: another program has it
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

func (onDisk) create(path string) (file, error) {
	f, err := regular.CreateOwn(path)
	if err == nil {
		forgetWord(path)
	}
	return named{f, path}, err
}

func (onDisk) open(path string) (file, error) {
	f, err := regular.OpenOwn(path, os.O_RDWR|os.O_APPEND)
	return named{f, path}, err
}

func (onDisk) remove(path string) error { return os.Remove(path) }

// named is a file that knows its name.
type named struct {
	*os.File
	path string
}

func (f named) lock() (bool, error) { return regular.Lock(f.File) }

func (f named) standing() (int64, error) {
	ours, err := f.Stat()
	if err != nil {
		return 0, err
	}
	found, err := os.Lstat(f.path)
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
