package command

import (
	"cmp"
	"path/filepath"
	"strings"
)

// call is how the program is started again, as it is typed.
func (e *env) call() string { return cmp.Or(e.called, "meniscus") }

// calledAs tells how a program that was started as path is started again: by its name where it was found by that, by
// go run where Go built it for this once, else by the path as it was typed. A program of another name is a test's.
func calledAs(path string) string {
	base := filepath.Base(path)
	switch {
	case path == base || strings.TrimSuffix(base, ".exe") != "meniscus":
		return "meniscus"
	case strings.Contains(filepath.ToSlash(path), "/go-build"):
		return "go run ."
	}
	return quoted(path)
}
