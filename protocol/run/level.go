package run

import (
	"time"

	"example.org/meniscus/protocol"
)

// scale fills in the graduations, how far the vessel has come, and how far it should be by the plan.
func (l *look) scale(w *View) {
	var total, before time.Duration
	for _, st := range l.s.Protocol.Stages {
		total += st.Planned()
	}
	if total <= 0 {
		return
	}
	for i, st := range l.s.Protocol.Stages {
		done := i < l.v.Stage || l.v.Through != nil && l.v.GivenUp == ""
		if i < l.v.Stage {
			before += st.Planned()
		}
		w.Marks = append(w.Marks, Graduation{Title: st.Title, Done: done})
	}
	var sum time.Duration
	for i, st := range l.s.Protocol.Stages {
		sum += st.Planned()
		w.Marks[i].At = float64(sum) / float64(total)
	}
	if l.st != nil {
		before += time.Duration(l.share() * float64(l.st.Planned()))
	}
	w.Level = min(1, float64(before)/float64(total))
	if w.Begun {
		w.PlannedLevel = min(1, float64(l.now-l.v.Began)/float64(total))
	}
}

// share returns how much of its stage the vessel has behind it, from 0 to 1: by portions, then by steps or by the clock.
func (l *look) share() float64 {
	v, st := l.v, l.st
	if v.complete(st) {
		return 1
	}
	hands, wait := 1.0, 0.0
	if st.WaitsAfter(v.Portion) {
		hands = float64(st.Hands.Aim) / float64(max(st.Hands.Aim+st.Clock.Aim, 1))
		if !st.HasHands() {
			hands = 0
		}
		wait = 1 - hands
	}
	part := 0.0
	switch v.Phase {
	case protocol.HandsPhase:
		part = hands * float64(v.Step) / float64(len(stepsOf(st, v.Portion)))
	case protocol.WaitPhase:
		aim := max(v.window(st).Aim, 1)
		part = hands + wait*min(1, float64(l.now-v.Since)/float64(aim))
	default:
		part = hands + wait
	}
	return (float64(v.Portion-1) + part) / float64(st.Portions)
}
