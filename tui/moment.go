package tui

import (
	"fmt"
	"time"

	"example.org/meniscus/protocol/run"
)

// Live tells a figure from the readings so far: its value, or when it is to be, at a time of day.
func Live(f run.LiveView, now time.Time) string {
	if f.In == nil {
		return f.Value
	}
	return moment(*f.In, now)
}

// moment tells a moment by how far off it is and by the clock on the wall: no closer than the minute, for it is a
// forecast.
func moment(in time.Duration, now time.Time) string {
	at := now.Add(in).Format("15:04")
	switch {
	case in <= -time.Minute:
		return "since " + at
	case in < time.Minute:
		return "about now, at " + at
	}
	return "about " + About(in) + ", at " + at
}

// About tells a long time roughly: 45 s, 25 min, 3 h 40 min, 2 days.
func About(d time.Duration) string {
	switch m := int(d.Round(time.Minute) / time.Minute); {
	case d < time.Minute:
		return fmt.Sprintf("%d s", max(0, int(d/time.Second)))
	case m < 60:
		return fmt.Sprintf("%d min", m)
	case m >= 48*60:
		return fmt.Sprintf("%d days", m/(24*60))
	case m%60 == 0:
		return fmt.Sprintf("%d h", m/60)
	default:
		return fmt.Sprintf("%d h %d min", m/60, m%60)
	}
}
