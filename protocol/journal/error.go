package journal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"syscall"
	"time"
)

// Damage is how a journal differs from what was written, as far as its chain tells.
type Damage uint8

// The kinds of damage.
const (
	Unreadable Damage = iota // no line of a journal, or a file that cannot be read further
	Altered                  // a line of the right number whose text or checksum was changed
	Removed                  // lines are missing
	Inserted                 // a line stands here that is not part of the chain
	Moved                    // lines stand in another order
)

// A DamageError says at which line a journal stops being what was written.
type DamageError struct {
	File string
	Line int
	Kind Damage
	Msg  string
}

func (e *DamageError) Error() string {
	before := "no line before it"
	switch {
	case e.Line == 2:
		before = "the line before it is intact"
	case e.Line > 2:
		before = fmt.Sprintf("the %d lines before it are intact", e.Line-1)
	}
	return fmt.Sprintf("%s:%d: %s; %s", e.File, e.Line, e.Msg, before)
}

// A NewerError says that a later version of the program wrote the journal.
type NewerError struct {
	File   string
	Format int
}

func (e *NewerError) Error() string {
	return fmt.Sprintf("%s: written in format %d, newer than format %d that this program reads: use a newer meniscus", e.File, e.Format, Format)
}

// A HeldError says that another program writes the journal.
type HeldError struct {
	File string
	Last time.Time // of its last line, UTC; zero when that is not known
}

func (e *HeldError) Error() string {
	return fmt.Sprintf("%s: %s at this run: leave it there, or look at its summary meanwhile", e.File, e.Who())
}

// Who names the holder, with its verb: "another meniscus is".
func (e *HeldError) Who() string {
	if e.Last.IsZero() {
		return "another meniscus is"
	}
	return fmt.Sprintf("another meniscus (its last line is of %s UTC) is", e.Last.UTC().Format("2006-01-02 15:04:05"))
}

// A SaveError says why something could not be written to a journal. Nothing of it counts.
type SaveError struct {
	File string
	Err  error
}

func (e *SaveError) Error() string { return e.File + ": " + e.Reason() }

// Reason says what the disk has, without the file's name.
func (e *SaveError) Reason() string { return reason(e.Err) }

func (e *SaveError) Unwrap() error { return e.Err }

// What can happen to a journal's file while a run goes on, besides what the system reports.
var (
	errRemoved = errors.New("the file or its folder was removed while the run went on")
	errChanged = errors.New("another program has changed the file while the run went on")
)

// reason says in the operator's words what the system reports.
func reason(err error) string {
	for _, known := range []struct {
		err error
		say string
	}{
		{syscall.ENOSPC, "the disk is full"},
		{diskFull, "the disk is full"},
		{syscall.EDQUOT, "this user's share of the disk is used up"},
		{syscall.EIO, "the disk reports a fault"},
		{syscall.EROFS, "the disk is read-only"},
		{syscall.ENODEV, "the disk is not there any more"},
		{syscall.ENXIO, "the disk is not there any more"},
		{io.ErrShortWrite, "the disk took only a part of it"},
		{fs.ErrPermission, "this user may not write there"},
		{fs.ErrExist, "there is a file of that name already"},
		{fs.ErrNotExist, "the folder is not there"},
	} {
		if errors.Is(err, known.err) {
			return known.say
		}
	}
	var pe *fs.PathError
	if errors.As(err, &pe) {
		err = pe.Err
	}
	return err.Error()
}
