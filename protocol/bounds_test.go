package protocol

import (
	"errors"
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"
)

// What a hostile file may cost until it is refused or loaded, scaled and filled in. It is a second on a machine of its
// own; ten are allowed here, since others use the machine and a race build is ten times slower: what must be caught is
// cost that grows without bound.
const (
	mostTime   = 10 * time.Second
	mostMemory = 200 << 20 // bytes allocated in all, which is more than are held at once
)

// costs runs f and holds what it took against the bounds. It takes the better of two, since others use the machine too.
func costs(t *testing.T, f func()) {
	t.Helper()
	var took time.Duration
	var held uint64
	for range 2 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		begun := time.Now()
		f()
		took = time.Since(begun)
		runtime.ReadMemStats(&after)
		if held = after.TotalAlloc - before.TotalAlloc; took <= mostTime && held <= mostMemory {
			return
		}
	}
	t.Errorf("took %v and %d MB, want at most %v and %d MB", took, held>>20, mostTime, mostMemory>>20)
}

// head is a sound beginning of a protocol.
const head = "format = 1\n[protocol]\nid = \"x\"\ntitle = \"X\"\nversion = \"1\"\n"

const stage = "[[stage]]\nid = \"s\"\ntitle = \"S\"\nsteps = [\"Do\"]\n"

// TestBounds: a file that is too large, too deep, too long or too many of anything is told so, in a second and in little
// memory; what is refused by no bound loads and can be used within the same.
func TestBounds(t *testing.T) {
	given := "[[given]]\nid = \"b\"\nvalue = \"3 g\"\n"
	amount := func(formula string) string {
		return head + given + "[[amount]]\nid = \"a\"\nunit = \"g\"\nformula = \"" + formula + "\"\n" + stage
	}
	chain := func(block, of string) string {
		var out strings.Builder
		out.WriteString(head + given + stage)
		for i := range 150 {
			before := "b"
			if i > 0 {
				before = fmt.Sprintf("n%d", i-1)
			}
			fmt.Fprintf(&out, "[[%s]]\nid = \"n%d\"\nunit = \"g\"\nformula = \"%s / 2 + %s / 2\"\n%s", block, i, before, before, of)
		}
		return out.String()
	}
	unit := func(u string) string {
		return head + strings.Replace(given, "3 g", "3 "+u, 1) + stage
	}
	many := func(n int, block string) string { return strings.Repeat(block, n) }
	numbered := func(n int, block string) string {
		var out strings.Builder
		for i := range n {
			out.WriteString(strings.ReplaceAll(block, "#", fmt.Sprint(i)))
		}
		return out.String()
	}
	tests := []struct {
		name, text string
		says       string // part of the first fault; "" for a file that loads
	}{
		{"10 MB", head + many(10<<20, "#"), "at most 1048576 are read"},
		{"10 MB of nothing", many(10<<20, "\x00"), "at most"},
		{"a million stages", head + many(1_000_000, "[[stage]]\n"), "at most"},
		{"all stages that fit", head + many(100_000, "[[stage]]\n"), "200"},
		{"arrays in arrays", head + "a = " + many(500_000, "["), "nested"},
		{"tables in tables", head + "a = " + many(200_000, "{a="), "nested"},
		{"a deep header", head + "[a" + many(300_000, ".a") + "]\n", ""},
		{"a deep key", head + "a" + many(300_000, ".a") + " = 1\n", ""},
		{"many keys", head + numbered(60_000, "k# = 1\n"), ""},
		{"many long keys", head + numbered(100, many(5_000, "k")+"# = 1\n"), ""},
		{"many tables", head + numbered(60_000, "[k#]\n"), ""},
		{"a formula of a kilometre", amount("b" + many(100_000, " + b")), "at most 10000 are read"},
		{"a long formula", amount("b" + many(2_400, " + b")), ""},
		{"brackets in a formula", amount(many(4_900, "(") + "b" + many(4_900, ")")), ""},
		{"open brackets in a formula", amount(many(9_900, "(")), ""},
		{"signs in a formula", amount(many(9_900, "-") + "b"), ""},
		{"denials in a formula", amount(many(2_400, "not ") + "b"), ""},
		{"calls in a formula", amount(many(1_900, "sqrt(") + "b"), ""},
		{"choices in a formula", amount(many(900, "if(true, b, ") + "b" + many(900, ")")), ""},
		{"powers of powers", amount("b * 9" + many(200, "^9")), ""},
		{"a unit of a megabyte", unit("g" + many(400_000, ".g")), "at most"},
		{"a long unit", unit("g" + many(4_900, ".g")), ""},
		{"a long quotient", unit("g" + many(2_400, "/g.g")), ""},
		{"a unit to a great power", unit("m99999999999999999999"), ""},
		{"a unit in brackets", unit(many(9_900, "(")), ""},
		{"a long id", strings.Replace(head, `"x"`, `"`+many(900_000, "x")+`"`, 1) + stage, ""},
		{"a name without end", head + given + strings.Replace(stage, "Do", "Do {"+many(900_000, "b"), 1), ""},
		{"unknown names", head + given + strings.Replace(stage, "Do", "Do "+numbered(80_000, "{b#}"), 1), ""},
		{"names by the hundred", head + given + strings.Replace(stage, "Do", "Do "+many(51, "{b}"), 1), "at most 50 names"},
		{"a text repeated", head + strings.Replace(given, "3 g", many(4000, "w"), 1) + strings.Replace(given, `"b"`, `"c"`, 1) +
			strings.Replace(stage, "Do", many(200_000, "{c}"), 1), ""},
		{"amounts of amounts", chain("amount", ""), ""},
		{"results of results", chain("result", ""), ""},
		{"results of the run", chain("result", "of = \"run\"\n"), ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			costs(t, func() {
				p, err := Load("x.toml", []byte(tt.text))
				if err != nil {
					if text := err.Error(); len(text) > 100_000 || tt.says != "" && !strings.Contains(text, tt.says) {
						t.Errorf("%d bytes: %.200s", len(text), text)
					}
					return
				}
				if tt.says != "" {
					t.Errorf("it loads; want %q", tt.says)
				}
				sheet, err := p.Scale(nil)
				if err != nil {
					return
				}
				for _, st := range p.Stages {
					for _, step := range st.Steps {
						if n := len(step.Say.Fill(sheet, 1)); n > 10<<20 {
							t.Errorf("a step of %d bytes", n)
						}
					}
				}
			})
		})
	}
}

// What is typed for a given is bounded too, and said to be that given's.
func TestALongGivenIsRefused(t *testing.T) {
	p, err := Load("x.toml", []byte(head+"[[given]]\nid = \"b\"\nvalue = \"3 g\"\n"+stage))
	if err != nil {
		t.Fatal(err)
	}
	var refused *GivenError
	_, err = p.Scale(map[string]string{"b": strings.Repeat(" ", maxGiven) + "3 g"})
	if !errors.As(err, &refused) || refused.ID != "b" || !strings.Contains(refused.Msg, "write at most 1000") {
		t.Errorf("%v, want a *GivenError of b that says how long it may be", err)
	}
}
