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
	if _, _, err := Open(dir); err == nil || err.Error() != dir+": it is a folder; name a file" {
		t.Errorf("a folder: %v", err)
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

// FuzzForged gives lines of any text the chain that fits them, as a forger would: what is read then can be written, and
// is read again as the same.
func FuzzForged(f *testing.F) {
	for _, e := range append(sample(), batches(f)[7]...) {
		line, _, err := encode(nil, e, 0, origin)
		if err != nil {
			f.Fatal(err)
		}
		body, _, _ := split(bytes.TrimSuffix(line, []byte{'\n'}))
		f.Add(body)
	}
	first, before, err := encode(nil, sample()[0], 0, origin)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		chain := before.next(body)
		text := append(append(append(bytes.Clone(first), body...), chainMark...), string(chain[:])+"\"}\n"...)
		c, err := readFrom(bytes.NewReader(text), "f")
		if err != nil || len(c.Events) != 2 {
			return
		}
		line, _, err := encode(nil, c.Events[1], 0, before)
		if err != nil {
			t.Fatalf("%q is read and cannot be written: %v", body, err)
		}
		again, err := decode(bytes.TrimSuffix(line, []byte{'\n'}), 2, before)
		if err != nil || !cmp.Equal(again.event, c.Events[1]) {
			t.Errorf("%q is read as %+v, written as %q, and read again as %+v (%v)", body, c.Events[1], line, again.event, err)
		}
	})
}
