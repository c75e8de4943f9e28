package command_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/bench"
	"example.org/meniscus/tui/command"
)

// venom is what a terminal, a spreadsheet or a page would act on.
var venom = []string{"\x1b[2J", "\x1b]0;owned\x07", "\u009b31m", "\u202e", "\u2066", "\u200f", "\x00", "\x7f", "\b\b", "\r", "\n", "\u2028", "\ufeff",
	"=cmd|' /C calc'!A0", "@SUM(1)", "<script>alert(1)</script>", "[x](javascript:alert(1))", "|", "日本", "../../../etc/passwd"}

// poison returns a text of a stranger: some words with venom between them.
func poison(rnd *rand.Rand) string {
	var b strings.Builder
	for range 1 + rnd.IntN(4) {
		b.WriteString(venom[rnd.IntN(len(venom))] + "word")
	}
	return b.String()
}

// quote writes a text as a TOML string.
func quote(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteString(`\` + string(r))
		case unicode.Is(unicode.C, r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String() + `"`
}

// poisonous is a sound protocol in which every text is a stranger's.
func poisonous(rnd *rand.Rand) string {
	q := func() string { return quote(poison(rnd)) }
	return `format = 1
[protocol]
id = "hostile"
title = ` + q() + `
version = ` + q() + `
purpose = ` + q() + `
references = [` + q() + `]
[instrument.balance]
title = ` + q() + `
unit = "g"
step = "0.01 g"
checked = ` + q() + `
[[given]]
id = "batch"
title = ` + q() + `
value = "30 g"
source = ` + q() + `
[[given]]
id = "lot"
title = ` + q() + `
kind = "text"
value = ` + q() + `
[[amount]]
id = "half"
title = ` + q() + `
formula = "batch / 2"
unit = "g"
[[content]]
statement = "H225"
title = ` + q() + `
say = ` + q() + `
from = "weigh"
until = "weigh"
[[stage]]
id = "weigh"
title = ` + q() + `
say = ` + q() + `
steps = [` + q() + `, "Take {lot}"]
hands = "1 min"
  [[stage.reading]]
  id = "mass"
  title = ` + q() + `
  say = ` + q() + `
  kind = "number"
  unit = "g"
  instrument = "balance"
  expect = ["1 g", "9 g"]
  needed = true
  step = 1
[[stage]]
id = "hold"
title = ` + q() + `
clock = { at_least = "1 min", aim = "2 min", at_most = "3 min" }
remind = { every = "30 s", say = ` + q() + ` }
ready = "seen == \"clear\""
ready_say = ` + q() + `
  [[stage.reading]]
  id = "seen"
  title = ` + q() + `
  kind = "choice"
  choices = ["clear", ` + q() + `]
  needed = true
[[guard]]
id = "light"
holds = "mass < batch / 6"
say = ` + q() + `
[[result]]
id = "share"
title = ` + q() + `
formula = "mass / batch"
unit = "1"
say = ` + q() + `
[[check]]
result = "share"
at_most = "0.1"
source = ` + q() + `
say = ` + q() + `
`
}

// harmless fails when a text holds anything that a terminal would act on; line ends and tabs are let pass.
func harmless(t *testing.T, where, text string) {
	t.Helper()
	for i, r := range text {
		if r != '\n' && r != '\t' && (r == unicode.ReplacementChar || unicode.Is(unicode.C, r)) {
			t.Fatalf("%s lets %q through: …%q", where, r, text[max(0, i-60):min(len(text), i+20)])
		}
	}
}

// TestStrangersTexts: whatever stands in the texts of a protocol, a run and readings from paper, nothing that a terminal
// acts on comes out of any face.
func TestStrangersTexts(t *testing.T) {
	for seed := range uint64(12) {
		rnd := rand.New(rand.NewPCG(seed, 5))
		dir := t.TempDir()
		text := poisonous(rnd)
		file := filepath.Join(dir, "hostile.toml")
		write := func(name, content string) string {
			path := filepath.Join(dir, name)
			if err := os.WriteFile(path, []byte(content), 0o600); err != nil {
				t.Fatal(err)
			}
			return path
		}
		write("hostile.toml", text)
		call := func(in string, args ...string) string {
			var out, errs bytes.Buffer
			command.Run(append(args, "--runs", dir), strings.NewReader(in), &out, &errs)
			harmless(t, strings.Join(args, " ")+": stdout", out.String())
			harmless(t, strings.Join(args, " ")+": stderr", errs.String())
			return out.String() + errs.String()
		}
		if out := call("", "check", file); !strings.Contains(out, ": sound") {
			t.Fatalf("the protocol is not sound: %s", out)
		}
		line := func() string { return strings.ReplaceAll(poison(rnd), "\n", " ") + "\n" }
		call("\n\n7\n\nn "+line()+line()+"x "+line()+"c mass 8 "+line()+"\n\n2\nt "+line()+"u "+line()+"\n\n\n"+line()+"q\n", "run", file, "--plain")
		found, _ := filepath.Glob(filepath.Join(dir, "*.journal"))
		if len(found) != 1 {
			t.Fatalf("%d runs are kept, want 1", len(found))
		}
		for _, format := range []string{"text", "markdown", "html", "csv", "json"} {
			if out := call("", "summary", found[0], "--format", format, "--budget"); !strings.Contains(out, "word") {
				t.Errorf("the summary as %s has none of the texts", format)
			}
		}
		call("", "calculate", file, write("r.csv", "vessel,reading,value,unit,at\nA,mass,7,g,\nA,seen,"+strings.ReplaceAll(poison(rnd), "\n", "")+",,\nA,lot,\"=1+1\x1b[2J\u202e\",,\n"))
		call("", "calculate", file, write("b.csv", poison(rnd)))
		call("", "check", write("bad.toml", strings.Replace(text, "[[guard]]", quote(poison(rnd))+" = "+quote(poison(rnd))+"\n[[guard]]", 1)))
		call("", "check", write("worse.toml", text+poison(rnd)))
		call("", "summary", write("bad.journal", `{"format":1,"n":1,"vessel":"`+poison(rnd)+`"`+"\n"+poison(rnd)+"\n"))
		call("", "summary", poison(rnd))
		call("", "run", poison(rnd), "--given", poison(rnd))
		call("", poison(rnd))
		screens(t, rnd, text)
	}
}

// A memory keeps events, and its clock stands where it is put.
type memory struct{ now time.Duration }

func (m *memory) Append(...run.Event) error { return nil }
func (m *memory) Now() run.Moment {
	return run.Moment{At: time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC).Add(m.now), Elapsed: m.now}
}

