// Package summary turns a run into what is printed at its end: results with their uncertainty, checks, guards that
// spoke, deviations, every reading with its corrections, notes. A Summary is a plain value; Of makes it from a protocol
// and its events and looks at nothing else, so the same journal always gives the same summary.
package summary
