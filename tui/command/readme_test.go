package command_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/meniscus/tui/command"
)

// Every command that the README shows after a "$ " is run, in the order of the page and in one folder, and what it prints
// is what the page shows. A line "…" on the page stands for any number of lines.
func TestReadmeTellsTheTruth(t *testing.T) {
	page, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	home := t.TempDir()
	if err := os.CopyFS(home, os.DirFS("../../testdata/readme")); err != nil {
		t.Fatal(err)
	}
	t.Chdir(home)
	all := shownCommands(string(page))
	if n := strings.Count(string(page), "$ meniscus "); n == 0 || len(all) != n {
		t.Fatalf("%d commands were found on the page, which has %d", len(all), n)
	}
	for _, shown := range all {
		words, into, _ := strings.Cut(shown.line, " > ")
		args := append([]string{"--runs", filepath.Join(home, "runs")}, strings.Fields(words)...)
		var out, errs bytes.Buffer
		if code := command.Run(args, strings.NewReader(""), &out, &errs); code != 0 && into != "" {
			t.Errorf("meniscus %s: exit code %d: %s", shown.line, code, errs.String())
		}
		if into != "" {
			if err := os.WriteFile(into, out.Bytes(), 0o600); err != nil {
				t.Fatal(err)
			}
			out.Reset()
		}
		if missing := notIn(out.String()+errs.String(), shown.prints); missing != "" {
			t.Errorf("meniscus %s\nthe page shows: %s\nit prints:\n%s", shown.line, missing, out.String()+errs.String())
		}
	}
}

// A shownCommand is a command on the page, without the program's name, and the lines under it.
type shownCommand struct {
	line   string
	prints []string
}

func shownCommands(page string) (all []shownCommand) {
	in := false
	for line := range strings.Lines(page) {
		line = strings.TrimRight(line, "\n")
		switch {
		case strings.HasPrefix(line, "```"):
			in = false
		case strings.HasPrefix(line, "$ meniscus "):
			in = true
			all = append(all, shownCommand{line: strings.TrimPrefix(line, "$ meniscus ")})
		case in:
			last := &all[len(all)-1]
			last.prints = append(last.prints, line)
		}
	}
	return all
}

// notIn returns the first line shown that is not printed where it should be, or "". Between two "…" the lines must follow
// one another.
func notIn(printed string, shown []string) string {
	rest := strings.Split(strings.TrimRight(printed, "\n"), "\n")
	gap := false
	for _, want := range shown {
		if want == "…" {
			gap = true
			continue
		}
		at := 0
		for gap && at < len(rest) && strings.TrimRight(rest[at], " ") != want {
			at++
		}
		if at >= len(rest) || strings.TrimRight(rest[at], " ") != want {
			return want
		}
		rest, gap = rest[at+1:], false
	}
	if !gap && len(rest) > 0 && rest[0] != "" && len(shown) > 0 {
		return "nothing more, and there is: " + rest[0]
	}
	return ""
}
