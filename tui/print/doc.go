// Package print writes a summary for people and for programs: as text for a page of a given width, Markdown, HTML, CSV
// and JSON.
//
// The three forms for people are drawn from one page, so they say the same. Nothing that was typed or that a protocol
// says can do harm there: control characters are made visible, HTML and Markdown are escaped, and a CSV cell that a
// spreadsheet would take for a formula gets an apostrophe before it.
//
// The CSV form is what the readings of a run look like on paper; package paper reads it, and the same results follow.
package print
