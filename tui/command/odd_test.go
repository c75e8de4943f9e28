//go:build !windows

package command_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"example.org/meniscus/tui/command"
)

// atOnce runs a command that must not wait for a pipe that nobody writes to.
func atOnce(t *testing.T, args ...string) (said string, code int) {
	t.Helper()
	var out, errs bytes.Buffer
	done := make(chan int, 1)
	go func() { done <- command.Run(args, strings.NewReader(""), &out, &errs) }()
	select {
	case code = <-done:
		return out.String() + errs.String(), code
	case <-time.After(20 * time.Second):
		t.Fatalf("%s: it waits", strings.Join(args, " "))
		return "", 0
	}
}

// TestOddPlaces: a pipe, a device and a folder are refused at once, with one sentence, in each place where a file is named;
// a run's journal must not be a link or have a second name either.
func TestOddPlaces(t *testing.T) {
	dir := t.TempDir()
	recorded, err := os.ReadFile("../../testdata/journal/rehearsal-burn-test.journal")
	if err != nil {
		t.Fatal(err)
	}
	at := func(name string) string { return filepath.Join(dir, name) }
	for _, err := range []error{
		syscall.Mkfifo(at("pipe.toml"), 0o600), os.Symlink("/dev/zero", at("zero.toml")), os.Mkdir(at("folder.toml"), 0o700),
		os.WriteFile(at("one.journal"), recorded, 0o600), os.Link(at("one.journal"), at("two.journal")), os.Symlink(at("one.journal"), at("link.journal")),
		syscall.Mkfifo(at("pipe.journal"), 0o600), os.Symlink("/dev/zero", at("zero.journal")),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, odd := range []struct{ file, want string }{
		{at("pipe.toml"), "it is a pipe"}, {at("zero.toml"), "it is a device"}, {at("folder.toml"), "it is a folder"}, {"/dev/zero", "it is a device"},
	} {
		for _, args := range [][]string{
			{"check", odd.file}, {"protocols", odd.file}, {"run", odd.file}, {"sheet", odd.file}, {"plan", odd.file}, {"plan", "--case", odd.file},
			{"calculate", odd.file, "-"}, {"calculate", "burn-test", odd.file},
		} {
			if odd.file == "/dev/zero" && args[0] == "protocols" {
				continue
			}
			refused(t, odd.want, append(args, "--runs", at("runs"))...)
		}
	}
	for _, odd := range []struct{ file, want string }{
		{at("pipe.journal"), "it is a pipe"}, {at("zero.journal"), "it is a link"}, {at("link.journal"), "it is a link"}, {at("two.journal"), "a second name"},
		{"/dev/zero", "it is a device"},
	} {
		for _, command := range []string{"summary", "verify", "compare", "resume"} {
			refused(t, odd.want, command, odd.file, "--runs", at("runs"))
		}
	}
}

// TestOddFolder: a pipe that somebody put into the folder of runs holds up no resume, and is told.
func TestOddFolder(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mkfifo(filepath.Join(dir, "2026-03-02-0900-burn-test.journal"), 0o600); err != nil {
		t.Fatal(err)
	}
	refused(t, "it is a pipe", "resume", "--runs", dir)
}

// refused wants an error of one line that says want.
func refused(t *testing.T, want string, args ...string) {
	t.Helper()
	said, code := atOnce(t, args...)
	if code != 1 || !strings.Contains(said, want) || strings.Count(strings.TrimSpace(said), "\n") > 0 {
		t.Errorf("meniscus %s: exit code %d: %q, want %q in one line", strings.Join(args, " "), code, said, want)
	}
}
