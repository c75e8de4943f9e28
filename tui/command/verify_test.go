package command_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/meniscus/protocol/journal"
	"example.org/meniscus/tui/command"
)

// TestWholeButNoRun: a journal whose chain holds and whose events make no run, as a second beginning in it, is told so.
func TestWholeButNoRun(t *testing.T) {
	content, err := journal.Read("../../testdata/journal/rehearsal-burn-test.journal")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "rehearsal-burn-test.journal")
	w, err := journal.Create(path, content.Events[0])
	if err != nil {
		t.Fatal(err)
	}
	again := content.Events[0]
	again.N = 2
	if err := w.Append(again); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	var out, errs bytes.Buffer
	if code := command.Run([]string{"verify", path}, strings.NewReader(""), &out, &errs); code != 1 || out.Len() > 0 {
		t.Errorf("exit code %d, want 1; stdout %q", code, out.String())
	}
	if want := path + ": whole, but no run: "; !strings.HasPrefix(errs.String(), want) {
		t.Errorf("stderr is %q, want %q", errs.String(), want)
	}
	for _, name := range []string{"resume", "summary", "compare"} {
		errs.Reset()
		code := command.Run([]string{name, path}, strings.NewReader(""), &out, &errs)
		if code != 1 || !strings.Contains(errs.String(), "meniscus: "+path+": ") {
			t.Errorf("%s: exit code %d, and the file is not named: %q", name, code, errs.String())
		}
	}
}

// full is an output that takes nothing.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, os.ErrClosed }

// TestNothingWritten: output that could not be written is an error of every command that has some.
func TestNothingWritten(t *testing.T) {
	recorded := "../../testdata/journal/rehearsal-burn-test.journal"
	for _, line := range []string{"units", "methods", "protocols", "check burn-test", "plan burn-test", "sheet burn-test", "verify " + recorded,
		"summary " + recorded, "summary " + recorded + " --format csv", "compare " + recorded, "completion bash", "--help", "--version",
		"rehearse burn-test --plain"} {
		var errs bytes.Buffer
		code := command.Run(strings.Fields(line), strings.NewReader(""), full{}, &errs)
		if code != 1 || !strings.Contains(errs.String(), os.ErrClosed.Error()) {
			t.Errorf("%s: exit code %d, want 1; stderr %.200q", line, code, errs.String())
		}
	}
}
