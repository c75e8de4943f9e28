// Package method holds the named calculations that a formula may call: composition of oils, doses, titration, density,
// viscosity, conversion, heats, cooling, warming, settling and straight lines.
//
// Each is a formula.Function that says what it computes, by which formula, for which range and from which source. Values
// carry their sources of uncertainty through by the chain rule. A fit takes in the scatter of the readings about its
// curve too, by the rule of quantity.Observe: the larger of that and the readings' own uncertainties, with n − p degrees of
// freedom. Results of one fit share its sources (fit:settling/layer.1-11/1, …/2, …/3), so a volume and a time constant
// from one curve are correlated in what is made of both. No method takes more than 64 allocations a call. What cannot be computed from the readings
// at hand (no mass, too few points, water that does not cool) yields a *quantity.RangeError with a sentence that says so;
// nothing here panics or returns a value that is no number.
package method
