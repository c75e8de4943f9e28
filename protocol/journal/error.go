package journal

import "fmt"

// A DamageError says at which line a journal stops being what was written.
type DamageError struct {
	File string
	Line int
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
type HeldError struct{ File string }

func (e *HeldError) Error() string {
	return fmt.Sprintf("%s: another meniscus is at this run: leave it there, or look at its summary meanwhile", e.File)
}
