package summary

import "testing"

// The verdicts are those of the interval value ± expanded (JCGM 106:2012, 8.3, guard bands, from memory): the expected ones
// are worked by hand from the figures of each row.
func TestJudge(t *testing.T) {
	at := func(x float64) *float64 { return &x }
	tests := []struct {
		name            string
		low, high       *float64
		value, expanded float64
		verdict, said   string
	}{
		{"between", at(860), at(900), 878, 2, Inside, "inside"},
		{"on the limit", at(860), nil, 860, 0, Inside, "inside"},
		{"near the upper limit", at(860), at(900), 899, 2, Undecided, "undecided: inside by less than its uncertainty"},
		{"just below the lower", at(860), at(900), 859, 2, Undecided, "undecided: outside by less than its uncertainty"},
		{"far above", nil, at(0.5), 0.9, 0.1, Outside, "outside"},
		{"on the limit, not exact", at(860), nil, 860, 1, Undecided, "undecided: inside by less than its uncertainty"},
		{"as far as its uncertainty", at(860), nil, 862, 2, Inside, "inside"},
		{"below by as much", at(860), nil, 858, 2, Outside, "outside"},
		{"limits nearer than the uncertainty", at(860), at(861), 860.5, 5, Undecided, "undecided: inside by less than its uncertainty"},
		{"no limit", nil, nil, 5, 1, Inside, "inside"},
		{"exact, above", nil, at(0.5), 0.6, 0, Outside, "outside"},
	}
	for _, tt := range tests {
		c := Check{Low: tt.low, High: tt.high}
		if c.judge(tt.value, tt.expanded); c.Verdict != tt.verdict || c.Message != tt.said {
			t.Errorf("%s: %s, %q; want %s, %q", tt.name, c.Verdict, c.Message, tt.verdict, tt.said)
		}
	}
}
