// Package tui holds what every face of the program shares: the keys, the styles, and the Operator, who turns what is
// typed into commands of a run. The faces are in the packages below: bench (the screens), plain (line by line), print
// (the summary), command (the command line).
//
// What is typed is the same in every face, a line that ends with Enter:
//
//	(nothing)       go forward: the step is done, the mark is now, the wait that is up ends, yes to a question
//	12,5            a reading; a unit may follow: 500 uL
//	2               a choice, by its number
//	t LOT 7         a text reading
//	n TEXT          a note
//	x WHY           the reading asked for is not taken
//	c 12.6 WHY      correct the reading that was typed last, of whatever vessel, or of this one if its letter was typed
//	                since; c NAME 12.6 WHY corrects the newest value of NAME of the vessel in hand, c NAME.2 12.6 WHY that of
//	                its second portion, or the second point of a series; a unit may follow the value, and a value of several
//	                words stands in quotes; without WHY it was mistyped, while the run goes on: c 12.6, c NAME 12.6
//	c NAME @10:42 WHY   correct the moment of a mark; 12:40 without the @ is a time of the run's clock
//	u               undo the newest act of this vessel, or of the one that the hands went on from with it; again: the one before
//	                it. The clocks go on as if it had never been done; a reading is asked about first
//	u WHY           take the last reading back: it becomes one that was not taken, and both stay; u NAME WHY another one,
//	                u NAME.2 WHY the second point of a series. It is always asked about first
//	g 8.5 WHY       8.5 mL were given once more: added to the newest portion of this vessel
//	@10:42 53.9     a reading that was read at 10:42 by the wall clock of the place, and is entered later; @-5 is five
//	                minutes ago; @10:42 NAME 53.9 is one of a stage passed that was not taken, @10:42 alone a mark.
//	                Behind the value may stand why it comes late: @10:42 NAME 53.9 WHY
//	e 5 WHY         give the wait 5 minutes more
//	y WHY           end the wait before its least time, or without what it waits for
//	s WHY           skip what is left of this stage
//	a               called away; again: back at the bench
//	A B C …         this vessel, until an act was done on it
//	p               the timetable, of a run that has one
//	v ID=VALUE …    one more vessel joins the run, with givens of its own; v alone: with those of the protocol
//	d WHY           this vessel is done with: give it up
//	z WHY           end the run
//	w FOLDER        the journal goes on in another folder; while all is saved, only after w yes
//	q               leave the program; the run goes on and can be resumed
//	?               help
//
// A sign that begins no line where it is typed makes the rest of its burst mean nothing either, and this is said: what
// comes in the same key message, or sooner after the sign before than somebody who has looked up strikes again (package
// bench). Line by line a line that means nothing is refused whole.
//
// When the run is over, n, c, u, @ and w still do what they say, from the summary and line by line: a run closes with
// its last reading, and that one may be the slip, or have been missed: @13:39 NAME 10.02 WHY, by the wall clock of
// while the run went on. A closed run that is resumed by its name is shown with its summary.
//
// With several vessels the hands follow the queue: after each act they go on to the vessel that is due and whose window
// closes first, and from a vessel that only waits to one that falls due. They do not leave a vessel that must be stayed
// with, nor one whose step or portion has begun while its time for the hands lasts, unless another's window closes
// within 30 s. A vessel that waits to begin has its turn when the vessel in hand needs nothing more. A letter chooses a
// vessel and holds it until an act was done on it. Nobody is changed under the hands: not while a line is typed, a
// question is open or a line is not saved. A bare Enter within 0.8 s of a change does nothing but tell it, and a line
// begun so soon on the screens is taken for the vessel before, or not at all where that is through. The same holds for
// a bare Enter whose meaning time alone has just changed: a reminder fell due, or the latest end passed. Line by line
// the change comes with the next Enter, which then does nothing else: what stands in the terminal's line there is not
// known to the program.
//
// An Enter with nothing typed does nothing within 0.8 s of the one before it, where hands type, and each that is set
// aside counts anew: a key that is held down does one thing. A question is answered by a bare Enter, but not so soon:
// nobody has read it by then. What ends a wait before its least time, or without what it waits for, takes y and a word
// why. A reading that is typed at a question about another one replaces it; but of a series it is the next point where
// it was begun half a beat after the question or later, and the one before is kept with its mark.
//
// With every look at the clock, and with the Enter that answers it, Review looks whether the open question still means
// what it meant: where time has changed that, it is asked anew or withdrawn, in words.
//
// Nothing that a terminal would act on reaches one: Clean and Writer are the one place where texts of protocols,
// journals and notes are cleaned, and every face uses them.
//
// A line that was typed and not entered when the program is told to go (ctrl-c, a signal, a closed window, a screen
// that broke down) is kept as a draft and offered again when the run is taken up. It means nothing until it is entered.
// After a kill, or in plain mode, where the terminal itself holds the line until Enter, what is lost is at most what
// was typed since the last Enter. A last line of a pipe that has no end is kept as a draft too: it may be half a
// number.
//
// A run of several vessels has a timetable, which package timetable keeps. A face asks ToPlan after every act, and the
// screens with every tick as well, has the task done, and gives what was found to Adopt, which records it and says what
// moved. The queue then goes by it: a vessel that is to begin has its turn like any other, and one whose next work may
// rest is left when the timetable has the hands elsewhere first.
//
// With every tick a face asks Watch whether time went its ordinary way, and tells once for how long nobody could be
// told anything, and what fell due meanwhile.
package tui
