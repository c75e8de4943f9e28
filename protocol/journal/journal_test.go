package journal

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/protocol/run"
)

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

func at(n int, elapsed time.Duration, what run.Fact) run.Event {
	return run.Event{N: n, Moment: run.Moment{At: noon.Add(elapsed), Elapsed: elapsed}, What: what}
}

// sample is a small journal's events; the journal does not ask what they mean.
func sample() []run.Event {
	in := func(e run.Event) run.Event { e.Vessel = "A"; return e }
	return []run.Event{
		at(1, 0, run.Begun{Run: "r", Program: "meniscus test", File: "p.toml", Protocol: "format = 1\n# “µL” & <b>\n", Vessels: []run.VesselBegun{{Label: "A", Givens: map[string]string{"oil": "olive"}}}}),
		at(2, 1500*time.Millisecond, run.Acknowledged{}),
		in(at(3, 2*time.Second, run.StageEntered{Stage: "weigh"})),
		in(at(4, 3*time.Second, run.ReadingTaken{Stage: "weigh", Portion: 1, Reading: "flask", Typed: "112,36", Value: 112.36, Unit: "g", TypedAt: run.Span(2500 * time.Millisecond)})),
		in(at(5, 4*time.Second, run.WaitEnded{Stage: "warm", Portion: 1, Waited: run.Span(12*time.Minute + 40*time.Second), Gate: true})),
		at(6, 5*time.Second, run.Noted{Text: "quote \" and \\ and tab"}),
	}
}

