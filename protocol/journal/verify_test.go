package journal

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/meniscus/protocol/run"
)

// ended is the sample with its end.
func ended() []run.Event { return append(sample(), at(7, 6e9, run.Ended{})) }

// Every single byte that is changed is found in its line; a change of the last newline is told as a last line that is not
// finished.
func TestEveryByteChanged(t *testing.T) {
	whole, _ := os.ReadFile(write(t, ended()))
	lastLine := bytes.Count(whole, []byte{'\n'})
	for i := range whole {
		line := bytes.Count(whole[:i], []byte{'\n'}) + 1
		for _, b := range []byte{whole[i] ^ 1, whole[i] ^ 0x20, '\n', 0, byte(i)} {
			if b == whole[i] {
				continue
			}
			bad := bytes.Clone(whole)
			bad[i] = b
			r, err := verify(bytes.NewReader(bad), "r.journal", "")
			var damage *DamageError
			var later *NewerError
			switch {
			case errors.As(err, &damage):
				if damage.Line != line {
					t.Errorf("byte %d to %#x: damage told in line %d, is in line %d", i, b, damage.Line, line)
				}
			case errors.As(err, &later) && line == 1:
			case err == nil && i == len(whole)-1: // the newline
				if r.Torn == "" || r.Lines != lastLine-1 {
					t.Errorf("the last newline to %#x: not found", b)
				}
			default:
				t.Errorf("byte %d to %#x of line %d: %v", i, b, line, err)
			}
		}
	}
}

// A journal cut off anywhere is told from a whole one: inside a line as torn, between lines only by the hash that was
// printed at the end.
func TestEveryTruncation(t *testing.T) {
	whole, _ := os.ReadFile(write(t, ended()))
	r, err := verify(bytes.NewReader(whole), "r.journal", "")
	if err != nil || r.Lines != 7 || !r.Ended || r.Run != "r" || r.Torn != "" {
		t.Fatalf("%+v, %v", r, err)
	}
	printed := r.Hash[:12]
	for cut := range len(whole) {
		r, err := verify(bytes.NewReader(whole[:cut]), "r.journal", printed)
		between := cut > 0 && whole[cut-1] == '\n'
		switch {
		case bytes.Count(whole[:cut], []byte{'\n'}) == 0:
			if err == nil {
				t.Errorf("cut at %d: a file without a line is told as whole", cut)
			}
		case err != nil || r.Ended || r.Printed != 0:
			t.Errorf("cut at %d: %+v, %v", cut, r, err)
		case between != (r.Torn == ""):
			t.Errorf("cut at %d: torn %q", cut, r.Torn)
		}
	}
	if r, err := verify(bytes.NewReader(whole), "r.journal", printed); err != nil || r.Printed != 7 {
		t.Errorf("the printed hash is at line %d, want 7 (%v)", r.Printed, err)
	}
}

// An act of several lines is there with all of them or not at all, wherever it was cut.
func TestAnActIsWholeOrNotThere(t *testing.T) {
	all := sample()
	path := write(t, all[:2])
	before, _ := os.ReadFile(path)
	w, _, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Append(all[2:5]...); err != nil {
		t.Fatal(err)
	}
	w.Close()
	whole, _ := os.ReadFile(path)
	for cut := len(before) + 1; cut < len(whole); cut++ {
		c, err := readFrom(bytes.NewReader(whole[:cut]), "r.journal")
		if err != nil || len(c.Events) != 2 || c.Lines != 2 || c.Torn != string(whole[len(before):cut]) {
			t.Fatalf("cut at %d: %d events, torn %q, %v", cut, len(c.Events), c.Torn, err)
		}
	}
	if c, err := readFrom(bytes.NewReader(whole), "r.journal"); err != nil || len(c.Events) != 5 || c.Torn != "" {
		t.Errorf("whole: %d events, torn %q, %v", len(c.Events), c.Torn, err)
	}
	lines := bytes.SplitAfter(whole, []byte{'\n'})
	_, err = verify(bytes.NewReader(slices.Concat(lines[0], lines[1], lines[2], lines[4])), "r.journal", "")
	if d, ok := err.(*DamageError); !ok || d.Kind != Removed || d.Line != 4 {
		t.Errorf("a line of an act removed: %v", err)
	}
}

