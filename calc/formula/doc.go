// Package formula reads, checks and evaluates the formulas of a protocol file.
//
// The grammar, from weakest to strongest binding:
//
//	or
//	and
//	not
//	== != < <= > >=        (no chains: a < b < c is refused)
//	+ -
//	* /
//	-x                      (so -x^2 is -(x^2))
//	^                       (right to left; the exponent may carry a minus)
//	names, numbers, "texts", (…), f(a, b, …), if(condition, a, b)
//
// A name begins with a letter and holds letters, digits, '_' and '.'. A number is a ratio (unit 1); constants with a
// unit are givens of the protocol. There are no loops, no assignments, no input or output; length and depth are bounded
// (MaxLength, MaxDepth), so a formula from a stranger can do nothing but fail.
//
// A parameter of a function may ask for a row of a table; the row is written bare, density(ethanol, room), unless a
// name of the protocol holds the text. A temperature and an interval in K never stand for one another as an argument or
// in a comparison. across(x, condition) looks at every vessel of a run and needs a VesselNames and a VesselValues.
//
// mean and sd look at the scatter of their list, by the rule of quantity.Observe; sum does not, since its values may
// differ by design. A list that across made, and what arithmetic makes of it, is one of replicates, any other of
// repeats.
//
// A formula goes through three gates: Parse (is it well formed), Check (does every name exist, do the kinds and units
// fit; done when the protocol is loaded, so a run never meets a unit error), Eval (what is its value for these
// readings). Lists of equal length combine element by element; a single value goes with every element. A name without a
// value yields a *MissingError, a calculation without a value a *quantity.RangeError; nothing here panics.
//
// A Sheet works formulas out for trials, again and again and as plain numbers: the same values without uncertainties.
package formula
