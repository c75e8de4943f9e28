package command_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/tui/command"
)

// TestLargeInput: what is too large is told in a second and in little memory, whatever command meets it.
func TestLargeInput(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	points := func(n int) string {
		var b strings.Builder
		b.WriteString("vessel,reading,value,unit,at\n")
		for i := range n {
			fmt.Fprintf(&b, "A,post_temperature,%d.5,Cel,%d\n", i%50, i)
		}
		return b.String()
	}
	units := func() string {
		var b strings.Builder
		b.WriteString("vessel,reading,value,unit,at\n")
		for i := range 200_000 {
			fmt.Fprintf(&b, "A,titrant,1,g{%d},\n", i)
		}
		return b.String()
	}
	tests := []struct {
		name string
		args []string
		says string
	}{
		{"a protocol of 10 MB", []string{"check", write("big.toml", strings.Repeat("#", 10<<20))}, "at most"},
		{"a million points on paper", []string{"calculate", "burn-test", write("points.csv", points(1_000_000))}, "longer than"},
		{"as many points as fit", []string{"calculate", "burn-test", write("fit.csv", points(120_000))}, ""},
		{"units without end", []string{"calculate", "burn-test", write("units.csv", units())}, ""},
		{"one line of 10 MB on paper", []string{"calculate", "burn-test", write("line.csv", strings.Repeat("x", 10<<20))}, ""},
		{"one line of 10 MB as a journal", []string{"summary", write("line.journal", strings.Repeat("x", 10<<20))}, ""},
		{"a journal of nothing", []string{"summary", write("zero.journal", strings.Repeat("\x00", 10<<20))}, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var took time.Duration
			var held uint64
			for range 2 { // the better of two: others use the machine too
				var before, after runtime.MemStats
				runtime.ReadMemStats(&before)
				begun := time.Now()
				var out, errs bytes.Buffer
				code := command.Run(append(tt.args, "--runs", dir), strings.NewReader(""), &out, &errs)
				took = time.Since(begun)
				runtime.ReadMemStats(&after)
				held = after.TotalAlloc - before.TotalAlloc
				if said := errs.String(); code != 1 || said == "" || len(said) > 100_000 || !strings.Contains(said, tt.says) {
					t.Fatalf("exit code %d: %.300s", code, said)
				}
				if took <= 10*time.Second && held <= 200<<20 {
					return
				}
			}
			t.Errorf("took %v and %d MB, want at most 10 s and 200 MB", took, held>>20)
		})
	}
}

// TestFilesStayInTheirFolder: no id or name of a file leads out of the folder of runs.
func TestFilesStayInTheirFolder(t *testing.T) {
	dir := t.TempDir()
	runs := filepath.Join(dir, "deep", "runs")
	for _, id := range []string{"../../out", "/tmp/out", "..", "a/b", `a\b`, "a\x00b", ".hidden"} {
		file := filepath.Join(dir, "x.toml")
		text := fmt.Sprintf("format = 1\n[protocol]\nid = %q\ntitle = \"X\"\nversion = \"1\"\n[[stage]]\nid = \"s\"\ntitle = \"S\"\nsteps = [\"Do\"]\n", id)
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		var out, errs bytes.Buffer
		if code := command.Run([]string{"run", file, "--plain", "--runs", runs}, strings.NewReader("q\n"), &out, &errs); code != 1 {
			t.Errorf("id %q: exit code %d, want 1: %s", id, code, errs.String())
		}
	}
	var out, errs bytes.Buffer
	if code := command.Run([]string{"run", "burn-test", "--plain", "--runs", runs}, strings.NewReader("q\n"), &out, &errs); code != 0 {
		t.Fatalf("exit code %d: %s", code, errs.String())
	}
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || path == dir || path == filepath.Join(dir, "x.toml") || path == filepath.Dir(runs) {
			return err
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		want := os.FileMode(0o600)
		if d.IsDir() {
			want = 0o700
		}
		if !strings.HasPrefix(path, runs) || runtime.GOOS != "windows" && info.Mode().Perm() != want {
			t.Errorf("%s with mode %o, want it in %s with %o", path, info.Mode().Perm(), runs, want)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
