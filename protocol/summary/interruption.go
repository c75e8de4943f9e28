package summary

import (
	"time"

	"example.org/meniscus/protocol/run"
)

// breakOf tells where time did not go its ordinary way.
func breakOf(b run.Break) Break {
	out := Break{Kind: b.What.Kind(), At: clock(b.At.At), Elapsed: b.At.Elapsed}
	length := func(s run.Span) string {
		out.ForS = time.Duration(s).Seconds()
		return run.Hms(time.Duration(s).Abs())
	}
	switch f := b.What.(type) {
	case run.Slept:
		out.Say = "the machine slept for " + length(f.For)
		if f.Unsure {
			out.Say += ", or its clock was set forward by that"
		}
		out.Say += "; counted as elapsed"
	case run.Stopped:
		out.Say = "the program was stopped for " + length(f.For) + "; counted as elapsed"
	case run.ClockSet:
		out.Say = "the wall clock was set forward by " + length(f.By) + "; not counted"
		if f.By < 0 {
			out.Say = "the wall clock was set back by " + length(f.By) + "; not counted"
		}
	case run.ZoneChanged:
		out.Say = "the place's time was at " + f.Zone + " from UTC from then on; times of day stay in the offset of the begin"
	}
	return out
}
