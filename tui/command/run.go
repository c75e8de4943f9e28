package command

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
)

// runCommand starts a run at the bench.
func (e *env) runCommand() *cobra.Command {
	var cast cast
	c := &cobra.Command{
		Use:   "run PROTOCOL",
		Short: "Walk through a protocol at the bench",
		Long: "Walks through a protocol at the bench and keeps a journal of it. PROTOCOL is an id that ships, a file, or an id in your" +
			" own folder, which wins over one that ships.\nSeveral vessels have a timetable: who begins when, made anew after each act from what really happened. --operators," +
			" --place and --break say what it counts with; --unplanned does without.\nWithout a terminal, or with --plain, the run goes line by line.",
		Example: "  meniscus run ester-batch --given oil_mass=100 --given cylinder_size=250\n" +
			"  meniscus run burn-test --vessels 2 --given A.fuel=ethanol --given B.fuel=ester\n" +
			"  meniscus run ester-batch --vary oil=rapeseed,coconut --vary planned_ratio=6,9\n" +
			"  meniscus run ester-batch --vessels 4 --place bath=3 --break 12:00-12:30\n" +
			"  meniscus run ./my-protocol.toml --plain",
		Args:              between(1, 1, "one protocol"),
		ValidArgsFunction: e.completeProtocol,
		RunE: func(c *cobra.Command, args []string) error {
			cast.asked = c.Flags().Changed("vessels")
			e.tellOwn(args[0])
			s, err := e.begin(args[0], cast)
			if err != nil {
				return err
			}
			return e.sit(s)
		},
	}
	cast.flags(c)
	cast.benchFlags(c)
	c.Flags().StringVar(&cast.unfit, "unfit", "", "begin though an amount does not fit what holds it, and say `WHY`")
	e.plainFlags(c)
	e.soundFlag(c)
	return c
}

// resumeCommand takes up a run that was left.
func (e *env) resumeCommand() *cobra.Command {
	c := &cobra.Command{
		Use:   "resume [RUN]",
		Short: "Go on with a run that was left",
		Long: "Goes on with a run that was left, with its clocks where they are by now. " + aboutRun + "; without it" +
			" the unfinished run that was worked on last is taken, a rehearsal only where there is no other. Where that one is" +
			" damaged, cannot be read or is of a newer version, none is taken.\nA run that is closed is shown with its summary," +
			" and notes and corrections can still be added. One whose journal was moved to another folder goes on there.",
		Example:           "  meniscus resume\n  meniscus resume 2026-03-02-0830-ester-batch",
		Args:              between(0, 1, "one run"),
		ValidArgsFunction: e.completeRun,
		RunE: func(_ *cobra.Command, args []string) error {
			path, err := e.wanted(args)
			if err != nil {
				return err
			}
			path, said, err := e.newest(path, len(args) == 1 && path == args[0])
			if err != nil {
				return err
			}
			if said != "" {
				e.remark("%s", said)
			}
			s, err := e.goOn(path)
			if err != nil {
				return err
			}
			return e.sit(s)
		},
	}
	e.plainFlags(c)
	e.soundFlag(c)
	return c
}

// wanted returns the journal of the run that is named, or of the unfinished one that was worked on last.
func (e *env) wanted(args []string) (string, error) {
	if len(args) == 1 {
		return e.journalOf(args[0])
	}
	if _, err := os.ReadDir(e.runs); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", told("folder of runs", e.runs, err)
	}
	id, err := e.lastWorkedOn()
	if err != nil {
		return "", err
	}
	return e.journalPath(id), nil
}

// sit shows the run in the face that fits, and closes its journal afterwards.
func (e *env) sit(s *sitting) (err error) {
	defer func() {
		if closing := s.close(); err == nil {
			err = closing
		}
	}()
	if e.look.plain || !e.terminal() {
		return e.sitPlain(s)
	}
	return e.sitAtBench(s)
}

// goOnLine is how the run is taken up again, as it is typed.
func (e *env) goOnLine(s *sitting) string { return e.call() + " resume " + e.runName(s) }

// runName names the run so that any command finds it.
func (e *env) runName(s *sitting) string { return e.nameOf(s.path) }

// nameOf names the run of a journal: its id, with the folder where that is another one.
func (e *env) nameOf(path string) string {
	id := strings.TrimSuffix(filepath.Base(path), ".journal")
	switch {
	case e.journalPath(id) != path:
		return quoted(path)
	case e.runs != defaultRuns():
		return id + " --runs " + quoted(e.runs)
	}
	return id
}

// quoted writes a word for a shell, in quotes only where it needs them.
func quoted(word string) string {
	if strings.ContainsAny(word, " \t\n'\"\\$&;|<>()*?[]#~`!") {
		return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
	}
	return word
}
