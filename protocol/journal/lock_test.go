package journal

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
)

// holdVariable names a journal that this program is to hold instead of testing.
const holdVariable = "MENISCUS_TEST_HOLD"

func TestMain(m *testing.M) {
	if path := os.Getenv(holdVariable); path != "" {
		holdUntilKilled(path)
	}
	os.Exit(m.Run())
}

func holdUntilKilled(path string) {
	if _, _, err := Open(path); err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	fmt.Println("held")
	_, _ = io.Copy(io.Discard, os.Stdin)
	os.Exit(0)
}

// Two programs: the second one is told which holds the run and may look meanwhile; when the first is killed, the run is
// free.
func TestTwoPrograms(t *testing.T) {
	path := write(t, sample())
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	other := exec.Command(self)
	other.Env = append(os.Environ(), holdVariable+"="+path)
	in, err := other.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	out, err := other.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := other.Start(); err != nil {
		t.Fatal(err)
	}
	if said, err := bufio.NewReader(out).ReadString('\n'); said != "held\n" {
		t.Fatalf("the other program: %q, %v", said, err)
	}
	var held *HeldError
	if _, _, err := Open(path); !errors.As(err, &held) {
		t.Fatalf("opened beside another: %v", err)
	}
	if want := "another meniscus (its last line is of 2026-03-02 12:00:05 UTC) is at this run"; !strings.Contains(held.Error(), want) {
		t.Errorf("told as %q, want %s", held, want)
	}
	folder := filepath.Join(t.TempDir(), "link")
	if err := os.Symlink(filepath.Dir(path), folder); err != nil {
		t.Fatal(err)
	}
	if _, _, err := Open(filepath.Join(folder, filepath.Base(path))); !errors.As(err, &held) {
		t.Errorf("by another name of the folder: %v", err)
	}
	if r, err := Verify(path, ""); err != nil || r.Lines != len(sample()) {
		t.Errorf("a look meanwhile: %v", err)
	}
	if err := other.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = other.Wait()
	holds(t, path, filepath.Base(path))
	w, _, err := Open(path)
	if err != nil {
		t.Fatalf("after the other was killed: %v", err)
	}
	w.Close()
}

// holds wants just these names in the folder of a journal.
func holds(t *testing.T, path string, want ...string) {
	t.Helper()
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		got = append(got, e.Name())
	}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("in the folder are %v, want %v", got, want)
	}
}

// TestNothingStays: a journal is alone in its folder while it is written and afterwards; one that went on elsewhere leaves
// the word of it.
func TestNothingStays(t *testing.T) {
	path := write(t, sample()[:4])
	name := filepath.Base(path)
	holds(t, path, name)
	w, _, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	holds(t, path, name)
	if err := w.MoveTo(filepath.Join(t.TempDir(), name)); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	holds(t, path, name, name+".moved")
	if w, _, err = Open(path); err != nil { // taken up again here: the word is gone
		t.Fatal(err)
	}
	holds(t, path, name)
	if err := w.Discard(); err != nil {
		t.Fatal(err)
	}
	holds(t, path)
}

// TestLockIsTakenOnce: many take a run up and leave it, and no two have it at a time.
func TestLockIsTakenOnce(t *testing.T) {
	path := write(t, sample())
	var inside, taken atomic.Int32
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 100 {
				w, _, err := Open(path)
				if err != nil {
					continue
				}
				if inside.Add(1) != 1 {
					t.Error("two have the lock")
				}
				taken.Add(1)
				inside.Add(-1)
				w.Close()
			}
		})
	}
	all.Wait()
	if taken.Load() == 0 {
		t.Error("nobody had the lock")
	}
	holds(t, path, filepath.Base(path))
}

// Whatever happens to the file behind the writer's back is told, nothing is written over it, and what was confirmed can go
// to another folder.
func TestBehindTheBack(t *testing.T) {
	all := sample()
	for name, tt := range map[string]struct {
		do   func(path string) error
		want error
		move bool // the confirmed lines are still there to be copied
	}{
		"folder removed": {func(path string) error { return os.RemoveAll(filepath.Dir(path)) }, errRemoved, true},
		"file removed":   {os.Remove, errRemoved, true},
		"replaced": {func(path string) error {
			return errors.Join(os.Rename(path, path+".old"), os.WriteFile(path, []byte("Dear Sir\n"), 0o600))
		}, errChanged, true},
		"appended to": {func(path string) error {
			f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0)
			if err != nil {
				return err
			}
			_, err = f.WriteString("Dear Sir\n")
			return errors.Join(err, f.Close())
		}, errChanged, true},
		"cut": {func(path string) error { return os.Truncate(path, 40) }, errChanged, false},
	} {
		path := write(t, all[:4])
		w, _, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := tt.do(path); err != nil {
			t.Fatal(err)
		}
		before, _ := os.ReadFile(path)
		for range 2 { // and told again
			if err := w.Append(all[4]); !errors.Is(err, tt.want) {
				t.Errorf("%s: %v, want %v", name, err, tt.want)
			}
		}
		if after, _ := os.ReadFile(path); string(after) != string(before) {
			t.Errorf("%s: what was found was written over", name)
		}
		elsewhere := filepath.Join(t.TempDir(), "r.journal")
		err = w.MoveTo(elsewhere)
		if (err == nil) != tt.move {
			t.Errorf("%s: moved: %v", name, err)
		}
		if err == nil {
			if err := w.Append(all[4:]...); err != nil {
				t.Errorf("%s: at the other place: %v", name, err)
			}
			if c, err := Read(elsewhere); err != nil || len(c.Events) != len(all) {
				t.Errorf("%s: at the other place: %v", name, err)
			}
		}
		w.Close()
	}
}
