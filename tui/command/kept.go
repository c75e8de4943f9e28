package command

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"example.org/meniscus/protocol/journal"
)

// hash is the chain value of the journal's last line; "" for a run that is kept in memory alone.
func (s *sitting) hash() string {
	if s == nil || s.journal == nil {
		return ""
	}
	return s.journal.Hash()
}

// mover lets the run's journal go on in another folder.
func (s *sitting) mover() func(folder string) (string, error) {
	if s == nil || s.journal == nil {
		return nil
	}
	return func(folder string) (string, error) {
		if home, err := os.UserHomeDir(); err == nil && strings.HasPrefix(folder, "~/") {
			folder = filepath.Join(home, folder[2:])
		}
		folder, err := filepath.Abs(folder)
		if err != nil {
			return "", err
		}
		if err := s.journal.MoveTo(filepath.Join(folder, filepath.Base(s.path))); err != nil {
			return "", err
		}
		s.path = s.journal.Path()
		return s.path, nil
	}
}

// notOpened says why a run cannot be gone on with, and that it can be looked at.
func (e *env) notOpened(path string, err error) error {
	var held *journal.HeldError
	var save *journal.SaveError
	var damage *journal.DamageError
	look := "meniscus summary " + e.nameOf(path)
	switch {
	case errors.As(err, &held):
		return fmt.Errorf("%s: %s at this run; go on there, or look at it meanwhile with %s", path, held.Who(), look)
	case errors.As(err, &save), errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%w; it can still be looked at, with %s", err, look)
	case errors.As(err, &damage):
		return fmt.Errorf("%w; nothing is written to it, and meniscus verify %s tells more", err, e.nameOf(path))
	}
	return err
}
