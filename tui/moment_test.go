package tui

import (
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
)

func TestLive(t *testing.T) {
	now := time.Date(2026, 3, 2, 10, 59, 30, 0, time.UTC)
	tests := []struct {
		in   time.Duration
		want string
	}{
		{5*time.Minute + 30*time.Second, "about 6 min, at 11:05"},
		{2 * time.Hour, "about 2 h, at 12:59"},
		{20 * time.Second, "about now, at 10:59"},
		{-20 * time.Second, "about now, at 10:59"},
		{-10 * time.Minute, "since 10:49"},
	}
	for _, tt := range tests {
		if got := Live(run.LiveView{In: &tt.in}, now); got != tt.want {
			t.Errorf("%s off: %q, want %q", tt.in, got, tt.want)
		}
	}
	if got := Live(run.LiveView{Value: "0.41 ± 0.12 mL"}, now); got != "0.41 ± 0.12 mL" {
		t.Errorf("a figure is told as %q", got)
	}
}
