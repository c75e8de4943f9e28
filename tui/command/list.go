package command

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"example.org/meniscus/protocol"
	"example.org/meniscus/tui"
)

// protocolsCommand lists what can be run, or describes one protocol.
func (e *env) protocolsCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "protocols [ID]",
		Short: "List the protocols, or tell what is in one",
		Long: "Lists the protocols that ship and those in your own folder, with the time they take and how much of it needs the" +
			" hands. With an id it tells the stages, givens, results and sources of one.",
		Example:           "  meniscus protocols\n  meniscus protocols ester-batch",
		Args:              between(0, 1, "one protocol"),
		ValidArgsFunction: e.completeProtocol,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				return e.describe(args[0])
			}
			return e.listProtocols()
		},
	}
}

func (e *env) listProtocols() error {
	rows := [][]string{{"id", "title", "takes", "hands"}}
	for _, id := range e.protocolIDs() {
		p, _, err := e.load(id)
		if err != nil {
			e.remark("meniscus: protocol %s is not sound; meniscus check %s tells why", id, id)
			continue
		}
		row := []string{id, p.Title, tui.About(p.Planned()), tui.About(p.HandsOn())}
		if e.inPlace(id) {
			row = append(row, standsIn)
		}
		rows = append(rows, row)
	}
	e.table(rows)
	return nil
}

func (e *env) describe(name string) error {
	p, _, err := e.load(name)
	if err != nil {
		return err
	}
	e.tellOwn(name)
	e.line("%s (%s %s)", p.Title, p.ID, p.Version)
	if p.Purpose != "" {
		e.line("%s", p.Purpose)
	}
	e.line("Takes %s, of which %s for the hands.", tui.About(p.Planned()), tui.About(p.HandsOn()))
	e.line("\nStages")
	e.table(stageRows(p))
	if len(p.Givens) > 0 {
		e.line("\nGivens")
		e.table(givenRows(p))
	}
	if len(p.Results) > 0 {
		e.line("\nResults")
		e.table(resultRows(p))
	}
	if len(p.Checks) > 0 {
		e.line("\nChecks")
		e.table(checkRows(p))
	}
	if len(p.References) > 0 {
		e.line("\nSources")
		for _, r := range p.References {
			e.line("  %s", r)
		}
	}
	return nil
}

func stageRows(p *protocol.Protocol) [][]string {
	var rows [][]string
	for _, s := range p.Stages {
		more := ""
		if s.Portions > 1 {
			more = fmt.Sprintf("%d portions", s.Portions)
		}
		rows = append(rows, []string{"  " + s.ID, s.Title, tui.About(s.Planned()), more})
	}
	return rows
}

func givenRows(p *protocol.Protocol) [][]string {
	var rows [][]string
	for _, g := range p.Givens {
		more := g.Source
		switch {
		case len(g.Choices) > 0:
			more = "one of " + strings.Join(g.Choices, ", ")
		case g.Low != nil && g.High != nil:
			more = joined(g.Low.Text()+" to "+g.High.Text(), g.Source)
		}
		value := g.Choice
		if g.Kind == protocol.GivenNumber {
			value = g.Value.Text()
		}
		if g.PerVessel {
			more = joined("each vessel its own", more)
		}
		rows = append(rows, []string{"  " + g.ID, g.Title, value, more})
	}
	return rows
}

func resultRows(p *protocol.Protocol) [][]string {
	var rows [][]string
	for _, r := range p.Results {
		of := ""
		if r.OfRun {
			of = "of the whole run"
		}
		rows = append(rows, []string{"  " + r.ID, r.Title, r.Unit.Shown(), of})
	}
	return rows
}

func checkRows(p *protocol.Protocol) [][]string {
	var rows [][]string
	for _, c := range p.Checks {
		rows = append(rows, []string{"  " + c.Result.ID, limits(c.Low, c.High), c.Source})
	}
	return rows
}

func limits(low, high *protocol.Bound) string {
	switch {
	case low != nil && high != nil:
		return bound(low) + " to " + bound(high)
	case low != nil:
		return "at least " + bound(low)
	case high != nil:
		return "at most " + bound(high)
	}
	return ""
}

func bound(b *protocol.Bound) string {
	if b.Formula != nil {
		return b.Formula.String()
	}
	return b.Quantity.Text()
}

func joined(a, b string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + "; " + b
}

func (e *env) line(format string, args ...any) { e.put(fmt.Sprintf(format, args...) + "\n") }

// table writes rows in columns; the last column is not filled up.
func (e *env) table(rows [][]string) {
	var widths []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range rows {
		var b strings.Builder
		for i, cell := range row {
			b.WriteString(cell + strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell)+2))
		}
		e.put(strings.TrimRight(b.String(), " ") + "\n")
	}
}

// put writes text to the output without characters that could steer a terminal: some of it comes from files.
func (e *env) put(text string) { io.WriteString(tui.Writer(e.out), text) }
