// Package rehearsal plays the invented readings that ship with a protocol, act by act, on a clock that is held by hand:
// the whole job in a moment, without a bench. The acts go through a tui.Operator, as typed lines do, so a rehearsal
// exercises what a real run does. The same acts played to any face give the same events.
package rehearsal
