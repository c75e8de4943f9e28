package command

import (
	"strings"
	"testing"
	"time"
)

func TestTimeLeft(t *testing.T) {
	at := time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)
	var out strings.Builder
	progress, done := timeLeft(&out, func() time.Time { return at })
	for _, step := range []struct {
		after time.Duration
		share float64
		want  string
	}{
		{500 * time.Millisecond, 0.01, ""},
		{500 * time.Millisecond, 0.02, "\r\rTrials: 2 %, 0:49 left"},
		{100 * time.Millisecond, 0.03, ""},
		{8900 * time.Millisecond, 0.1, "\r                      \rTrials: 10 %, 1:30 left"}, // 10 s for a tenth
	} {
		at = at.Add(step.after)
		out.Reset()
		if progress(step.share); out.String() != step.want {
			t.Errorf("%q at %s, want %q", out.String(), at.Format("05.0"), step.want)
		}
	}
	out.Reset()
	if done(); strings.Trim(out.String(), "\r ") != "" || !strings.HasSuffix(out.String(), "\r") {
		t.Errorf("%q is left on the line", out.String())
	}
}
