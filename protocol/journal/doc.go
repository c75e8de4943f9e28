// Package journal keeps a run's events on disk: append-only, one JSON object a line, each on disk before it counts.
//
// The first line holds the protocol's whole text, the givens and the vessels, so a journal alone reproduces its summary,
// byte for byte, years later. Each line carries its number, the UTC time with milliseconds, the elapsed time, and a
// SHA-256 chained from the line before:
//
//	{"format":1,"n":1,"at":"2026-03-02T08:30:00.000Z","elapsed":0.000,"fact":"begun","data":{…},"chain":"…64 hex…"}
//
// chain is the hex SHA-256 of the chain of the line before (64 zeros for the first), a newline, and the line's own text
// up to and without `,"chain":`. Only the first line has format.
//
// Promises. When Append returns nil, the line is written and fsynced, and so is the folder's entry of a new journal. A
// last line without its newline was never confirmed: Open sets it aside, tells it, and goes on. Damage further up is
// named by line, and nothing is overwritten. A journal of a newer format is called newer. One writer at a time: a second
// Open for writing says that the run is held. Files are 0600 in a folder 0700.
package journal
