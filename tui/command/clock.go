package command

import (
	"time"

	"example.org/meniscus/protocol/run"
)

// start is where the clock of the waking machine, which time.Now carries, is counted from.
var start = time.Now()

// A machine is this computer's clocks. How long it is up, and what names this start of it, is asked in a way of each
// platform: see upTime and bootName.
type machine struct{}

func (machine) Read() run.Dials {
	now := time.Now()
	d := run.Dials{Wall: now.Round(0), Zone: now.Format("-07:00"), Awake: now.Sub(start), Up: -1, Boot: bootName}
	if up, ok := upTime(); ok {
		d.Up = up
	}
	return d
}
