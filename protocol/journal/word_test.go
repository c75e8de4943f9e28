package journal

import (
	"os"
	"path/filepath"
	"testing"

	"example.org/meniscus/protocol/regular"
)

// TestTheWordAsAFile: where no link can be made, a file says where a run went on; a file of another matter says nothing
// and stays.
func TestTheWordAsAFile(t *testing.T) {
	path := write(t, sample())
	for text, want := range map[string]string{wordLead + "/spare/r.journal": "/spare/r.journal", "Dear Sir": "", "": ""} {
		f, err := regular.CreateOwn(wordOf(path))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.WriteString(text); err != nil {
			t.Fatal(err)
		}
		f.Close()
		if to := MovedTo(path); to != want {
			t.Errorf("%q is read as %q, want %q", text, to, want)
		}
		w, _, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		w.Close()
		if want == "" {
			holds(t, path, filepath.Base(path), filepath.Base(wordOf(path)))
			if err := os.Remove(wordOf(path)); err != nil {
				t.Fatal(err)
			}
		}
		holds(t, path, filepath.Base(path))
	}
}
