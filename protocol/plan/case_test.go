package plan

import (
	"os"
	"strings"
	"testing"
)

// TestBadCases gives each faulty case its message, and none of them a panic.
func TestBadCases(t *testing.T) {
	const a = "[[step]]\nid = \"a\"\nhands = 2\n"
	tests := []struct{ name, text, want string }{
		{"syntax", "vessels = \n", "bad.toml:1:"},
		{"nothing", "", "there is no vessel"},
		{"no step", "vessels = 2\n", "it has no step"},
		{"unknown key", a + "hans = 1\n", "unknown key step.hans; write hands"},
		{"wrong kind", "[[step]]\nid = \"a\"\nhands = \"2 min\"\n", "write it as the description of a case does"},
		{"negative time", "[[step]]\nid = \"a\"\nhands = -1\n", "is no number of minutes"},
		{"no number", "[[step]]\nid = \"a\"\nhands = nan\n", "is no number of minutes"},
		{"endless", "[[step]]\nid = \"a\"\nhands = 1e300\n", "is no number of minutes"},
		{"id twice", a + a, `the id "a" of a step is empty or taken`},
		{"too many hands", a + "operators = 2\n", "takes 2 pairs of hands and there are 1; write operators = 2"},
		{"no hands", "operators = 0\n" + a, "operators is 0; write a number from 1 to 99"},
		{"no places", "[capacity]\nbath = 0\n" + a, "bath has 0 places"},
		{"aim below", a + "[[step]]\nid = \"b\"\n[[wait]]\nfrom = \"a\"\nto = \"b\"\nat_least = 3\naim = 2\n", "aim 2m0s is shorter than at_least 3m0s"},
		{"most below", a + "[[step]]\nid = \"b\"\n[[wait]]\nfrom = \"a\"\nto = \"b\"\nat_least = 3\nat_most = 2\n", "at_most 2m0s is shorter than at_least 3m0s"},
		{"to itself", a + "[[wait]]\nfrom = \"a\"\nto = \"a\"\n", "a wait does not lead from one step to another"},
		{"break", a + "[[break]]\nfrom = 5\nto = 5\n", "write an end after its beginning"},
		{"vessels", "vessels = 1.5\n" + a, "vessels is no number from 1 to 26"},
		{"label twice", "vessels = [ \"A\", \"A\" ]\n" + a, `the label "A" of a vessel is empty or taken`},
		{"too many", "vessels = 26\n" + strings.Repeat("[[step]]\nid = \"x\"\n", 1) + manySteps(16), "at most 400 can be planned"},
	}
	for _, tt := range tests {
		p, err := ReadCase("bad.toml", []byte(tt.text))
		if err == nil || !strings.Contains(err.Error(), tt.want) || !strings.HasPrefix(err.Error(), "bad.toml") {
			t.Errorf("%s: %v, want bad.toml: … %s", tt.name, err, tt.want)
		}
		if p != nil {
			t.Errorf("%s: a problem comes with the error", tt.name)
		}
	}
}

func manySteps(n int) string {
	var b strings.Builder
	for i := range n {
		b.WriteString("[[step]]\nid = \"y" + string(rune('a'+i)) + "\"\n")
	}
	return b.String()
}

// TestSelfBlocking holds the same single place twice at once: nothing can be planned, and that is said.
func TestSelfBlocking(t *testing.T) {
	v := batch()
	v.Holds = append(v.Holds, Hold{"bath", 1, 2})
	if _, err := Solve(&Problem{Vessels: copies(2, v), Operators: 1}, Quick); err != ErrNoPlan {
		t.Errorf("got %v, want %v", err, ErrNoPlan)
	}
}

// FuzzCase reads any text; what comes of it is planned and must keep to its problem.
func FuzzCase(f *testing.F) {
	for _, c := range []string{"../../testdata/plan/batch.toml"} {
		text, err := os.ReadFile(c)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := ReadCase("case.toml", text)
		if err != nil {
			return
		}
		steps := 0
		for _, v := range p.Vessels {
			steps += len(v.Steps)
		}
		if steps > 60 {
			return // planning that many takes too long here
		}
		plan, err := Solve(p, 2_000_000)
		if err != nil {
			return
		}
		for _, fault := range faults(p, plan) {
			t.Error(fault)
		}
	})
}
