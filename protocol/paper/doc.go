// Package paper turns readings that were written down on paper into the events of a run, so that they are worked up and
// summed up exactly as a run at the bench is.
//
// The file is CSV with the header vessel,reading,value,unit,at; semicolons may stand for the commas. A row is one
// reading, or a given where reading is the given's id.
//
//	vessel   the vessel's label; empty: A. Vessels come in the order of their first row.
//	value    as typed at the bench: 12.5, or "12,5" in quotes where commas part the columns; the exact word of a choice;
//	         any text; yes or no for a tick; minutes and seconds as 7:30 for a stopwatch
//	unit     empty: the unit that the protocol asks for; else a UCUM code that fits
//	at       when it was read: RFC 3339 (2026-03-02T09:30:00Z), or a clock time (9:30 or 9:30:15, past midnight too),
//	         or minutes since the start (12.5), one kind in a file; empty: as in the row before
//
// The readings of a stage with portions stand in the order of the portions, or name theirs: titre.2. Those of a series
// stand in order of time. A mark needs at, or a value in min. The run begins at the earliest time in the file, or at minute zero.
//
// A reading that would have been asked about at the bench is kept and marked, with what was expected instead.
//
// Read tells every fault of a file at once, by line. A reading that is not in the file is no fault: the results that
// need it say so.
package paper
