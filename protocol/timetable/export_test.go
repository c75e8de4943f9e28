package timetable

import "example.org/meniscus/protocol/plan"

// Facts are what a task takes for done, by vessel and step.
func (t *Task) Facts() [][]plan.Fact { return t.stands.facts }

// Clear is the plan that a task makes of one, to keep clear of the last minute of windows.
func (t *Task) Clear(made *plan.Plan) *plan.Plan { return t.clear(t.old(), made) }

// Old is the timetable that holds, as a task hands it to package plan.
func (t *Task) Old() *plan.Plan { return t.old() }
