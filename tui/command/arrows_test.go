package command_test

import (
	"os/exec"
	"strings"
	"testing"
)

// Arrows point one way: calc knows nothing of protocols and faces, protocols nothing of faces, and a run neither files nor
// terminals; only faces know the terminal library.
func TestArrowsPointOneWay(t *testing.T) {
	for _, tt := range []struct {
		of        string
		forbidden []string
	}{
		{"../../calc/...", []string{"example.org/meniscus/protocol", "example.org/meniscus/tui", "github.com/charmbracelet/"}},
		{"../../protocol/...", []string{"example.org/meniscus/tui", "github.com/charmbracelet/"}},
		{"../../protocol/run", []string{"example.org/meniscus/protocol/journal", "github.com/mattn/go-isatty", "example.org/meniscus/protocol/regular"}},
	} {
		out, err := exec.Command("go", "list", "-deps", tt.of).Output()
		if err != nil {
			t.Fatalf("go list -deps %s: %v", tt.of, err)
		}
		for dep := range strings.Lines(string(out)) {
			for _, no := range tt.forbidden {
				if strings.HasPrefix(dep, no) {
					t.Errorf("%s depends on %s", tt.of, strings.TrimSpace(dep))
				}
			}
		}
	}
	imports, err := exec.Command("go", "list", "-f", "{{join .Imports \"\\n\"}}", "../../protocol/run").Output()
	if err != nil {
		t.Fatal(err)
	}
	for name := range strings.Lines(string(imports)) {
		if name = strings.TrimSpace(name); name == "os" || name == "io/fs" || strings.HasPrefix(name, "os/") {
			t.Errorf("protocol/run imports %s", name)
		}
	}
}
