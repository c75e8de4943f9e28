package method

import (
	"maps"

	"example.org/meniscus/calc/formula"
)

// Named returns every method by name. The plain functions of the grammar come from formula.Builtins.
func Named() formula.Functions {
	out := formula.Functions{}
	for _, subject := range [][]formula.Function{
		substances, composition, heats, stoichiometry, doses, titration, density, viscosity, neat, conversion, cooling, warming, settling, lines,
	} {
		for i := range subject {
			f := subject[i]
			if f.Call == nil {
				f.Call = f.Whole
			}
			out[f.Name] = &f
		}
	}
	return out
}

// All returns every function that a formula may call: the plain ones of the grammar and the methods.
func All() formula.Functions {
	all := formula.Builtins()
	maps.Copy(all, Named())
	return all
}
