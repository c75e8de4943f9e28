package command

import (
	"github.com/spf13/cobra"

	"example.org/meniscus/tui/print"
)

// The bounds of a page, in columns.
const (
	narrowest = 40
	widest    = 300
)

// sheetCommand prints the paper form of a protocol.
func (e *env) sheetCommand() *cobra.Command {
	var cast cast
	width := 80
	c := &cobra.Command{
		Use:   "sheet PROTOCOL",
		Short: "Print the paper form of a protocol",
		Long: "Prints the form to take along when the program stays outside: what to have ready, every stage with its window and steps," +
			" and a blank for each reading, scaled to the givens.\nWhat was written on it is worked up by meniscus calculate.",
		Example: "  meniscus sheet ester-batch --given oil_mass=100\n" +
			"  meniscus sheet burn-test --vary fuel=ethanol,ester > forms.txt",
		Args:              between(1, 1, "one protocol"),
		ValidArgsFunction: e.completeProtocol,
		RunE: func(c *cobra.Command, args []string) error {
			if width < narrowest || width > widest {
				return wrong("--width is %d; write a number of columns from %d to %d", width, narrowest, widest)
			}
			e.tellOwn(args[0])
			p, _, _, err := e.equip(args[0])
			if err != nil {
				return err
			}
			cast.asked = c.Flags().Changed("vessels")
			vessels, err := cast.vessels(p)
			if err != nil {
				return err
			}
			forms := make([]print.FormVessel, len(vessels))
			for i, v := range vessels {
				sheet, err := p.Scale(v.Givens)
				if err != nil {
					return err
				}
				forms[i] = print.FormVessel{Label: v.Label, Sheet: sheet}
			}
			return print.Form(e.out, p, forms, print.Options{Width: width, Ascii: e.look.ascii})
		},
	}
	cast.flags(c)
	c.Flags().IntVar(&width, "width", 80, "the page is `N` columns wide")
	return c
}
