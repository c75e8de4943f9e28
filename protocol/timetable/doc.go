// Package timetable keeps the plan of a run true while the run goes on.
//
// A Keeper looks at a run.State. Where the hands have begun or ended something, a wait was given more time, a vessel has
// joined or was given up, or a turn is overdue, it hands out a Task: the rest of the run as a problem of package plan.
// Task.Plan does the work; it looks at nothing that changes, so it may run beside the run. What it has found is recorded as
// run.Planned if the run still stands as it did, and if it is news: a vessel that the last timetable does not have, a turn
// or the end moved by a minute or more, another order of the hands, or a window that cannot be kept. Smaller shifts leave
// the timetable as it is: nobody reads a minute of it twice for the sake of seconds. And the order of the hands is turned
// round only for a gain: a window that is missed less, or two minutes.
//
// What lies within the next two minutes keeps its order, but not a turn that is overdue by more than half a minute, nor
// anything when the hands come back from elsewhere. A window that ran while they were away is then not used to its last
// minute, if no window is missed for that: so long before it closes a wait calls anyway, and comes first. A turn that
// nobody takes up makes the rest be planned again after one minute, two, four and so on, until something is done. While
// the hands are away nothing is planned; when they are back the rest is. A vessel that nobody begins keeps its turn until
// it is given up.
package timetable
