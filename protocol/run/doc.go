// Package run holds what is happening: a run of a protocol with one or more vessels, as a pure state machine.
//
// An operator's act is a Command. Decide looks at the State, the command and the moment, changes nothing, and answers
// with the events that follow, or with an error worth reading: a *Question that one more word of assent answers, or a
// *Refusal that says what to do instead. State.Apply folds an event and looks at nothing but its arguments, so a replay
// always rebuilds the same run: a resumed run is the same fold over the journal.
//
// The hands decide, the program tells. Ending early or late, leaving a gate unmet, skipping a step: each is asked about
// once where it may be a slip, then recorded as a deviation and never blocked. The one exception is an interlock, which
// a protocol sets where going on is dangerous.
//
// Each vessel is in one place: a stage, a portion, a phase (hands, wait, end) and a step. Its clocks run on Elapsed, the
// time since the run began, which the caller hands in as a Moment; this package never asks the time, reads no file and
// knows no screen. Engine ties a State to a Recorder: an event is recorded before the state shows it.
package run
