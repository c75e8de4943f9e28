// Package rehearsal plays the invented readings that ship with a protocol, act by act, on a clock that is held by hand:
// the whole job in a moment, without a bench. The acts go through a tui.Operator, as typed lines do, so a rehearsal
// exercises what a real run does. The same acts played to any face give the same events.
//
// Several plays the readings of one vessel for more of them, and With plays them with other givens. What is asked about
// because of that is answered with yes.
package rehearsal
