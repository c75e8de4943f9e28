package command

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/method"
	"example.org/meniscus/calc/quantity"
)

// library is every function that a formula may call.
func library() formula.Library {
	all := formula.Builtins()
	maps.Copy(all, method.Library())
	return all
}

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
			return slices.Sorted(maps.Keys(library())), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			all := library()
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
	e.line("%s: %s\n\n%s\n", signature(f), f.Title, f.Says)
	if f.Formula != "" {
		e.line("Formula\n  %s\n", f.Formula)
	}
	if len(f.Params) > 0 {
		e.line("Arguments")
		var rows [][]string
		for _, p := range f.Params {
			rows = append(rows, []string{"  " + p.Name, kind(p), p.Says})
		}
		e.table(rows)
		e.line("")
	}
	if f.TypeOf == nil {
		e.line("Gives\n  %s\n", unitWord(f.Unit))
	}
	if f.Valid != "" {
		e.line("Holds\n  %s\n", f.Valid)
	}
	if f.Example.Call != "" {
		e.example(f.Example)
	}
	e.line("Source\n  %s", f.Source)
}

func (e *env) example(x formula.Example) {
	e.line("Example\n  %s = %v %s", x.Call, x.Want, x.Unit)
	for _, name := range slices.Sorted(maps.Keys(x.Given)) {
		e.line("  with %s = %s", name, x.Given[name])
	}
	if x.Source != "" {
		e.line("  (%s)", x.Source)
	}
	e.line("")
}

// signature writes how the function is called; what may be left out stands in brackets.
func signature(f *formula.Function) string {
	var parts []string
	for _, p := range f.Params {
		if p.Optional {
			parts = append(parts, "["+p.Name+"]")
		} else {
			parts = append(parts, p.Name)
		}
	}
	return f.Name + "(" + strings.Join(parts, ", ") + ")"
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

// tame returns text without control characters other than the end of a line.
func tame(text string) string {
	return strings.Map(func(r rune) rune {
		if r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)) {
			return -1
		}
		return r
	}, text)
}