// screens looks at every screen with a stranger's texts.
func screens(t *testing.T, rnd *rand.Rand, protocol string) {
	t.Helper()
	clock := &memory{}
	begin := func(string) (*run.Engine, error) {
		s, _, err := run.Begin(run.Begun{Run: poison(rnd), File: poison(rnd), Protocol: protocol,
			Vessels: []run.VesselBegun{{Label: "A"}, {Label: "B"}}}, clock.Now())
		if err != nil {
			return nil, err
		}
		return run.NewEngine(s, clock, clock), nil
	}
	o := bench.Options{Palette: tui.Palette{Bare: true}, Begin: begin, Place: func(string) string { return poison(rnd) },
		Summary:    func(*run.State, int) string { return poison(rnd) },
		Protocols:  []bench.Offer{{ID: "hostile", Title: poison(rnd), Purpose: poison(rnd)}},
		Unfinished: []bench.Unfinished{{Run: poison(rnd), Title: poison(rnd), Where: poison(rnd)}}}
	var m tea.Model = bench.New(o)
	look := func(where string) { t.Helper(); harmless(t, "the screen, "+where, m.View()) }
	send := func(msgs ...tea.KeyMsg) {
		for _, msg := range msgs {
			m, _ = m.Update(msg)
		}
	}
	look("chooser")
	send(tea.KeyMsg{Type: tea.KeyDown})
	send(bench.Keys("")...)
	if m.(bench.Model).Run() == nil {
		t.Fatalf("no run was begun: %s", m.View())
	}
	look("briefing")
	send(bench.Keys("")...)
	for _, typed := range []string{"", "7", "", "n " + poison(rnd), "c mass 8 " + poison(rnd), poison(rnd), "", "", "2", "?", "x", "u " + poison(rnd), "z " + poison(rnd), "", ""} {
		clock.now += time.Minute
		send(bench.Keys(typed)...)
		look("after " + typed)
		m, _ = m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(poison(rnd)), Paste: true})
		look("after a paste")
		send(tea.KeyMsg{Type: tea.KeyEsc})
	}
}
