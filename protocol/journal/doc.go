// Package journal keeps a run's events on disk: append-only, one JSON object a line, each on disk before it counts.
//
// The first line holds the protocol's whole text, the givens and the vessels, so a journal alone reproduces its
// summary, byte for byte, years later. Each line carries its number, the UTC time with milliseconds, the elapsed time,
// and a SHA-256 chained from the line before:
//
//	{"format":1,"n":1,"at":"2026-03-02T08:30:00.000Z","elapsed":0.000,"fact":"begun","data":{…},"chain":"…64 hex…"}
//
// chain is the hex SHA-256 of the chain of the line before (64 zeros for the first), a newline, and the line's own text
// up to and without `,"chain":`. Only the first line has format, and it comes first in every format. The members stand
// in the order shown, with vessel before fact where the event has one, and before that more: how many lines of the same
// act follow, where there are any. A line holds no other newline than its last byte.
//
// # Durable
//
// When Append returns nil, its lines are written and fsynced. When Create returns nil, so is the first line, and so are
// the entries of the file and of every folder that had to be made for it. What an act of the operator leads to goes out
// in one write and counts as one: after an error none of it does, and it can be appended again without being there
// twice. A sync that failed is never trusted later: the lines are cut off and written anew. Files are 0600, and folders
// that are made 0700.
//
// After a crash, of the program or of the machine, every confirmed act is there. One that was under way and never
// confirmed may be there too, but only with all its lines; Open returns it with the rest.
//
// # Detected
//
// A last line without its newline, and a last act without all its lines, was never confirmed. Open sets it aside in
// Content.Torn, and the next Append cuts it off; the caller puts what it said into the record. A line that does not fit
// the chain is damage: it is named by its number, the lines before it are handed out, and the journal is not opened for
// writing. Verify looks at the lines behind it to tell lines that were altered, removed, put in or moved. A journal of
// a newer format is called newer.
//
// Before each write and after it the writer looks whether the file is still there under its name and as long as it left
// it. A folder that was removed, a file that was replaced, cut or written by something else: each is an error of
// Append, and nothing is written over what is found. MoveTo takes the confirmed lines to another folder and goes on
// there. It leaves word beside the old file (name.moved): a link, since a full disk takes no line more and still takes
// that; where no links can be made, a file. MovedTo reads it and follows nothing; it goes when the run is taken up
// again where it was.
//
// What lies in a runs folder may come from somebody else, so a journal is opened only where it is a regular file with
// one name: no link is followed, in the folder itself, and a pipe or a device is refused before it is opened.
//
// # One writer
//
// The lock of the journal's own file is held by one program at a time. It belongs to the process and vanishes with it,
// however it ends, and leaves nothing in the folder. How the file begins is read before it is locked, and all of it
// again before anything is written, so what is no journal is neither locked nor changed. A second writer gets a
// *HeldError that tells when the first wrote its last line. Reading takes no lock and writes nothing: it works on a run
// that is held, for a file of another user that may be read, and on a read-only disk.
//
// # Not detected
//
// Whole lines missing at the end look like a run that is not closed, and somebody who writes the whole chain anew
// leaves no trace in the file: only a chain value that was printed before tells, which Verify looks for. A lock on a
// network folder is as good as the folder's server makes it; the writer that comes second is then told that the file
// was changed. A disk that reports a sync before it has done it can lose what it reported. A file system that, after a
// power failure, keeps the later bytes of an append without the earlier ones leaves damage instead of a torn line; the
// confirmed lines before it are whole. Nothing here is secret: a journal is plain text.
package journal
