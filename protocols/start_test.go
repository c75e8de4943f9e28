package protocols_test

import (
	"math"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
)

// firstBurn is the first ethanol burn of the demonstration, changed: its readings of the flame's first minute are not taken,
// and the flame is lit later by a time.
func firstBurn(later time.Duration, upTo string) func([]protocols.Line) []protocols.Line {
	return func(lines []protocols.Line) []protocols.Line {
		last, _ := run.ParseHms(upTo)
		lit, _ := run.ParseHms("11:05")
		var out []protocols.Line
		for _, l := range lines {
			if l.At > last {
				break
			}
			if l.At >= lit && l.At < lit+61*time.Second && l.Typed != "" {
				continue
			}
			if l.At >= lit {
				l.At += later
			}
			out = append(out, l)
		}
		return out
	}
}

// TestBurnWithoutItsFirstReadings: the first reading of the burn came a minute and a half after the flame. The energy is
// had all the same, from the pre-period's line, and the mark to stop at is counted from there.
func TestBurnWithoutItsFirstReadings(t *testing.T) {
	s, err := play(t, "burn-test", firstBurn(0, "14:35"))
	if err != nil {
		t.Fatal(err)
	}
	// By hand: 14.6, 14.7, 14.7, 14.8 °C each half minute, the last half a minute before the flame: 14.7 + 0.12·1.25.
	const start = 14.85
	at := s.Last.Elapsed
	if w := s.Look("A", at); w.Asked == nil || w.Asked.Aim != "32.9 °C" || w.Gate == nil || w.Gate.Met || w.Gate.Lacks != "the water has risen by 18 K: 13.15 K by now" {
		t.Errorf("with 28.0 °C: asked %+v, gate %+v; want the aim at %.2f + 18", w.Asked, w.Gate, start)
	}

	s, err = play(t, "burn-test", firstBurn(0, "25:30"))
	if err != nil {
		t.Fatal(err)
	}
	want := map[string]float64{"start_temperature": start, "corrected_rise": 35.1 - start + 0.01169*(30.28+0.5375), "specific_energy": 14.09 * 20.61 / 20.65}
	for id, value := range want {
		v, err := s.Values("A").Value(id)
		if err != nil {
			t.Errorf("%s: %v", id, err)
		} else if got := v.Number.Value; math.Abs(got-value) > 0.011 {
			t.Errorf("%s = %.3f, want %.3f", id, got, value)
		}
	}
	v, err := s.Values("A").Value("start_temperature")
	if err != nil {
		t.Fatal(err)
	}
	// The offset that all readings share is the thermometer's; what is the readings' own grows with the way of the line:
	// √(0.1²/12 + 0.05²/3) of each, times √(1/4 + 1.25²/1.25).
	if own := math.Sqrt(math.Pow(v.Number.U(), 2) - math.Pow(v.Number.From("instrument:"), 2)); math.Abs(own-0.050) > 0.0005 {
		t.Errorf("the start is known to %.4f K without the offset, want 0.050 K", own)
	}
}

// TestBurnNeedsItsFirstReading: with the pre-period's last reading more than two minutes before the flame, the burn's own first
// one is needed within a minute. The bench says so while that lasts, and what is lost otherwise.
func TestBurnNeedsItsFirstReading(t *testing.T) {
	s, err := play(t, "burn-test", firstBurn(2*time.Minute, "11:05"))
	if err != nil {
		t.Fatal(err)
	}
	const want = "Read it now: Water. Later there is no Energy per gram, as measured."
	for after, say := range map[time.Duration]string{10 * time.Second: "", 20 * time.Second: want, 55 * time.Second: want} {
		if w := s.Look("A", s.Last.Elapsed+after); w.Needed != say {
			t.Errorf("%s after the flame: %q, want %q", after, w.Needed, say)
		}
	}
}
