package command_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
)

// Every method has a page that is whole and fits a screen of 80 columns: what it computes, its formula, its arguments with
// their units, where it holds, a worked example and a source.
func TestEveryMethodHasAPage(t *testing.T) {
	example := regexp.MustCompile(`(?m)^Example\n  .* = [-0-9.e]+`)
	for _, line := range strings.Split(strings.TrimSpace(call(t, "methods")), "\n") {
		name, _, _ := strings.Cut(line, " ")
		text := call(t, "methods", name)
		for _, part := range []string{"Computes", "Formula", "Arguments", "Holds", "Source"} {
			if !strings.Contains(text, "\n"+part+"\n  ") {
				t.Errorf("the page of %s has no part %q", name, part)
			}
		}
		if !example.MatchString(text) && name != "across" { // which needs a run of several vessels
			t.Errorf("the page of %s has no worked example", name)
		}
		for _, l := range strings.Split(text, "\n") {
			if n := lipgloss.Width(l); n > 80 {
				t.Errorf("the page of %s has a line of %d columns: %s", name, n, l)
			}
		}
	}
}