func write(t testing.TB, events []run.Event) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "runs", "r.journal")
	w, err := Create(path, events[0])
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range events[1:] {
		if err := w.Append(e); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestWhatIsWrittenIsRead(t *testing.T) {
	path := write(t, sample())
	c, err := Read(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(sample(), c.Events); diff != "" {
		t.Error(diff)
	}
	if c.Torn != "" || len(c.Hash) != 64 {
		t.Errorf("torn %q, hash %q", c.Torn, c.Hash)
	}
	for name, want := range map[string]os.FileMode{path: 0o600, filepath.Dir(path): 0o700} {
		if info, err := os.Stat(name); err != nil || info.Mode().Perm() != want {
			t.Errorf("%s: mode %v, want %v", filepath.Base(name), info.Mode().Perm(), want)
		}
	}
}

func TestGoingOnKeepsTheChain(t *testing.T) {
	all := sample()
	path := write(t, all[:3])
	w, c, err := Open(path)
	if err != nil || len(c.Events) != 3 {
		t.Fatal(err)
	}
	for _, e := range all[3:] {
		if err := w.Append(e); err != nil {
			t.Fatal(err)
		}
	}
	hash := w.Hash()
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	got, _ := os.ReadFile(path)
	want, _ := os.ReadFile(write(t, all))
	if !bytes.Equal(got, want) {
		t.Error("a journal written in two goes differs from one written in one")
	}
	if c, err = Read(path); err != nil || c.Hash != hash {
		t.Errorf("hash %s, writer says %s (%v)", c.Hash, hash, err)
	}
}

// A last line without its newline was never confirmed, wherever it was cut.
func TestTornLastLineIsSetAside(t *testing.T) {
	all := sample()
	whole, _ := os.ReadFile(write(t, all))
	last := bytes.LastIndexByte(whole[:len(whole)-1], '\n') + 1
	for cut := last + 1; cut < len(whole); cut += 7 {
		path := write(t, all)
		if err := os.Truncate(path, int64(cut)); err != nil {
			t.Fatal(err)
		}
		w, c, err := Open(path)
		if err != nil {
			t.Fatalf("cut at %d: %v", cut, err)
		}
		if len(c.Events) != len(all)-1 || c.Torn != string(whole[last:cut]) {
			t.Errorf("cut at %d: %d events, torn %q", cut, len(c.Events), c.Torn)
		}
		if err := w.Append(all[len(all)-1]); err != nil {
			t.Fatal(err)
		}
		w.Close()
		if again, _ := os.ReadFile(path); !bytes.Equal(again, whole) {
			t.Errorf("cut at %d: not whole after going on", cut)
		}
	}
}

// Every single byte that is changed in a whole line is found, and so is a line that is removed, doubled or moved.
func TestDamageIsNamedByLine(t *testing.T) {
	whole, _ := os.ReadFile(write(t, sample()))
	for i := range whole {
		bad := bytes.Clone(whole)
		bad[i] ^= 1
		line := bytes.Count(whole[:i], []byte{'\n'}) + 1
		c, err := readFrom(bytes.NewReader(bad), "r.journal")
		var damage *DamageError
		var later *NewerError
		switch {
		case errors.As(err, &damage):
			if damage.Line != line {
				t.Errorf("byte %d: damage told in line %d, is in line %d", i, damage.Line, line)
			}
		case errors.As(err, &later) && line == 1:
		case err == nil && i == len(whole)-1: // the last newline: the line counts as unfinished
			if c.Torn == "" {
				t.Errorf("byte %d: not found", i)
			}
		default:
			t.Errorf("byte %d of line %d: %v", i, line, err)
		}
	}
	lines := bytes.SplitAfter(whole, []byte{'\n'})
	for name, bad := range map[string][][]byte{
		"removed": {lines[0], lines[1], lines[3]}, "doubled": {lines[0], lines[1], lines[1]}, "moved": {lines[0], lines[2], lines[1]},
	} {
		_, err := readFrom(bytes.NewReader(bytes.Join(bad, nil)), "r.journal")
		if err == nil || !strings.Contains(err.Error(), "its checksum does not match") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestErrorsSayWhatToDo(t *testing.T) {
	dir := t.TempDir()
	put := func(name, text string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	whole, _ := os.ReadFile(write(t, sample()))
	lines := strings.SplitAfter(string(whole), "\n")
	for _, tt := range []struct{ name, text, want string }{
		{"newer.journal", `{"format":7,"n":1,"mood":"sunny"}` + "\n", "newer.journal: written in format 7, newer than format 1 that this program reads: use a newer meniscus"},
		{"empty.journal", "", "empty.journal:1: there is no run in this file; no line before it"},
		{"letter.journal", "Dear Sir\n", "letter.journal:1: this is no line of a journal; no line before it"},
		{"altered.journal", lines[0] + lines[1] + strings.Replace(lines[2], "weigh", "waste", 1), "altered.journal:3: the line was altered, moved or follows a line that was: its checksum does not match; the 2 lines before it are intact"},
	} {
		if _, _, err := Open(put(tt.name, tt.text)); err == nil || strings.TrimPrefix(err.Error(), dir+"/") != tt.want {
			t.Errorf("%s: %v\nwant %s", tt.name, err, tt.want)
		}
	}
	if _, _, err := Open(filepath.Join(dir, "none.journal")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a run that is not there: %v", err)
	}
}

func TestOneWriterAtATime(t *testing.T) {
	path := write(t, sample())
	w, _, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	var held *HeldError
	if _, _, err := Open(path); !errors.As(err, &held) {
		t.Errorf("a second writer: %v", err)
	}
	if c, err := Read(path); err != nil || len(c.Events) != 6 {
		t.Errorf("a reader meanwhile: %v", err)
	}
	w.Close()
	if w, _, err = Open(path); err != nil {
		t.Fatalf("after the first let go: %v", err)
	}
	w.Close()
	if _, err := Create(path, sample()[0]); !errors.Is(err, os.ErrExist) {
		t.Errorf("a journal was begun over another: %v", err)
	}
}

// failing is a file whose next write or sync fails.
type failing struct {
	*os.File
	failNextWrite, failNextSync bool
}

func (f *failing) Write(p []byte) (int, error) {
	if f.failNextWrite {
		f.failNextWrite = false
		n, _ := f.File.Write(p[:len(p)/2]) // a short write, as on a full disk
		return n, errors.New("no space left")
	}
	return f.File.Write(p)
}

func (f *failing) Sync() error {
	if f.failNextSync {
		f.failNextSync = false
		return errors.New("input/output error")
	}
	return f.File.Sync()
}

func TestAFailedAppendCanBeTriedAgain(t *testing.T) {
	all := sample()
	path := write(t, all[:3])
	w, _, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	f := &failing{File: w.file.(*os.File)}
	w.file = f
	for i, e := range all[3:] {
		f.failNextWrite, f.failNextSync = i%2 == 0, i%2 == 1
		if err := w.Append(e); err == nil {
			t.Fatal("the failure is not told")
		}
		if c, err := Read(path); err != nil || len(c.Events) > 4+i {
			t.Fatalf("while an append has failed: %v", err)
		}
		if err := w.Append(e); err != nil {
			t.Fatal(err)
		}
	}
	w.Close()
	if c, err := Read(path); err != nil || cmp.Diff(all, c.Events) != "" {
		t.Errorf("after three failures: %v %s", err, cmp.Diff(all, c.Events))
	}
}

func FuzzRead(f *testing.F) {
	whole, _ := os.ReadFile(write(f, sample()))
	f.Add(whole)
	f.Add(whole[:len(whole)-30])
	f.Add([]byte(`{"format":2}` + "\n"))
	f.Fuzz(func(t *testing.T, b []byte) {
		c, err := readFrom(bytes.NewReader(b), "f")
		if err == nil && len(c.Events) == 0 {
			t.Error("a journal without events is read without an error")
		}
		if c == nil {
			return
		}
		for i, e := range c.Events { // what was accepted is what would be written
			if e.N != i+1 {
				t.Errorf("event %d has the number %d", i+1, e.N)
			}
		}
	})
}

// BenchmarkAppend appends one reading with its fsync; BenchmarkBareAppend does the same with the same bytes and nothing
// else: the ratio of the two is what the journal costs.
func BenchmarkAppend(b *testing.B) {
	path := write(b, sample()[:3])
	w, _, err := Open(path)
	if err != nil {
		b.Fatal(err)
	}
	defer w.Close()
	e := sample()[3]
	for b.Loop() {
		if err := w.Append(e); err != nil {
			b.Fatal(err)
		}
		e.N++
	}
}

func BenchmarkBareAppend(b *testing.B) {
	line, _, err := encode(sample()[3], origin)
	if err != nil {
		b.Fatal(err)
	}
	f, err := os.OpenFile(filepath.Join(b.TempDir(), "bare"), os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o600)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	for b.Loop() {
		if _, err := f.Write(line); err != nil {
			b.Fatal(err)
		}
		if err := f.Sync(); err != nil {
			b.Fatal(err)
		}
	}
}
