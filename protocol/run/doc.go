// Package run holds what is happening: a run of a protocol with one or more vessels, as a pure state machine.
//
// An operator's act is a Command. Decide looks at the State, the command and the moment, changes nothing, and answers
// with the events that follow, or with an error worth reading: a *Question that one more word of assent answers, or a
// *Refusal that says what to do instead. State.Apply folds an event and looks at nothing but its arguments, so a replay
// always rebuilds the same run: a resumed run is the same fold over the journal.
//
// The hands decide, the program tells. Ending early or late, leaving a gate unmet, skipping a stage: each is asked
// about, or asks for a word why, where it may be a slip, then recorded as a deviation and never blocked. A wait never
// ends before its least time, or with its gate not met, by a bare Enter: a key that is held down is no answer. The one
// exception is an interlock, which a protocol sets where going on is dangerous.
//
// Time. Elapsed follows the clock of the machine that goes on while it sleeps, never the wall clock; Timekeeper tells
// apart, and records as facts, a machine that slept, a program that was stopped, a wall clock that was set, a change to
// or from daylight saving, a restart of the program and one of the machine. On one start of the machine a restart of
// the program loses not a millisecond; after a restart of the machine the wall clock alone tells how long it was away,
// and where that stands before the last event the gap counts as zero and is recorded as not known. On Linux, macOS and
// Windows the machine tells how long it is up; on Windows it does not name its starts, so a restart of the program is
// measured by the wall clock. On other systems sleep cannot be told from a wall clock set forward: it counts as time,
// and the record says that it is not sure.
//
// A typed value is doubted where it lies outside what is expected, where a series would have changed faster than its
// rate, where it makes a vessel more than all its portions come to, or where it is finer than its instrument is read.
// The question names the slip that is likely; a value that is kept all the same is marked, and a deviation says what
// was expected. Doubt says the same of readings from paper.
//
// Corrections. Nothing is overwritten: a corrected reading keeps what it was, a reading taken back becomes one that was
// not taken and is asked for again where the vessel still stands, and a reading entered later has both times: when it
// was read, which lies within its stage, and when it was entered. What is given again to a portion is such a
// correction, to the sum of both. Results and guards follow the newest.
//
// Undoing. The newest act of a vessel can be undone, whatever it was, and then the one before it: an event of its own,
// after which the vessel stands where it would stand had the act never been. Its clocks count from when they began, so
// they have gone on. The state keeps how a vessel stood before each of its newest events, some hundreds of them. What
// an undone act deviated by is no deviation; the record shows what was undone. What other vessels did meanwhile stays:
// a reading for all vessels that is undone is asked for again of whatever vessel comes by, and a place that was left is
// filled again.
//
// Each vessel is in one place: a stage, a portion, a phase (hands, wait, end) and a step. Its clocks run on Elapsed,
// the time since the run began, which the caller hands in as a Moment; this package never asks the time, reads no file
// and knows no screen. Engine ties a State to a Recorder: an event is recorded before the state shows it.
package run
