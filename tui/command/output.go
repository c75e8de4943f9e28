package command

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/meniscus/calc/montecarlo"
	"example.org/meniscus/protocol/journal"
	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/regular"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/tui/print"
)

const aboutTrials = "With --trials each uncertain result is worked out again and again from sampled readings and givens (JCGM 101), and" +
	" the summary says where that gives an interval or a mean that is off by more than a tenth of ±; the other results share one line. What a table, a fit or the scatter of repeated readings adds" +
	" inside a calculation enters by its derivative. A figure made of scatter itself, such as a range or a standard" +
	" deviation, comes out larger by trials: sampled errors join those that the readings have."

var formats = []string{"text", "markdown", "html", "csv", "json"}

// form is how a summary is written.
type form struct {
	format string
	budget bool
	trials int // of a Monte Carlo run; 0: none
	seed   uint64
	hash   string // of the journal's last line; "": there is none
}

func (f *form) flags(c *cobra.Command) {
	c.Flags().StringVar(&f.format, "format", "text", "write it as `FORM`: text, markdown, html, csv or json")
	c.Flags().BoolVar(&f.budget, "budget", false, "tell for each result where its uncertainty comes from")
	c.Flags().IntVar(&f.trials, "trials", 0, "repeat each result `N` times with sampled readings, as a cross-check of its uncertainty")
	c.Flags().Uint64Var(&f.seed, "seed", 1, "begin the random numbers of the trials at `S`: the same seed gives the same figures")
	_ = c.RegisterFlagCompletionFunc("format", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return formats, cobra.ShellCompDirectiveNoFileComp
	})
}

func (f *form) check() error {
	if !slices.Contains(formats, f.format) {
		return wrong("--format is %q; %s", f.format, nearest(f.format, formats))
	}
	if f.trials != 0 {
		if err := f.sampling().Check(); err != nil {
			return wrong("--trials: %w", err)
		}
	}
	return nil
}

func (f *form) sampling() montecarlo.Options {
	return montecarlo.Options{Trials: f.trials, Seed: f.seed}
}

// sumUp prints the summary of a run, with its Monte Carlo trials if any are asked for.
func (e *env) sumUp(s *run.State, f form) error {
	out := summary.FromState(s)
	out.Run.Hash = f.hash
	if f.trials != 0 {
		sampling, done := f.sampling(), func() {}
		if e.progress != nil {
			sampling.Progress, done = timeLeft(e.progress, e.now)
		}
		err := out.Trials(s, sampling)
		if done(); err != nil {
			return err
		}
	}
	return e.print(out, f)
}

// print writes s to the output in the form asked for.
func (e *env) print(s *summary.Summary, f form) error {
	o := print.Options{Ascii: e.look.ascii, Budget: f.budget}
	switch f.format {
	case "markdown":
		return print.Markdown(e.out, s, o)
	case "html":
		return print.HTML(e.out, s, o)
	case "csv":
		return print.CSV(e.out, s)
	case "json":
		return print.JSON(e.out, s)
	}
	return print.Text(e.out, s, o)
}

// summaryCommand prints what a run came to.
func (e *env) summaryCommand() *cobra.Command {
	var f form
	c := &cobra.Command{
		Use:   "summary RUN",
		Short: "Print the results of a run",
		Long: "Prints the results of a run with their uncertainty, checks, deviations and every reading. " + aboutRun +
			"; nothing else is needed, and the same journal always gives the same summary.\n\n" + aboutTrials,
		Example: "  meniscus summary 2026-03-02-0830-ester-batch\n  meniscus summary 2026-03-02-0830-ester-batch --format csv > readings.csv\n" +
			"  meniscus summary ./batch.journal --budget --trials 200000",
		Args:              between(1, 1, "one run"),
		ValidArgsFunction: e.completeRun,
		RunE: func(_ *cobra.Command, args []string) error {
			if err := f.check(); err != nil {
				return err
			}
			path, err := e.journalOf(args[0])
			if err != nil {
				return err
			}
			content, err := journal.Read(path)
			if err != nil {
				return err
			}
			e.wentOn(path)
			if content.Torn != "" {
				e.remark("meniscus: the last line of %s was never finished and is left out", path)
			}
			state, err := run.Fold(content.Events)
			if err != nil {
				return fmt.Errorf("%s: %w", path, err)
			}
			f.hash = content.Hash
			return e.sumUp(state, f)
		},
	}
	f.flags(c)
	return c
}

// calculateCommand works up readings that were written down on paper.
func (e *env) calculateCommand() *cobra.Command {
	var f form
	c := &cobra.Command{
		Use:   "calculate PROTOCOL READINGS.csv",
		Short: "Work up readings that were taken on paper",
		Long: "Works up readings that were taken on paper. The file has the columns vessel,reading,value,unit,at; unit and at may be" +
			" empty, and a series has a row for each reading, in the order of time. A given is set by a row with its id as the" +
			" reading. An empty at is the time of the row before. A dash in place of the file reads what is piped in.\n\n" + aboutTrials,
		Example: "  meniscus calculate acid-and-catalyst readings.csv\n  meniscus calculate ester-batch readings.csv --format json",
		Args:    between(2, 2, "a protocol and a file of readings"),
		ValidArgsFunction: func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			return e.completeProtocol(c, args, typed)
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if err := f.check(); err != nil {
				return err
			}
			return e.calculate(args[0], args[1], f)
		},
	}
	f.flags(c)
	return c
}

func (e *env) calculate(name, readings string, f form) error {
	e.tellOwn(name)
	p, _, lab, err := e.equip(name)
	if err != nil {
		return err
	}
	in, closing, err := e.input(readings)
	if err != nil {
		return err
	}
	defer closing()
	events, err := paper.Read(in, p, readings, paper.Options{Run: paperRun(readings), Program: program, Instruments: lab})
	if err != nil {
		return err
	}
	state, err := run.Fold(events)
	if err != nil {
		return fmt.Errorf("%s: %w", readings, err)
	}
	return e.sumUp(state, f)
}

// input opens a file, or takes the program's own input for a dash.
func (e *env) input(path string) (in io.Reader, closing func(), err error) {
	if path == "-" {
		return e.in, func() {}, nil
	}
	f, err := regular.Open(path)
	if err != nil {
		return nil, nil, told("file of readings", path, err)
	}
	return f, func() { f.Close() }, nil
}

// paperRun names the run after the file of readings.
func paperRun(readings string) string {
	if readings == "-" {
		return "readings"
	}
	base := filepath.Base(readings)
	return strings.TrimSuffix(base, filepath.Ext(base))
}
