package rehearsal

import (
	"sync"
	"time"

	"example.org/meniscus/protocol/run"
)

// Day is the invented day on which rehearsals begin.
var Day = time.Date(2026, time.March, 2, 8, 30, 0, 0, time.UTC)

// A Clock stands still until it is set. It may be used from several goroutines.
type Clock struct {
	mu      sync.Mutex
	begin   time.Time
	elapsed time.Duration
}

// NewClock returns a clock whose elapsed time is zero at begin.
func NewClock(begin time.Time) *Clock { return &Clock{begin: begin.UTC().Truncate(time.Millisecond)} }

// Now returns the moment that the clock was set to.
func (c *Clock) Now() run.Moment {
	c.mu.Lock()
	defer c.mu.Unlock()
	return run.Moment{At: c.begin.Add(c.elapsed), Elapsed: c.elapsed}
}

// Set moves the clock on to elapsed; it never goes back.
func (c *Clock) Set(elapsed time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.elapsed = max(c.elapsed, elapsed.Truncate(time.Millisecond))
}
