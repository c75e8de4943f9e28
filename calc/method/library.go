package method

import "example.org/meniscus/calc/formula"

// Library returns every method by name. The plain functions of the grammar come from formula.Builtins.
func Library() formula.Library {
	out := formula.Library{}
	for _, subject := range [][]formula.Function{
		substances, composition, heats, stoichiometry, doses, titration, density, viscosity, conversion, cooling, warming, settling, lines,
	} {
		for i := range subject {
			f := subject[i]
			out[f.Name] = &f
		}
	}
	return out
}
