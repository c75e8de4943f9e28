package journal

import (
	"io"
	"os"
	"strings"

	"example.org/meniscus/protocol/regular"
)

// A word beside a journal says where its run went on. It is a link that leads there, since a disk that is full still
// takes a short link, and where links cannot be made, a file that says so. Neither is ever followed, and whatever has
// the word's name already stays.
func wordOf(path string) string { return path + ".moved" }

// wordLead is how a word that is a file begins.
const wordLead = "The run went on in "

// mostWord bounds what is read of a word, in bytes.
const mostWord = 10_000

// leaveWord leaves the word where it can; that it fails changes nothing.
func (onDisk) leaveWord(path, to string) {
	if os.Symlink(to, wordOf(path)) == nil {
		return
	}
	f, err := regular.CreateOwn(wordOf(path))
	if err != nil {
		return
	}
	_, failed := f.WriteString(wordLead + to)
	f.Close()
	if failed != nil {
		_ = os.Remove(wordOf(path))
	}
}

// MovedTo returns where the journal at path was moved by MoveTo, "" if it was not, or was taken up again since. Only
// the chain proves it: Verify of the journal there finds the last line of this one.
func MovedTo(path string) string {
	if to, err := os.Readlink(wordOf(path)); err == nil {
		return to
	}
	f, err := regular.OpenOwn(wordOf(path), os.O_RDONLY)
	if err != nil {
		return ""
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, mostWord))
	to, ours := strings.CutPrefix(string(text), wordLead)
	if err != nil || !ours {
		return ""
	}
	return to
}

// forgetWord takes away the word beside a journal that goes on where it is.
func forgetWord(path string) {
	if MovedTo(path) != "" {
		_ = os.Remove(wordOf(path))
	}
}
