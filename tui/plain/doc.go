// Package plain is the face without a screen: a run line by line, for a pipe, a screen reader or a dumb terminal.
//
// Prompts go out, answers come in, and nothing is ever drawn over: no colour, no cursor movement, no box characters.
// What has changed is said and what has not is left unsaid, so that a voice reading along keeps up. While a line is
// waited for, reminders and clocks that come due announce themselves. The typed lines are those of every face (package
// tui), and so are the engine and the journal. With several vessels a change of the one in hand is said before its
// situation, and comes only with a line: nothing changes under one that is being typed.
//
// Lines are broken between words where a width is told, and left whole where none is, as a screen reader likes them.
//
// The end of the input leaves the program, not the run: the run goes on and can be taken up again.
package plain
