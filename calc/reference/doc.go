// Package reference holds the tables that calculations rest on: atomic masses, substances, oils, heats, hazard
// statements and their classes. Each row of a table names its source and how it was seen: "document" (read in a copy of
// the source or a text that quotes it), "memory" (written down from memory, provisional) or "computed" (worked out from
// other rows). The tables are CSV files beside this code and part of the program.
//
// A value that is a quantity carries its row's uncertainty as a source of its own, "table:atomic_mass/C", so two results
// that rest on the same row share its error. A half-width is taken as rectangular (JCGM 100:2008, 4.3.7).
package reference
