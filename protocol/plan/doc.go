// Package plan finds when to start which vessel, where several go through timed steps and share hands and places.
//
// A Problem has vessels, each with steps (work of the hands, never interrupted), waits between them (at_least, aim,
// at_most) and holds (a place taken from the start of one step to the end of another); pairs of hands; places; and breaks,
// when nobody is present. FromProtocol derives one from protocols, ReadCase reads one from a file.
//
// Solve minimises, in this order: what waits last beyond their latest ends (the excess), the makespan, what waits last
// beyond their aims (the over-wait), and by how much the vessels start later than the plan (the delay). Every step starts
// as early as this allows, and of equal vessels the first in the list is first at every step. There is always a plan: where
// windows cannot be kept, the least is exceeded, and the plan names each violated window; the delay is not looked at then.
// Proven says that excess, makespan and over-wait are optimal, Settled that the delay is too; otherwise Bound says how
// short a plan could be at most. The work is bounded by counting steps, not by a clock, so the same problem always gives
// the same plan. Nothing here asks the time, reads a file or panics on bad input.
//
// # How it is found
//
// For up to three pairs of hands and vessels whose steps follow each other one by one, a sweep goes through all that can
// have been done after one step, after two and so on. With each it keeps all times at which that can have been done, as
// differences that are allowed between moments, and what it has cost, as a sum of moments with weights. What another way
// makes needless is left out: the same steps done, at no other times, for no more. So is what cannot end early enough,
// were the steps that are left to be interrupted at will. Of equal vessels with so many places for them one comes in after
// the one so many before it is out, and each vessel by itself must get past the breaks with its windows kept: both tell how
// soon and how late each step can begin. Sweeps of growing width keep only so many ways after each step;
// the first that need not drop any proves its plan, and the others tell how good a dropped one could have been.
//
// All else is searched. Starts that ignore the hands and places are simple to find. Where they need too much at a moment, of
// the activities that clash one must end before another starts; each way is tried, and what follows from it is worked out
// at once for all pairs of steps. A way is given up when its longest path, the work of a place, or the shortest waits show
// that it cannot be better than what is known. The over-wait of an order of steps is the dual of a flow of least cost and
// solved as such. What is too large to be settled so is improved by planning parts of it anew while the rest keeps its order.
// Where all this finds no plan, one is built vessel by vessel, each put into what the others leave free.
//
// While a run goes on, Replan plans the rest from what has happened: never worse than the old order with the facts put
// in, without turning round what is due soon, and without any change when there is no news. The delay does not count then:
// starts are not moved about for little.
//
// # What is taken from a protocol
//
// Each portion of a stage is a step of the hands' aimed time; where a protocol begins with a wait, to begin it is a step
// of a moment, and so it is to end a wait and begin the next one where no hands come between. A clock is a wait: its aim is
// how short it is planned to be (with Brisk its at_least), its at_most the latest end. Where a stage has a pause the work may rest: neither counts.
// Between stages without a clock the work may rest too, save between two attended stages, which follow each other at
// once. An attended stage keeps the hands for its clock as well. A resource is held through stages in a row that use it,
// with their waits; one that the protocol declares with_hands is a tool, taken while the hands are busy. A resource
// is there as often as Places says, or else the protocol, or else once. Reminders are a load in the background: the share
// of the hands' time that those of the other vessels take makes every step longer, where it is a tenth or more; below that
// it is left to the slack in the hands' times.
// So with more vessels the same step is planned longer, and with more hands shorter again (Problem.Stretch).
//
// # Why a plan is so long
//
// Why makes the plan anew with one thing relaxed at a time: one more pair of hands, one more place of each resource, a break
// less, no latest ends, and where these bind, one latest end less. Steps are as long as the hands then make them. What gives
// a plan that is shorter than any without it binds; what cannot give one does not; where neither is proven with the work
// allowed, it is not known. The waits of a vessel bind where nothing is shorter than a vessel by itself.
//
// # A case file
//
// TOML; times are numbers of minutes. Every fault is told at its place, all at once.
//
//	operators = 2                      # pairs of hands; 1 when left out
//	vessels = 3                        # lettered from A; or their labels: [ "A", "B" ]; 1 when left out
//	[capacity]                         # 1 of each resource without this table; with it, each that is used is to be there
//	bath = 3                           # places of a resource
//	balance = 1
//	[[step]]                           # the steps of each vessel, in the order in which they are shown
//	id = "load"
//	title = "Load the vessel"          # its id when left out
//	hands = 2
//	operators = 1                      # pairs of hands it takes; 1 when left out
//	uses = [ "balance" ]               # taken during the step, unless the vessel holds it then
//	[[wait]]                           # from the end of one step to the start of another; steps without waits between
//	from = "load"                      # them may go in any order
//	to = "dose"
//	at_least = 8                       # 0 when left out
//	aim = 8                            # what is longer is over-wait; at_least when left out
//	at_most = 14                       # no limit when left out
//	[[hold]]                           # from the start of one step to the end of another that waits lead to
//	resource = "bath"
//	from = "load"
//	to = "pour"
//	[[break]]                          # nobody is present: no step runs then
//	from = 30
//	to = 45
//	[[vessel]]                         # a further vessel with steps of its own: label, and
//	label = "X"                        # [[vessel.step]], [[vessel.wait]], [[vessel.hold]] as above
package plan
