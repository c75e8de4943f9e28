package command

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// TestPlanIsFitForPaper prints plans with all that a page can have: a break, the next day, reasons, names that are too long,
// windows that are missed. No line is longer than a page of 80 columns.
func TestPlanIsFitForPaper(t *testing.T) {
	long := filepath.Join(t.TempDir(), "long.toml")
	name := strings.Repeat("grind with mortar and pestle ", 4)
	text := "vessels = [\"" + name + "\", \"B\"]\n" +
		"[[step]]\nid = \"" + name + "\"\ntitle = \"" + name + "\"\nhands = 725\n" +
		"[[step]]\nid = \"b\"\nhands = 1000.35\nuses = [\"" + name + "\"]\n" +
		"[[wait]]\nfrom = \"" + name + "\"\nto = \"b\"\nat_least = 1\nat_most = 2\n"
	if err := os.WriteFile(long, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"ester-batch", "--vessels", "3", "--start", "22:00", "--until", "02:00", "--break", "23:00-23:30"},
		{"burn-test", "--vessels", "2", "--start", "09:30", "--why"},
		{"ester-batch", "acid-and-catalyst", "burn-test", "--brisk"},
		{"--case", long, "--start", "23:59", "--why"},
	} {
		var out, errs bytes.Buffer
		Run(append([]string{"plan"}, args...), strings.NewReader(""), &out, &errs)
		if out.Len() == 0 {
			t.Errorf("plan %v prints nothing: %s", args, errs.String())
		}
		for _, line := range strings.Split(out.String(), "\n") {
			if n := utf8.RuneCountInString(line); n > planWidth {
				t.Errorf("plan %v: %d columns: %s", args, n, line)
			}
		}
	}
}