// TestWhatWasDone tells the ways apart in which lines can be tampered with.
func TestWhatWasDone(t *testing.T) {
	whole, _ := os.ReadFile(write(t, ended()))
	l := bytes.SplitAfter(whole, []byte{'\n'})[:7]
	other, _ := os.ReadFile(write(t, append(sample()[:2:2], at(3, 2e9, run.Noted{Text: "forged"}), at(4, 3e9, run.Noted{Text: "forged"}))))
	forged := bytes.SplitAfter(other, []byte{'\n'})
	altered := bytes.Replace(l[3], []byte("112,36"), []byte("112,35"), 1)
	chain := bytes.Replace(l[3], []byte(`"chain":"`), []byte(`"chain":"0`), 1)
	chain = append(chain[:len(chain)-4:len(chain)-4], "\"}\n"...)
	for _, tt := range []struct {
		name  string
		lines [][]byte
		line  int
		kind  Damage
		says  string
	}{
		{"altered", [][]byte{l[0], l[1], l[2], altered, l[4], l[5], l[6]}, 4, Altered, "the line behind it goes on from that checksum"},
		{"altered at the end", [][]byte{l[0], l[1], l[2], altered}, 4, Altered, "the line or its checksum was altered"},
		{"checksum altered", [][]byte{l[0], l[1], l[2], chain, l[4]}, 4, Altered, "the line or its checksum was altered"},
		{"no line", [][]byte{l[0], l[1], []byte("Dear Sir\n"), l[3]}, 3, Altered, "it is no line of a journal any more"},
		{"first removed", l[1:], 1, Removed, "line 1 was removed"},
		{"one removed", [][]byte{l[0], l[1], l[3], l[4]}, 3, Removed, "line 3 was removed: the one that stands here says that it is number 4"},
		{"three removed", [][]byte{l[0], l[1], l[5], l[6]}, 3, Removed, "the lines 3 to 5 were removed"},
		{"inserted", [][]byte{l[0], l[1], forged[3], l[2], l[3]}, 3, Moved, "the line that belongs here stands as line 4"},
		{"noise inserted", [][]byte{l[0], l[1], []byte("Dear Sir\n"), l[2], l[3]}, 3, Inserted, "the line was put in: the one behind it is the one that belongs here"},
		{"two inserted", [][]byte{l[0], l[1], l[0], l[1], l[2], l[3]}, 3, Inserted, "the lines 3 to 4 were put in: line 5 is the one that belongs here"},
		{"doubled", [][]byte{l[0], l[1], l[2], l[2], l[3]}, 4, Inserted, "the line was put in"},
		{"doubled at the end", [][]byte{l[0], l[1], l[2], l[2]}, 4, Inserted, "a line that says it is number 3 stands where number 4 belongs"},
		{"chain carried on", [][]byte{l[0], l[1], forged[2], l[2], l[3]}, 4, Inserted, "a line that says it is number 3 stands where number 4 belongs"},
		{"swapped", [][]byte{l[0], l[1], l[3], l[2], l[4]}, 3, Moved, "lines 3 and 4 have changed places"},
		{"moved", [][]byte{l[0], l[1], l[4], l[3], l[2], l[5]}, 3, Moved, "the line that belongs here stands as line 5"},
	} {
		r, err := verify(bytes.NewReader(slices.Concat(tt.lines...)), "r.journal", "")
		var d *DamageError
		if !errors.As(err, &d) || d.Line != tt.line || d.Kind != tt.kind || !strings.Contains(d.Msg, tt.says) {
			t.Errorf("%s: %v, want line %d, kind %d, %q", tt.name, err, tt.line, tt.kind, tt.says)
		}
		if r.Lines != tt.line-1 {
			t.Errorf("%s: %d lines are intact, want %d", tt.name, r.Lines, tt.line-1)
		}
	}
}

// Reading leaves nothing behind: a journal of somebody else, or on a disk that cannot be written, can be looked at.
func TestReadingWritesNothing(t *testing.T) {
	path := write(t, ended())
	if err := os.Chmod(path, 0o400); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(path); err != nil {
		t.Error(err)
	}
	if r, err := Verify(path, ""); err != nil || !r.Ended {
		t.Error(err)
	}
	if there, err := os.ReadDir(filepath.Dir(path)); err != nil || len(there) != 1 {
		t.Errorf("the folder holds %v (%v), want the journal alone", there, err)
	}
}

// TestActsDoNotMix: lines whose chain fits, and that do not count down to the end of their act, are damage.
func TestActsDoNotMix(t *testing.T) {
	all := sample()
	var text []byte
	last, err := origin, error(nil)
	for i, more := range []int{0, 2, 0} {
		if text, last, err = encode(text, all[i], more, last); err != nil {
			t.Fatal(err)
		}
	}
	var damage *DamageError
	if c, err := readFrom(bytes.NewReader(text), "run"); !errors.As(err, &damage) || damage.Kind != Altered || len(c.Events) != 1 {
		t.Errorf("%+v, %v; want the first event, and the third line to be damage", c, err)
	}
}
