package command

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"time"

	"example.org/meniscus/protocol/journal"
	"example.org/meniscus/tui/rehearsal"
)

// hash is the chain value of the journal's last line; "" for a run that is kept in memory alone.
func (s *sitting) hash() string {
	if s == nil || s.journal == nil {
		return ""
	}
	return s.journal.Hash()
}

// mover lets the run's journal go on in another folder.
func (s *sitting) mover() func(folder string) (from, to string, err error) {
	if s == nil || s.journal == nil {
		return nil
	}
	return func(folder string) (from, to string, err error) {
		if from, err = filepath.Abs(s.journal.Path()); err != nil {
			return "", "", err
		}
		if err := s.journal.MoveTo(filepath.Join(folder, filepath.Base(s.path))); err != nil {
			return "", "", err
		}
		s.path = s.journal.Path()
		return from, s.path, nil
	}
}

// newest returns the journal in which the run of the one at path goes on, and what is to be told of it: path itself,
// unless it was moved, once or more. One that cannot be found is an error, unless the file itself was named and not the
// run.
func (e *env) newest(path string, named bool) (newest, said string, err error) {
	newest = path
	for range mostMoves {
		to := journal.MovedTo(newest)
		switch {
		case to == "":
			return newest, said, nil
		case goesOn(newest, to):
			newest, said = to, fmt.Sprintf("The run went on in %s, and goes on there. The older file %s stays as far as it came.", to, path)
			continue
		case named:
			return newest, fmt.Sprintf("The run went on in %s, which is not there or does not fit. The older file %s is taken; what was entered since"+
				" is not in it.", to, newest), nil
		}
		return "", "", fmt.Errorf("the run went on in %s, which is not there or does not fit. Put it back, or go on with the older file, without what"+
			" was entered since: meniscus resume %s", to, quoted(e.asFile(newest)))
	}
	return newest, said, nil
}

// mostMoves bounds how far a run is followed.
const mostMoves = 100

// goesOn tells whether the journal at to holds the whole of the one at from.
func goesOn(from, to string) bool {
	old, err := journal.Read(from)
	if err != nil {
		return false
	}
	there, err := journal.Verify(to, old.Hash)
	return err == nil && there.Printed > 0
}

// asFile writes a path so that it is taken for a file and not for the name of a run.
func (e *env) asFile(path string) string {
	if abs, err := filepath.Abs(path); err == nil {
		return abs
	}
	return path
}

// wentOn tells, beside what is read from a journal, that its run goes on in another one.
func (e *env) wentOn(path string) {
	if to := journal.MovedTo(path); to != "" {
		e.remark("meniscus: this run went on in %s; this older file %s ends where it was moved", to, path)
	}
}

// misnamed tells that a journal holds another run than the name of its file says. That is an error where the name is
// one that runs are given: the run that was there is gone. A file that somebody named by hand is taken all the same.
func (e *env) misnamed(path, run string) error {
	name := strings.TrimSuffix(filepath.Base(path), ".journal")
	_, err := time.Parse(minute, name[:min(len(name), len(minute))])
	switch {
	case name == run:
		return nil
	case err == nil || rehearsal.IsName(name):
		return fmt.Errorf("%s holds the run %s and not %s: it was copied over that one. Put the journal of %s back, and keep this one as %s.journal",
			path, run, name, name, run)
	}
	e.remark("meniscus: %s holds the run %s, under another name", path, run)
	return nil
}

// notOpened says why a run cannot be gone on with, and that it can be looked at.
func (e *env) notOpened(path string, err error) error {
	var held *journal.HeldError
	var save *journal.SaveError
	var damage *journal.DamageError
	look := e.call() + " summary " + e.nameOf(path)
	switch {
	case errors.As(err, &held):
		return fmt.Errorf("%s: %s at this run; go on there, or look at it meanwhile with %s", path, held.Who(), look)
	case errors.As(err, &save), errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%w; it can still be looked at, with %s", err, look)
	case errors.As(err, &damage):
		return fmt.Errorf("%w; nothing is written to it, and %s verify %s tells more", err, e.call(), e.nameOf(path))
	}
	return err
}
