package command

import (
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"example.org/meniscus/protocol/comparison"
	"example.org/meniscus/protocol/journal"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui/print"
)

var compareFormats = []string{"text", "csv", "json"}

const aboutCompare = "Sets the vessels of one run or several side by side, by what was varied, and tells which results differ by more than they" +
	" scatter. All runs are of one protocol, and nothing is written. " + aboutRun + ".\n\n" +
	"A vessel is one replicate: one batch, one burn. Several readings in it are not. It counts when it is through to its end, in a run that" +
	" goes on or was given up as well. Vessels with the same values of the varied givens are a group; --by takes one given, or several, and" +
	" leaves the others aside. For each result of the vessels it tells each group's mean, standard deviation s and 95 % interval; of two groups" +
	" the difference by Welch's test, of more an analysis of variance, of a full plan at two levels the effects. Where every group" +
	" was put into several runs, or on several days, the run or the day is a block as well: what its vessels have in common is taken out of" +
	" the scatter. Groups may differ in size; a test needs three degrees of freedom for the scatter. An outlier is named and stays in.\n\n" +
	"The results that have a check are compared, or all where none has one; --result takes others. Results of a whole run are one number" +
	" and are not compared. The more is tested, the more differs by chance: the page says how many tests it made."

// compareCommand sets vessels side by side.
func (e *env) compareCommand() *cobra.Command {
	var o comparison.Options
	var format string
	c := &cobra.Command{
		Use:   "compare RUN...",
		Short: "Set vessels side by side, by what was varied",
		Long:  aboutCompare,
		Example: "  meniscus compare 2026-03-02-0830-burn-test --result specific_energy\n" +
			"  meniscus compare monday.journal tuesday.journal --by oil\n" +
			"  meniscus compare monday.journal tuesday.journal --format csv > burns.csv",
		Args:              between(1, -1, "a run"),
		ValidArgsFunction: e.completeRuns,
		RunE: func(_ *cobra.Command, args []string) error {
			if !slices.Contains(compareFormats, format) {
				return wrong("--format is %q; %s", format, nearest(format, compareFormats))
			}
			if len(args) > comparison.MaxRuns {
				return wrong("%d runs are named, and up to %d can be compared; name fewer", len(args), comparison.MaxRuns)
			}
			return e.compare(args, o, format)
		},
	}
	f := c.Flags()
	f.StringArrayVar(&o.By, "by", nil, "group by the given `ID`, and not by all that were varied; may be repeated")
	f.StringArrayVar(&o.Results, "result", nil, "compare the result `ID`; may be repeated")
	f.StringVar(&format, "format", "text", "write it as `FORM`: text, csv (a row for each vessel and result) or json")
	_ = c.RegisterFlagCompletionFunc("format", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return compareFormats, cobra.ShellCompDirectiveNoFileComp
	})
	return c
}

// completeRuns offers the runs that are not named yet.
func (e *env) completeRuns(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	left := slices.DeleteFunc(e.runIDs(), func(id string) bool { return slices.Contains(args, id) })
	return left, cobra.ShellCompDirectiveDefault
}

func (e *env) compare(names []string, o comparison.Options, format string) error {
	var sources []comparison.Source
	for _, name := range names {
		src, err := e.source(name)
		if err != nil {
			return err
		}
		sources = append(sources, src)
	}
	c, err := comparison.Of(sources, o)
	var unknown *comparison.UnknownError
	switch {
	case errors.As(err, &unknown):
		return wrong("these runs have no %s %q; %s", unknown.What, unknown.ID, nearest(unknown.ID, unknown.Known))
	case err != nil:
		return err
	}
	switch format {
	case "csv":
		return print.CompareCSV(e.out, c)
	case "json":
		return print.CompareJSON(e.out, c)
	}
	return print.CompareText(e.out, c, print.Options{Ascii: e.look.ascii})
}

// source reads the run that a name stands for.
func (e *env) source(name string) (comparison.Source, error) {
	path, err := e.journalOf(name)
	if err != nil {
		return comparison.Source{}, err
	}
	content, err := journal.Read(path)
	if err != nil {
		return comparison.Source{}, err
	}
	e.wentOn(path)
	if content.Torn != "" {
		e.remark("meniscus: the last line of %s was never finished and is left out", path)
	}
	state, err := run.Fold(content.Events)
	if err != nil {
		return comparison.Source{}, fmt.Errorf("%s: %w", path, err)
	}
	if err := e.misnamed(path, state.ID); err != nil {
		return comparison.Source{}, err
	}
	return comparison.Source{Name: name, State: state, Hash: content.Hash}, nil
}
