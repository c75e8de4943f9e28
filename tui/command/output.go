package command

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"example.org/meniscus/protocol/journal"
	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/tui/print"
)

var formats = []string{"text", "markdown", "html", "csv", "json"}

// form is how a summary is written.
type form struct {
	format string
	budget bool
}

func (f *form) flags(c *cobra.Command) {
	c.Flags().StringVar(&f.format, "format", "text", "write it as `FORM`: text, markdown, html, csv or json")
	c.Flags().BoolVar(&f.budget, "budget", false, "tell for each result where its uncertainty comes from")
	_ = c.RegisterFlagCompletionFunc("format", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return formats, cobra.ShellCompDirectiveNoFileComp
	})
}

func (f *form) check() error {
	if !slices.Contains(formats, f.format) {
		return wrong("--format is %q; %s", f.format, nearest(f.format, formats))
	}
	return nil
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
		Long: "Prints the results of a run with their uncertainty, checks, deviations and every reading. RUN is its id or its journal" +
			" file; nothing else is needed, and the same journal always gives the same summary.",
		Example: "  meniscus summary 2026-03-02-0830-ester-batch\n  meniscus summary 2026-03-02-0830-ester-batch --format csv > readings.csv\n" +
			"  meniscus summary ./batch.journal --budget",
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
			if content.Torn != "" {
				e.remark("meniscus: the last line of %s was never finished and is left out", path)
			}
			state, err := run.Fold(content.Events)
			if err != nil {
				return fmt.Errorf("%s: %w", path, err)
			}
			return e.print(summary.FromState(state), f)
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
			" reading. A dash instead of the file reads from the input.",
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
	s, err := summary.Of(p, events)
	if err != nil {
		return err
	}
	return e.print(s, f)
}

// input opens a file, or takes the program's own input for a dash.
func (e *env) input(path string) (in io.Reader, closing func(), err error) {
	if path == "-" {
		return e.in, func() {}, nil
	}
	f, err := os.Open(path)
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
