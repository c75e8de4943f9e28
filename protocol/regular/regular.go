// Package regular opens files that somebody else may have put where they lie. What is no regular file is refused before
// it is opened and never waited for: a named pipe without a writer holds up whoever reads it, and a device has no end.
package regular

import (
	"errors"
	"io"
	"io/fs"
	"os"
)

// Open opens a file for reading. A link is followed: its path was named by the user.
func Open(path string) (*os.File, error) {
	return open(path, os.Stat, os.O_RDONLY|noWait)
}

// Read returns what is in the file that Open opens.
func Read(path string) ([]byte, error) {
	f, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(f)
}

// OpenOwn opens a file that the program itself keeps. No link is followed, and the file has no second name: what is
// written there lands in no file of somebody else's choice.
func OpenOwn(path string, flag int) (*os.File, error) {
	f, err := open(path, os.Lstat, flag|noFollow|noWait)
	if err != nil {
		return nil, err
	}
	if names, err := namesOf(f); err != nil || names > 1 {
		f.Close()
		if err == nil {
			err = errNames
		}
		return nil, &Refusal{path, err}
	}
	return f, nil
}

// CreateOwn makes a file for reading and appending. Nothing may have its name, not even a link that leads nowhere.
func CreateOwn(path string) (*os.File, error) {
	return os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_RDWR|os.O_APPEND, 0o600)
}

// open looks before it opens, since a device can be moved by opening it, and again at what it opened.
func open(path string, look func(string) (fs.FileInfo, error), flag int) (*os.File, error) {
	info, err := look(path)
	if err != nil {
		return nil, err
	}
	if err := plain(info.Mode()); err != nil {
		return nil, &Refusal{path, err}
	}
	f, err := os.OpenFile(path, flag, 0)
	if err != nil {
		return nil, err
	}
	if info, err = f.Stat(); err == nil {
		err = plain(info.Mode())
	}
	if err != nil {
		f.Close()
		return nil, &Refusal{path, err}
	}
	return f, nil
}

// A Refusal says why what lies at a path is not opened.
type Refusal struct {
	Path string
	Err  error
}

func (r *Refusal) Error() string { return r.Path + ": " + r.Err.Error() }

func (r *Refusal) Unwrap() error { return r.Err }

var errNames = errors.New("the file has a second name (a hard link), and what is written to one is written to both; make a copy" +
	" and name that")

// plain says what a file is that is no regular one.
func plain(m fs.FileMode) error {
	switch {
	case m.IsRegular():
		return nil
	case m.IsDir():
		return errors.New("it is a folder; name a file")
	case m&fs.ModeSymlink != 0:
		return errors.New("it is a link, and no link is followed here; name the file itself")
	case m&fs.ModeNamedPipe != 0:
		return errors.New("it is a pipe; name a file")
	case m&fs.ModeSocket != 0:
		return errors.New("it is a socket; name a file")
	}
	return errors.New("it is a device; name a file")
}
