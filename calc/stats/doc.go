// Package stats tells whether groups of results differ by more than they scatter.
//
// A number here is one replicate: one batch, one burn, one sample, not one of several readings of the same thing. All
// numbers of a call are in one unit, which the outcome has too. Intervals are for a coverage of 95 %, tests two-sided.
//
// Two values show that they differ, not how surely: means and deviations of two values are given, but an interval, a
// t test or a test for an outlier on them is refused. A refusal is a *quantity.RangeError with a sentence. Nothing here
// leaves a value out; an outlier is named and stays.
package stats
