package command

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"example.org/meniscus/protocol/plan"
)

// TestPlanIsFitForPaper prints plans with all that a page can have: a break, the next day, reasons, names that are too long,
// windows that are missed. No line is longer than a page of 80 columns, and with plain characters every one of them is plain.
func TestPlanIsFitForPaper(t *testing.T) {
	long := filepath.Join(t.TempDir(), "long.toml")
	name := strings.Repeat("grind with mortar and pestle ", 4)
	text := "operators = 3\nvessels = [\"" + name + "\", \"B\"]\n" +
		"[[step]]\nid = \"" + name + "\"\ntitle = \"" + name + "\"\nhands = 725\n" +
		"[[step]]\nid = \"b\"\nhands = 1000.35\nuses = [\"" + name + "\", \"über\"]\n" +
		"[[wait]]\nfrom = \"" + name + "\"\nto = \"b\"\nat_least = 1\nat_most = 2\n"
	if err := os.WriteFile(long, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"ester-batch", "--vessels", "3", "--start", "22:00", "--until", "02:00", "--break", "23:00-23:30"},
		{"burn-test", "--vessels", "2", "--start", "09:30", "--why"},
		{"ester-batch", "acid-and-catalyst", "burn-test", "--brisk"},
		{"--case", long, "--start", "23:59", "--why"},
		{"--case", long, "--operators", "1", "--why"},
	} {
		out := planText(t, args...)
		for _, line := range strings.Split(out, "\n") {
			if n := utf8.RuneCountInString(line); n > planWidth {
				t.Errorf("plan %v: %d columns: %s", args, n, line)
			}
		}
		for _, form := range []string{"text", "html"} {
			plain := planText(t, append([]string{"--ascii", "--format", form}, args...)...)
			if i := strings.IndexFunc(plain, func(r rune) bool { return r > '~' }); i >= 0 {
				t.Errorf("plan --ascii --format %s %v prints %q", form, args, plain[i:i+8])
			}
		}
	}
}

func planText(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if Run(append([]string{"plan"}, args...), strings.NewReader(""), &out, &errs); out.Len() == 0 {
		t.Fatalf("plan %v prints nothing: %s", args, errs.String())
	}
	return out.String()
}

// TestPlanOfAWideTerminal draws more finely where there is room.
func TestPlanOfAWideTerminal(t *testing.T) {
	p := planOf(t, 1, step("load", 70), step("pour", 70))
	for _, tt := range []struct{ width, columns int }{{0, 80}, {40, 80}, {120, 120}, {400, 160}} {
		page := timetable{plan: p, width: tt.width}
		most := 0
		for _, line := range strings.Split(page.text(), "\n") {
			most = max(most, utf8.RuneCountInString(line))
		}
		if page.columns() != tt.columns || most > tt.columns {
			t.Errorf("a terminal of %d columns gets a page of %d, the longest line has %d; want %d", tt.width, page.columns(), most, tt.columns)
		}
	}
	if fine, rough := (&timetable{plan: p, width: 160}).scale(), (&timetable{plan: p}).scale(); fine >= rough {
		t.Errorf("a column is %v in a wide terminal and %v in a narrow one", fine, rough)
	}
}

func step(id string, minutes int) plan.Step {
	return plan.Step{ID: id, Hands: time.Duration(minutes) * time.Minute, Operators: 1}
}

