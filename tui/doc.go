// Package tui holds what every face of the program shares: the keys, the styles, and the Operator, who turns what is
// typed into commands of a run. The faces are in the packages below: bench (the screens), plain (line by line), print
// (the summary), command (the command line).
//
// What is typed is the same in every face, a line that ends with Enter:
//
//	(nothing)       go forward: the step is done, the mark is now, the wait ends, yes to a question
//	12,5            a reading; a unit may follow: 500 uL
//	2               a choice, by its number
//	t LOT 7         a text reading
//	n TEXT          a note
//	x WHY           the reading asked for is not taken
//	c 12.6 WHY      correct the last reading; c NAME 12.6 WHY corrects the newest value of NAME
//	e 5 WHY         give the wait 5 minutes more
//	s WHY           skip what is left of this stage
//	a               called away; again: back at the bench
//	A B C …         from now on this vessel
//	d WHY           this vessel is done with: give it up
//	z WHY           end the run
//	q               leave the program; the run goes on and can be resumed
//	?               help
package tui
