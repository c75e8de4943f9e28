// Package method holds the named calculations that a formula may call: composition of oils, doses, titration, density,
// viscosity, conversion, heats, cooling, warming and settling.
//
// Each is a formula.Function that says what it computes, by which formula, for which range and from which source. Values
// carry their sources of uncertainty through by the chain rule, fits included. What cannot be computed from the readings
// at hand (no mass, too few points, water that does not cool) yields a *quantity.RangeError with a sentence that says so;
// nothing here panics or returns a value that is no number.
package method
