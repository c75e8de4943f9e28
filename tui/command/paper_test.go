package command_test

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/adrg/xdg"
	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/protocols"
	"example.org/meniscus/tui/command"
)

// call runs a command that must succeed and returns its output.
func call(t *testing.T, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if code := command.Run(args, strings.NewReader(""), &out, &errs); code != 0 {
		t.Fatalf("meniscus %s: exit code %d: %s", strings.Join(args, " "), code, errs.String())
	}
	return out.String()
}

// outcome is what a summary and readings from paper must agree on.
type outcome struct {
	Vessels []struct {
		Label           string
		Results, Checks json.RawMessage
	}
	Results, Checks json.RawMessage
}

func outcomeOf(t *testing.T, text string) outcome {
	t.Helper()
	var o outcome
	if err := json.Unmarshal([]byte(text), &o); err != nil {
		t.Fatal(err)
	}
	return o
}

// TestPaperAgrees writes the readings of each demo run as CSV and works them up again: the results are those of the run,
// to the last digit, with their uncertainty and its budget.
func TestPaperAgrees(t *testing.T) {
	for _, id := range protocols.IDs() {
		t.Run(id, func(t *testing.T) {
			dir := t.TempDir()
			t.Setenv("XDG_CONFIG_HOME", dir) // no instruments but the protocol's
			xdg.Reload()
			call(t, "rehearse", id, "--plain", "--keep", "--runs", dir)
			run := filepath.Join(dir, "rehearsal-"+id+".journal")
			readings := filepath.Join(dir, "readings.csv")
			if err := os.WriteFile(readings, []byte(call(t, "summary", run, "--format", "csv")), 0o600); err != nil {
				t.Fatal(err)
			}
			want := outcomeOf(t, call(t, "summary", run, "--format", "json"))
			got := outcomeOf(t, call(t, "calculate", id, readings, "--format", "json"))
			if len(want.Vessels) == 0 || len(want.Vessels[0].Results) < 100 {
				t.Fatalf("the run has no results: %v", want)
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("results (- run, + paper):\n%s", diff)
			}
		})
	}
}
