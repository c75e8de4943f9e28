package summary_test

import (
	"math"
	"testing"

	"example.org/meniscus/protocol/summary"
)

// A mean over vessels names those that it had to do without, and so does what is made of it; a vessel that its condition
// leaves out is not missed.
func TestVesselsLeftOutAreNamed(t *testing.T) {
	s := summary.FromState(worked(t, oneStage+`step = "0.1"
[[stage.reading]]
id = "over"
unit = "1"
[[stage.reading]]
id = "kind"
kind = "choice"
choices = ["own", "other"]
[[result]]
id = "share"
formula = "x / over"
unit = "1"
[[result]]
id = "all"
of = "run"
formula = "mean(across(share))"
unit = "1"
[[result]]
id = "owns"
of = "run"
formula = 'mean(across(x, kind == "own"))'
unit = "1"
[[result]]
id = "twice"
of = "run"
formula = "2 * all"
unit = "1"
`, "A,x,2,,\nA,over,1,,\nA,kind,own,,\nB,x,3,,\nB,over,0,,\nB,kind,own,,\nC,over,1,,\nC,kind,other,,\nD,x,4,,\nD,over,1,,\n"))
	tests := []struct {
		id   string
		want float64 // by hand
		says string
	}{
		{"all", 3, "Without vessel B: x / over: division by zero. Without vessel C: x (x) was not taken."},
		{"owns", 2.5, "Without vessel D: kind (kind) was not taken."},
		{"twice", 6, "Without vessel B: x / over: division by zero. Without vessel C: x (x) was not taken."},
	}
	for _, tt := range tests {
		r := find(t, s.Results, tt.id)
		if r.Status != summary.OK || math.Abs(*r.Value-tt.want) > 1e-12 || r.Message != tt.says {
			t.Errorf("%s: %s, %v, %q; want %g, %q", tt.id, r.Status, r.Value, r.Message, tt.want, tt.says)
		}
	}
}
