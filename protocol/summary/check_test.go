package summary

import "testing"

func TestJudge(t *testing.T) {
	at := func(x float64) *float64 { return &x }
	tests := []struct {
		name            string
		low, high       *float64
		value, expanded float64
		verdict, said   string
	}{
		{"between", at(860), at(900), 878, 2, Within, "within"},
		{"on the limit", at(860), nil, 860, 0, Within, "within"},
		{"near the upper limit", at(860), at(900), 899, 2, Within, "within, but the limit is inside the uncertainty"},
		{"just below the lower", at(860), at(900), 859, 2, Outside, "outside, but the limit is inside the uncertainty"},
		{"far above", nil, at(0.5), 0.9, 0.1, Outside, "outside"},
		{"exact, above", nil, at(0.5), 0.6, 0, Outside, "outside"},
	}
	for _, tt := range tests {
		c := Check{Low: tt.low, High: tt.high}
		if c.judge(tt.value, tt.expanded); c.Verdict != tt.verdict || c.Message != tt.said {
			t.Errorf("%s: %s, %q; want %s, %q", tt.name, c.Verdict, c.Message, tt.verdict, tt.said)
		}
	}
}
