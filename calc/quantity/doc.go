// Package quantity holds a number as the bench knows it: a value, a UCUM unit, and how far it can be trusted.
//
// A Quantity remembers its sensitivity to every source of uncertainty behind it, so correlation needs no care from
// the caller: an offset that two weighings share cancels when one is taken from the other. Uncertainties are standard
// uncertainties (k = 1) unless a name says Expanded. Sources are independent of one another by construction.
//
// Readings that are repeated, or lie about a fitted curve, show by their scatter how uncertain they are (type A of JCGM
// 100). Observe sets that against what each of them is uncertain by alone and takes the larger, so that nothing counts
// twice. Such a quantity knows both figures: U of the two together, From(Repeats), From(Replicates) and From(Fits) of the
// scatter, InstrumentsAlone of all the rest. Repeats are readings of one thing, replicates are whole batches or burns.
//
// Units are UCUM codes (The Unified Code for Units of Measure, version 2.1). The Celsius scale is a special unit: a
// temperature less a temperature is an interval in K, an interval may be added to a temperature, and a temperature
// enters no product. Operations on units that do not fit return a *UnitError.
//
// Everything here is deterministic to the last bit: effects are kept in the order of their sources' names, so the same
// operations give the same sums. Nothing here reads a file or asks the time, and no input makes it panic; only MustUnit
// does, on a wrong code in the program's own source.
package quantity
