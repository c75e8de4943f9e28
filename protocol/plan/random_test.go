package plan

import (
	"bufio"
	"bytes"
	"encoding/json"
	"os"
	"testing"

	"github.com/BurntSushi/toml"
)

// A solved case has its optimum from a solver of mixed-integer programs; testdata/plan/make.py draws and solves them.
type solved struct {
	Seed     int            `json:"seed"`
	Excess   int            `json:"excess_min"`
	Makespan int            `json:"makespan_min"`
	OverWait int            `json:"overwait_min"`
	Source   string         `json:"source"`
	Case     map[string]any `json:"case"`
}

func (s solved) problem(t testing.TB) *Problem {
	t.Helper()
	var text bytes.Buffer
	if err := toml.NewEncoder(&text).Encode(whole64(s.Case)); err != nil {
		t.Fatal(err)
	}
	p, err := ReadCase("random", text.Bytes())
	if err != nil {
		t.Fatalf("%v\n%s", err, text.String())
	}
	return p
}

// whole64 makes the numbers of a JSON value whole, as the case file has them where it asks for whole ones.
func whole64(v any) any {
	switch x := v.(type) {
	case map[string]any:
		for k := range x {
			x[k] = whole64(x[k])
		}
	case []any:
		for i := range x {
			x[i] = whole64(x[i])
		}
	case float64:
		return int64(x)
	}
	return v
}

func solvedCases(t testing.TB) []solved {
	t.Helper()
	f, err := os.Open("../../testdata/plan/random.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []solved
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var s solved
		if err := json.Unmarshal(lines.Bytes(), &s); err != nil {
			t.Fatal(err)
		}
		out = append(out, s)
	}
	return out
}

// TestAgainstASolver plans cases whose optimum a solver of mixed-integer programs has found.
func TestAgainstASolver(t *testing.T) {
	cases := solvedCases(t)
	if len(cases) < 200 {
		t.Errorf("%d cases, want 200 or more", len(cases))
	}
	violated := 0
	for _, c := range cases {
		p := c.problem(t)
		plan, err := Solve(p, Thorough)
		if err != nil {
			t.Errorf("case %d: %v", c.Seed, err)
			continue
		}
		for _, fault := range faults(p, plan) {
			t.Errorf("case %d: %s", c.Seed, fault)
		}
		if plan.Excess != minutes(c.Excess) || plan.Makespan != minutes(c.Makespan) || plan.OverWait != minutes(c.OverWait) {
			t.Errorf("case %d: excess %v, makespan %v, over-wait %v (proven %v); want %d, %d and %d min (%s)", c.Seed,
				plan.Excess, plan.Makespan, plan.OverWait, plan.Proven, c.Excess, c.Makespan, c.OverWait, c.Source)
		}
		if !plan.Proven {
			t.Errorf("case %d: not proven", c.Seed)
		}
		if c.Excess > 0 {
			violated++
		}
	}
	t.Logf("%d cases, %d of them with windows that cannot be kept", len(cases), violated)
}
