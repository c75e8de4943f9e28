package command

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/method"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/tui/print"
)

// methodsCommand lists the functions that formulas may call, or shows the page of one.
func (e *env) methodsCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "methods [NAME]",
		Short: "List the calculations that a formula may call, or tell one",
		Long: "Lists the calculations that a formula of a protocol may call. With a name it tells what one computes, its formula, its" +
			" arguments with their units, where it holds, and its source.",
		Example: "  meniscus methods\n  meniscus methods acid_value",
		Args:    between(0, 1, "one method"),
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return slices.Sorted(maps.Keys(method.All())), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			all := method.All()
			names := slices.Sorted(maps.Keys(all))
			if len(args) == 0 {
				var rows [][]string
				for _, name := range names {
					rows = append(rows, []string{name, all[name].Title})
				}
				e.table(rows)
				return nil
			}
			f := all[args[0]]
			if f == nil {
				return fmt.Errorf("there is no method %q; %s", args[0], nearest(args[0], names))
			}
			e.method(f)
			return nil
		},
	}
}

// method writes the page of a function.
func (e *env) method(f *formula.Function) {
	e.line("%s", f.Title)
	e.paragraph("  ", f.Signature())
	e.section("Computes", f.Says)
	e.section("Formula", f.Formula)
	if len(f.Params) > 0 {
		e.line("\nArguments")
		e.arguments(f.Params)
	}
	if f.TypeOf == nil {
		e.section("Gives", "a number in "+unitWord(f.Unit))
	}
	e.section("Holds", f.Valid)
	if f.Example.Call != "" {
		e.example(f.Example)
	}
	e.section("Source", f.Source)
}

func (e *env) section(title, text string) {
	if text != "" {
		e.line("\n%s", title)
		e.paragraph("  ", text)
	}
}

func (e *env) paragraph(begin, text string) { e.put(print.Paragraph(begin, text)) }

func (e *env) arguments(params []formula.Param) {
	var name, what int
	for _, p := range params {
		name, what = max(name, utf8.RuneCountInString(p.Name)), max(what, utf8.RuneCountInString(kind(p)))
	}
	for _, p := range params {
		says := p.Says
		if p.Optional {
			says += " (may be left out)"
		}
		e.paragraph(fmt.Sprintf("  %-*s  %-*s  ", name, p.Name, what, kind(p)), says)
	}
}

func (e *env) example(x formula.Example) {
	e.line("\nExample")
	e.paragraph("  ", fmt.Sprintf("%s = %s", x.Call, strings.TrimRight(quantity.Plain(x.Want, 8)+" "+shownUnit(x.Unit), " ")))
	for _, name := range slices.Sorted(maps.Keys(x.Given)) {
		e.paragraph("  with "+name+" = ", x.Given[name])
	}
	if x.Source != "" {
		e.paragraph("  ", "("+x.Source+")")
	}
}

// shownUnit shows the unit of a code as people write it.
func shownUnit(code string) string {
	u, err := quantity.ParseUnit(code)
	if err != nil {
		return code
	}
	return u.Shown()
}

func kind(p formula.Param) string {
	switch {
	case p.Rows != nil:
		return "a row of a table"
	case p.Kind == formula.Text || p.Kind == formula.Truth:
		return p.Kind.String()
	case p.Any:
		return p.Kind.String() + ", any unit"
	}
	return p.Kind.String() + " in " + unitWord(p.Unit)
}

func unitWord(u quantity.Unit) string {
	if u.Shown() == "" {
		return "1"
	}
	return u.Shown()
}

// unitsCommand lists the units that a protocol may use and a reading may be typed in.
func (e *env) unitsCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "units",
		Short: "List the units that are understood",
		Long: "Lists the units that a protocol may use and a reading may be typed in: their code (UCUM, the Unified Code for Units of" +
			" Measure, where upper and lower case differ), how they are shown, and their name. Those marked * take the prefixes" +
			" of the SI, as mL and kJ do. Codes are joined with . and / and take whole powers: kg/m3.",
		Example: "  meniscus units",
		Args:    between(0, 0, "no argument"),
		RunE: func(*cobra.Command, []string) error {
			rows := [][]string{{"code", "shown", "", "name"}}
			for _, a := range quantity.Atoms() {
				prefix := ""
				if a.Metric {
					prefix = "*"
				}
				rows = append(rows, []string{a.Code, a.Shown, prefix, a.Name})
			}
			e.table(rows)
			e.line("\n* takes prefixes, as mL or kJ. Codes are those of UCUM, the Unified Code for Units of Measure.")
			return nil
		},
	}
}
