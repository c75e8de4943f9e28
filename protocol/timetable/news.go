package timetable

import (
	"cmp"
	"slices"
	"time"

	"example.org/meniscus/protocol/run"
)

// The least move that makes a new timetable, and the least that is worth telling.
const (
	moving  = time.Minute
	Telling = 2 * time.Minute
)

// isNews tells whether a timetable differs from the one that holds in what somebody at the bench would notice.
func isNews(old, made run.Planned) bool {
	if moved(old.End, made.End) || !slices.EqualFunc(old.Missed, made.Missed, sameMiss) {
		return true
	}
	var before []run.PlannedTurn
	for _, t := range made.Turns {
		k := slices.IndexFunc(old.Turns, t.IsTurn)
		if k < 0 || moved(old.Turns[k].Start, t.Start) {
			return true
		}
		before = append(before, old.Turns[k])
	}
	return !slices.EqualFunc(inOrder(before), inOrder(made.Turns), run.PlannedTurn.IsTurn)
}

func inOrder(turns []run.PlannedTurn) []run.PlannedTurn {
	out := slices.Clone(turns)
	slices.SortStableFunc(out, func(a, b run.PlannedTurn) int { return cmp.Compare(a.Start, b.Start) })
	return out
}

func moved(a, b run.Span) bool { return time.Duration(a-b).Abs() >= moving }

func sameMiss(a, b run.PlannedMiss) bool {
	return a.Vessel == b.Vessel && a.To == b.To && !moved(a.By, b.By)
}
