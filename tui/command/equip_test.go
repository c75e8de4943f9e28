//go:build !windows

package command

import (
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// TestOddFilesOfTheProgram: a pipe in the place of the lab's page of instruments, of a protocol in the user's own folder and
// of a clock's file is refused, and not waited for.
func TestOddFilesOfTheProgram(t *testing.T) {
	e := &env{config: t.TempDir(), protocols: t.TempDir()}
	lab, own := filepath.Join(e.config, "instruments.toml"), filepath.Join(e.protocols, "mine.toml")
	for _, path := range []string{lab, own} {
		if err := syscall.Mkfifo(path, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if _, _, _, err := e.equip("burn-test"); err == nil || !strings.Contains(err.Error(), "file of instruments "+lab+" cannot be read: it is a pipe") {
		t.Errorf("the lab's page: %v", err)
	}
	if _, _, err := e.load("mine"); err == nil || !strings.Contains(err.Error(), "protocol "+own+" cannot be read: it is a pipe") {
		t.Errorf("a protocol: %v", err)
	}
	if n := len(e.offers()); n != 3 {
		t.Errorf("%d protocols are offered beside a pipe, want 3", n)
	}
	if _, err := timeIn(lab); err == nil || !strings.Contains(err.Error(), "it is a pipe") {
		t.Errorf("a clock: %v", err)
	}
}
