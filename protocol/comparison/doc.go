// Package comparison sets vessels of one protocol side by side, by what was varied, and tells which results differ by
// more than they scatter.
//
// A vessel is one replicate: one batch, one burn. Several readings in it make it surer and are not replicates. Vessels
// are grouped by the givens whose values differ between them. Each result of the vessels, not those of a whole run,
// gets for each group its mean, standard deviation and 95 % interval; two groups are compared by Welch's test, more by
// an analysis of variance, and a full plan of factors at two levels by its effects (calc/stats has the tests and their
// sources). Where the groups hang together over several runs, or over days of single vessels, the run or the day is a
// block: what is shown rests on that test, and the one without blocks stands beside it.
//
// A vessel counts when it went through to its end; one that was given up, or goes on, is named and does not count. No
// value of one that counts is left out: an outlier is named and stays, a result without a value is told with the
// reason.
//
// The order of the runs given does not matter: they are taken in the order in which they were begun. Of looks at
// nothing but its arguments, so the same journals always give the same comparison.
package comparison
