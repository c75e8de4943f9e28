package plan

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"example.org/meniscus/protocol"
)

// TestBadCases gives each faulty case its message with its place, and none of them a panic.
func TestBadCases(t *testing.T) {
	const a = "[[step]]\nid = \"a\"\nhands = 2\n"
	const ab = a + "[[step]]\nid = \"b\"\nhands = 2\n"
	const wait = ab + "[[wait]]\nfrom = \"a\"\nto = \"b\"\n"
	tests := []struct{ name, text, want string }{
		{"syntax", "vessels = \n", "1:11: this is no TOML"},
		{"nothing", "", `1:1: there is no step; write [[step]]`},
		{"no step", "vessels = 2\n", "1:11: vessels is told and there is no step"},
		{"a protocol", "format = 1\n[protocol]\nid = \"x\"\n", "1:1: this is a protocol and no case"},
		{"unknown key", a + "hans = 1\n", `4:1: step: unknown key "hans"; write hands`},
		{"wrong kind", "[[step]]\nid = \"a\"\nhands = \"2 min\"\n", `3:9: step "a": hands = "2 min", a text, not a number of minutes; write hands = 2`},
		{"no hands told", "[[step]]\nid = \"a\"\n", `1:1: step "a": hands is missing; write hands = 2, in minutes`},
		{"negative time", "[[step]]\nid = \"a\"\nhands = -1\n", `3:9: step "a": hands = -1; write a number of minutes from 0`},
		{"no number", "[[step]]\nid = \"a\"\nhands = nan\n", "3:9: step \"a\": hands = nan; write a number of minutes"},
		{"endless", "[[step]]\nid = \"a\"\nhands = 1e300\n", "3:9: step \"a\": hands = 1e300; write a number of minutes"},
		{"id twice", a + a, `5:6: step "a": the id is taken`},
		{"id empty", "[[step]]\nid = \"\"\nhands = 2\n", `2:6: step: the name "" is empty; write a name`},
		{"id unseen", "[[step]]\nid = \"\\u200b\"\nhands = 2\n", `2:6: step: the name "\u200b" has characters that cannot be seen`},
		{"too many hands", a + "operators = 2\n", `4:13: step "a": it takes 2 pairs of hands and there are 1; write operators = 2`},
		{"no operators", "operators = 0\n" + a, "1:13: operators = 0; write a whole number from 1 to 99"},
		{"no places", "[capacity]\nbath = 0\n" + a, "2:8: bath = 0; write a whole number from 1 to 999"},
		{"unused places", "[capacity]\nbath = 2\n" + a, "2:1: no step and no hold uses bath"},
		{"misspelt hold", "[capacity]\nbath = 2\n" + a + "uses = [ \"bath\" ]\n[[hold]]\nresource = \"bahT\"\nfrom = \"a\"\nto = \"a\"\n",
			`8:12: "bahT" is not among the capacities; write "bath", or bahT = 1`},
		{"untold use", "[capacity]\nbath = 2\n" + a + "uses = [ \"bath\", \"balance\" ]\n", `6:18: "balance" is not among the capacities; write balance = 1 below [capacity]`},
		{"hold of nothing", a + "[[hold]]\nresource = \"\"\nfrom = \"a\"\nto = \"a\"\n", `5:12: hold: the name "" is empty`},
		{"hold backwards", wait + "[[hold]]\nresource = \"x\"\nfrom = \"b\"\nto = \"a\"\n", `12:8: hold of x: the hold goes from a later step to an earlier one`},
		{"hold without order", ab + "[[hold]]\nresource = \"x\"\nfrom = \"a\"\nto = \"b\"\n", `9:8: hold of x: no waits lead from "a" to "b"`},
		{"aim below", wait + "at_least = 3\naim = 2\n", `11:7: wait from "a" to "b": aim = 2 is below at_least = 3`},
		{"most below", wait + "at_least = 3\nat_most = 2.5\n", `11:11: wait from "a" to "b": at_most = 2.5 is below at_least = 3`},
		{"aim above", wait + "aim = 5\nat_most = 4\n", `10:7: wait from "a" to "b": aim = 5 is above at_most = 4`},
		{"to itself", a + "[[wait]]\nfrom = \"a\"\nto = \"a\"\n", `6:6: wait from "a" to "a": it leads from a step to itself; write another step`},
		{"to nowhere", ab + "[[wait]]\nfrom = \"a\"\n", `7:1: wait: to is missing; write to = `},
		{"circle", wait + "[[wait]]\nfrom = \"b\"\nto = \"a\"\n", `7:1: waits lead round in a circle, through "a", "b"`},
		{"break", a + "[[break]]\nfrom = 5\nto = 5\n", "6:6: break: the break ends at 5 and begins at 5; write an end after its beginning"},
		{"no vessel", "vessels = 0\n" + a, "1:11: vessels = 0; write a whole number from 1 to 26"},
		{"half a vessel", "vessels = 1.5\n" + a, "1:11: vessels = 1.5, a number, not a whole number"},
		{"label twice", "vessels = [ \"A\", \"A\" ]\n" + a, `1:18: the label "A" of a vessel is taken`},
		{"label of another kind", a + "[[vessel]]\nlabel = \"A\"\n[[vessel.step]]\nid = \"a\"\nhands = 1\n", `5:9: the label "A" of a vessel is taken`},
		{"blocks", "step = 3\n", "1:8: step = 3, a number, not a list of blocks; write [[step]]"},
		{"uses", a + "uses = \"bath\"\n", `4:8: step "a": uses = "bath", a text, not a list of names`},
	}
	for _, tt := range tests {
		p, err := ReadCase("bad.toml", []byte(tt.text))
		if err == nil || !strings.Contains(err.Error(), "bad.toml:"+tt.want) {
			t.Errorf("%s: %v, want bad.toml:%s …", tt.name, err, tt.want)
		}
		if p != nil {
			t.Errorf("%s: a problem comes with the error", tt.name)
		}
	}
	if _, err := ReadCase("bad.toml", []byte("vessels = 26\n"+manySteps(mostSteps/26+1))); err == nil || !strings.Contains(err.Error(), "plan fewer vessels") {
		t.Errorf("too many steps: %v", err)
	}
}

// TestAllFaultsOfACase tells every fault of a file at once, in file order.
func TestAllFaultsOfACase(t *testing.T) {
	_, err := ReadCase("bad.toml", []byte("operators = 0\n[[step]]\nid = \"\"\nhands = -1\n[[wait]]\nfrom = \"x\"\nto = 3\n"))
	faults, ok := err.(protocol.Errors)
	var lines []int
	for _, f := range faults {
		lines = append(lines, f.Line)
	}
	if want := []int{1, 3, 4, 6, 7}; !ok || !slices.Equal(lines, want) {
		t.Errorf("faults are in the lines %v, want %v: %v", lines, want, err)
	}
}

func manySteps(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "[[step]]\nid = \"y%d\"\nhands = 1\n", i)
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
