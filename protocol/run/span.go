package run

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"example.org/meniscus/protocol"
)

// MarshalJSON writes seconds with milliseconds: 754.250.
func (d Span) MarshalJSON() ([]byte, error) {
	return strconv.AppendFloat(nil, time.Duration(d).Seconds(), 'f', 3, 64), nil
}

// UnmarshalJSON reads seconds; a span beyond a hundred years is refused.
func (d *Span) UnmarshalJSON(b []byte) error {
	f, err := strconv.ParseFloat(string(b), 64)
	if err != nil || math.IsNaN(f) || math.Abs(f) > 100*365*24*3600 {
		return fmt.Errorf("%q is no time in seconds", b)
	}
	*d = Span(time.Duration(math.Round(f*1000)) * time.Millisecond)
	return nil
}

// Hms shows a duration as a stopwatch does: 12:40, or 1:02:05 from an hour on. Parts of a second are cut.
func Hms(d time.Duration) string {
	sign := ""
	if d < 0 {
		sign, d = "-", -d
	}
	s := int64(d / time.Second)
	if s < 3600 {
		return fmt.Sprintf("%s%d:%02d", sign, s/60, s%60)
	}
	return fmt.Sprintf("%s%d:%02d:%02d", sign, s/3600, s/60%60, s%60)
}

// Range tells a window in words: "40:00 to 60:00, aim 45:00".
func Range(w protocol.Window) string {
	aim := ""
	if w.Aim > 0 {
		aim = ", aim " + Hms(w.Aim)
	}
	switch {
	case w.AtLeast > 0 && w.AtMost > 0:
		return Hms(w.AtLeast) + " to " + Hms(w.AtMost) + aim
	case w.AtMost > 0:
		return "at most " + Hms(w.AtMost) + aim
	case w.AtLeast > 0:
		return "at least " + Hms(w.AtLeast) + aim
	case w.Aim > 0:
		return "aim " + Hms(w.Aim)
	}
	return "no limit"
}
