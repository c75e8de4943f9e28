package tui

import "example.org/meniscus/protocol/run"

// saysFor is for how many points of a series the hands are told how to take them.
const saysFor = 2

// HowTo tells how a reading is taken; of a series only as long as that can be new.
func HowTo(a *run.Asked) string {
	if a.Nth > saysFor {
		return ""
	}
	return a.Say
}
