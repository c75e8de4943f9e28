package command

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"example.org/meniscus/protocol/journal"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
)

// leastHash is how many digits of a hash can be looked for: a summary prints as many, and fewer are forged too easily.
const leastHash = 16

// verifyCommand tells whether journals are whole and untouched.
func (e *env) verifyCommand() *cobra.Command {
	var hash string
	c := &cobra.Command{
		Use:   "verify RUN...",
		Short: "Tell whether the journal of a run is whole and untouched",
		Long: "Holds every line of a journal against the chain of checksums that runs through it, and tells what was done to it if" +
			" they do not fit: lines altered, removed, put in or moved, or a last line that is not finished. The exit code is 1 then." +
			" A file that has the name of one run and holds another is told too: a run was copied over it. " + aboutRun +
			"; nothing is written, and a run that is open elsewhere can be verified too.\n" +
			"The chain cannot tell that whole lines are missing at the end, nor that all of it was written anew. A summary carries" +
			" the hash of the last line it was made from: --hash looks for that line, so that a printed summary vouches for the" +
			" journal up to there.",
		Example:           "  meniscus verify 2026-03-02-0830-ester-batch\n  meniscus verify ./batch.journal --hash 585e6c8e7d745241",
		Args:              between(1, -1, "a run"),
		ValidArgsFunction: e.completeRun,
		RunE: func(c *cobra.Command, args []string) error {
			hash, err := printedHash(hash, c.Flags().Changed("hash"), len(args))
			if err != nil {
				return err
			}
			whole := true
			for _, name := range args {
				whole = e.verify(name, hash) && whole
			}
			if !whole {
				return errors.New("") // it is told already
			}
			return nil
		},
	}
	c.Flags().StringVar(&hash, "hash", "", "look for the line whose hash begins with `HEX`, as a summary prints it")
	return c
}

// printedHash reads a hash as it was printed; blanks between its digits do not matter.
func printedHash(typed string, asked bool, runs int) (string, error) {
	hash := strings.ToLower(strings.Join(strings.Fields(typed), ""))
	switch {
	case !asked:
		return "", nil
	case runs > 1:
		return "", wrong("--hash belongs to one run, found %d; write one", runs)
	case strings.Trim(hash, "0123456789abcdef") != "" || len(hash) < leastHash || len(hash) > 64:
		return "", wrong("--hash is %q; write %d to 64 digits of 0 to 9 and a to f, as the summary prints them", typed, leastHash)
	}
	return hash, nil
}

// verify tells how one journal fares.
func (e *env) verify(name, hash string) bool {
	path, err := e.journalOf(name)
	if err != nil {
		e.remark("%v", err)
		return false
	}
	e.wentOn(path)
	r, err := journal.Verify(path, hash)
	var damage *journal.DamageError
	switch {
	case errors.As(err, &damage):
		e.remark("%v", err)
		return false
	case err != nil:
		e.remark("%v", told("journal", path, err))
		return false
	case r.Torn != "":
		e.remark("%s:%d: the last line is not finished: it is being written now, the program died while it wrote, or the file was"+
			" cut off; the %d before it are intact, up to hash %s. meniscus resume sets it aside", path, r.Lines+1, r.Lines, summary.ShortHash(r.Hash))
		return false
	case hash != "" && r.Printed == 0:
		e.remark("%s: whole in itself, but none of its %d lines has the hash %s: it is not the journal of that summary, or its end was"+
			" cut off, or it was written anew", path, r.Lines, hash)
		return false
	}
	if err := e.misnamed(path, r.Run); err != nil {
		e.remark("%v", err)
		return false
	}
	if err := folds(path); err != nil {
		e.remark("%s: whole, but no run: %v", path, err)
		return false
	}
	e.line("%s: whole, %d lines, %s; hash %s%s", path, r.Lines, closed(r), summary.ShortHash(r.Hash), vouched(r))
	return true
}

// folds tells why the lines of a journal, each in its place, make no run.
func folds(path string) error {
	content, err := journal.Read(path)
	if err == nil {
		_, err = run.Fold(content.Events)
	}
	return err
}

func closed(r journal.Report) string {
	if r.Ended {
		return "run " + r.Run + " is closed"
	}
	return "run " + r.Run + " is not closed yet"
}

// vouched says what a printed hash proves.
func vouched(r journal.Report) string {
	switch r.Printed {
	case 0:
		return ""
	case r.Lines:
		return ", as it was printed"
	}
	return fmt.Sprintf("; the hash that was printed is that of line %d: up to there nothing has changed, the %d behind it came later",
		r.Printed, r.Lines-r.Printed)
}
