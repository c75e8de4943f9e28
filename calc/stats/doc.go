// Package stats tells whether groups of results differ by more than they scatter.
//
// A number here is one replicate: one batch, one burn, one sample, not one of several readings of the same thing. All
// numbers of a call are in one unit, which the outcome has too. Intervals are for a coverage of 95 %, tests two-sided.
//
// Two values show that they differ, not how surely: means and deviations of two values are given, but an interval of
// them, or Welch's test, is refused. Tests that take one scatter for all values (analysis of variance, effects, with or
// without blocks) are for groups of any size, with LeastErrorDoF degrees of freedom for the scatter. A refusal is a
// *quantity.RangeError with a sentence. Nothing here leaves a value out; an outlier is named and stays.
package stats
