//go:build !windows

package journal

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"example.org/meniscus/protocol/regular"
	"example.org/meniscus/protocol/run"
)

// soon fails when act waits for something that never comes.
func soon(t *testing.T, what string, act func() error) error {
	t.Helper()
	done := make(chan error, 1)
	go func() { done <- act() }()
	select {
	case err := <-done:
		return err
	case <-time.After(20 * time.Second):
		t.Fatalf("%s: it waits", what)
		return nil
	}
}

// TestOddFiles: in the place of a journal, a link, a second name, a pipe and a device are refused at once, by whatever opens
// it, and what a link leads to stays as it is.
func TestOddFiles(t *testing.T) {
	victim := write(t, sample())
	before, _ := os.ReadFile(victim)
	for what, tt := range map[string]struct {
		put  func(path string) error
		want string
	}{
		"symbolic link": {func(path string) error { return os.Symlink(victim, path) }, "it is a link"},
		"hard link":     {func(path string) error { return os.Link(victim, path) }, "the file has a second name"},
		"named pipe":    {func(path string) error { return syscall.Mkfifo(path, 0o600) }, "it is a pipe"},
		"folder":        {func(path string) error { return os.Mkdir(path, 0o700) }, "it is a folder"},
		"device":        {nil, "it is a device"},
	} {
		path := "/dev/zero"
		if tt.put != nil {
			path = filepath.Join(t.TempDir(), "r.journal")
			if err := tt.put(path); err != nil {
				t.Fatal(err)
			}
		}
		for by, act := range map[string]func() error{
			"Read":   func() error { _, err := Read(path); return err },
			"Scan":   func() error { _, err := Scan(path, func(run.Event) error { return nil }); return err },
			"Verify": func() error { _, err := Verify(path, ""); return err },
			"Open":   func() error { _, _, err := Open(path); return err },
		} {
			err := soon(t, by+" of a "+what, act)
			var odd *regular.Refusal
			if !errors.As(err, &odd) || !strings.HasPrefix(err.Error(), path+": "+tt.want) {
				t.Errorf("%s of a %s: %v, want %s: %s", by, what, err, path, tt.want)
			}
		}
		if err := soon(t, "Create at a "+what, func() error { _, err := Create(path, sample()[0]); return err }); !errors.Is(err, os.ErrExist) {
			t.Errorf("Create at a %s: %v", what, err)
		}
		if what == "hard link" {
			_ = os.Remove(path)
		}
	}
	if after, _ := os.ReadFile(victim); string(after) != string(before) {
		t.Error("the file that the links lead to was changed")
	}
}

// TestPlantedNames: whatever somebody put beside a journal, under the name of a lock or of the word that it moved, stays as
// it is, holds nobody up, and so does the file that it leads to.
func TestPlantedNames(t *testing.T) {
	const mine = "my thesis\n"
	for what, put := range map[string]func(victim, path string) error{
		"symbolic link": os.Symlink,
		"hard link":     os.Link,
		"named pipe":    func(_, path string) error { return syscall.Mkfifo(path, 0o600) },
		"device":        func(_, path string) error { return os.Symlink("/dev/zero", path) },
	} {
		for _, ext := range []string{".lock", ".moved"} {
			path := write(t, sample()[:4])
			garbage := filepath.Join(filepath.Dir(path), "garbage.journal")
			victim := filepath.Join(t.TempDir(), "thesis.txt")
			elsewhere := filepath.Join(t.TempDir(), "r.journal")
			planted := []string{path + ext, garbage + ext, elsewhere + ext}
			err := errors.Join(os.WriteFile(garbage, []byte("Dear Sir\n"), 0o600), os.WriteFile(victim, []byte(mine), 0o600))
			for _, name := range planted {
				err = errors.Join(err, put(victim, name))
			}
			if err != nil {
				t.Fatal(err)
			}
			what := what + " as " + ext
			err = soon(t, what, func() error {
				MovedTo(path)
				if _, _, err := Open(garbage); err == nil {
					t.Errorf("%s: garbage was opened", what)
				}
				w, _, err := Open(path)
				if err != nil {
					return err
				}
				return errors.Join(w.Append(sample()[4]), w.MoveTo(elsewhere), w.Append(sample()[5]), w.Close())
			})
			if err != nil {
				t.Errorf("%s: %v", what, err)
			}
			if after, err := os.ReadFile(victim); string(after) != mine {
				t.Errorf("%s: the user's own file holds %q, %v", what, after, err)
			}
		}
	}
}

// TestGarbageIsLeftAlone: a file that is no journal is neither locked nor written to.
func TestGarbageIsLeftAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r.journal")
	if err := os.WriteFile(path, []byte("Dear Sir\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	theirs, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer theirs.Close()
	if ok, err := regular.Lock(theirs); !ok || err != nil {
		t.Fatal(ok, err)
	}
	var damage *DamageError
	if _, _, err := Open(path); !errors.As(err, &damage) {
		t.Errorf("told as %v, want damage and no word of a lock", err)
	}
	holds(t, path, "r.journal")
}