// planOf plans two vessels whose steps follow each other.
func planOf(t *testing.T, operators int, steps ...plan.Step) *plan.Plan {
	t.Helper()
	v := plan.Vessel{Label: "A", Steps: steps}
	for j := 1; j < len(steps); j++ {
		v.Waits = append(v.Waits, plan.Wait{From: j - 1, To: j, Aim: plan.Forever, AtMost: plan.Forever})
	}
	w := v
	w.Label = "B"
	p, err := plan.Solve(&plan.Problem{Vessels: []plan.Vessel{v, w}, Operators: operators}, plan.Quick)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestDrawnToScale marks a column as hands where they are busy for half of it or more, and otherwise where they are busy at
// all by a lighter mark.
func TestDrawnToScale(t *testing.T) {
	minute := time.Minute
	page := timetable{ascii: true}
	tests := []struct {
		strokes []stroke
		want    string
	}{
		{[]stroke{{0, 4 * minute, handsOn, ""}}, "##  "},
		{[]stroke{{0, 3 * minute, handsOn, ""}, {3 * minute, 8 * minute, timedWait, ""}}, "##--"},
		{[]stroke{{0, minute / 2, handsOn, ""}, {minute / 2, 8 * minute, timedWait, ""}}, "+---"},
		{[]stroke{{minute / 2, 5 * minute / 2, handsOn, ""}}, "#+  "},
		{[]stroke{{7 * minute / 4, 9 * minute / 4, handsOn, ""}}, "++  "},
		{[]stroke{{0, minute / 2, handsOn, ""}, {minute, 3 * minute / 2, handsOn, ""}}, "#   "},
		{[]stroke{{0, 5 * minute / 2, timedWait, ""}, {5 * minute / 2, 8 * minute, resting, ""}}, "-..."},
		{[]stroke{{2 * minute, 4 * minute, nobody, ""}}, " x  "},
	}
	for _, tt := range tests {
		if got := page.line(row{strokes: tt.strokes}, 2*minute, 4); got != tt.want {
			t.Errorf("%v: %q, want %q", tt.strokes, got, tt.want)
		}
	}
}

// TestWhoDoesWhat gives each turn to the first pair of hands that is free, and never two at once to one.
func TestWhoDoesWhat(t *testing.T) {
	p := planOf(t, 3, step("load", 4), step("pour", 3))
	page := timetable{plan: p}
	pairs := page.pairs()
	busy := map[int]time.Duration{}
	for _, turn := range page.turns() {
		who := pairs[turn.v][turn.j]
		if len(who) != 1 {
			t.Fatalf("vessel %d, step %d is done by %v", turn.v, turn.j, who)
		}
		if busy[who[0]] > turn.at {
			t.Errorf("pair %d begins at %v and is busy until %v", who[0], turn.at, busy[who[0]])
		}
		busy[who[0]] = turn.at + turn.hands
	}
	if len(busy) != 2 {
		t.Errorf("%d pairs have something to do, want 2: there are two vessels", len(busy))
	}
	text := page.text()
	if !strings.Contains(text, "\nHands 2 ") || strings.Contains(text, "\nHands 3 ") {
		t.Errorf("want a row for each of the two pairs that are busy:\n%s", text)
	}
}

// TestPlanPageIsEscaped writes names that a browser would act on: they come out as texts.
func TestPlanPageIsEscaped(t *testing.T) {
	p := planOf(t, 1, step("<script>alert(1)</script>", 60), step(`"><b>`, 5))
	p.Problem.Vessels[0].Label = "<i>A"
	var out bytes.Buffer
	if err := (&timetable{plan: p}).page(&out); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{"<script", "<b>", "<i>"} {
		if strings.Contains(out.String(), bad) {
			t.Errorf("the page has %s", bad)
		}
	}
	if !strings.Contains(out.String(), "&lt;script&gt;alert(1)&lt;/script&gt;") {
		t.Error("the name of the step is missing")
	}
}

func TestCapital(t *testing.T) {
	for text, want := range map[string]string{"": "", "über": "Über", "bath": "Bath", "ǆ": "Ǆ", "1 h": "1 h"} {
		if got := capital(text); got != want {
			t.Errorf("capital(%q) is %q, want %q", text, got, want)
		}
	}
}

// TestReadmeShowsTheCase holds the case on the page to the one that its command plans in the other test of the page.
func TestReadmeShowsTheCase(t *testing.T) {
	page, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("../../testdata/readme/bench.toml")
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(page), "```toml\n"+string(text)+"```\n") {
		t.Error("README.md does not show testdata/readme/bench.toml")
	}
}
