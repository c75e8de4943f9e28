package tui

import (
	"errors"
	"os"
	"path/filepath"
	"strings"

	"example.org/meniscus/protocol/run"
)

// again deals with what the journal could not take: an empty line tries it again, a dash leaves it, w takes the journal
// to another folder first. Any other line stands in its place. done is false when the line means something else.
func (o *Operator) again(line string) (a Answer, done bool) {
	kept, asked := o.unsaved, o.elsewhere
	o.unsaved, o.elsewhere = nil, ""
	if folder, ok := elsewhere(line); ok {
		return o.mayMove(folder, asked, kept), true
	}
	if kept == nil {
		return Answer{}, false
	}
	switch line {
	case "":
		return o.do(*kept), true
	case "-":
		o.open = nil
		return Answer{Said: []string{"Left: it was not saved, and nothing was done."}}, true
	case "?":
		o.unsaved = kept
	case "q":
		return Answer{Refused: "The last line is not saved yet. Type it again, or w and a folder to save elsewhere; q once more leaves without it."}, true
	}
	return Answer{}, false
}

// elsewhere reads "w FOLDER".
func elsewhere(line string) (folder string, ok bool) {
	if line == "w" {
		return "", true
	}
	folder, ok = strings.CutPrefix(line, "w ")
	return strings.TrimSpace(Clean(folder)), ok
}

// mayMove moves at once where the disk took something no more. On a sound one it asks first: w and a stray word is soon
// typed, and a bare Enter soon follows, so the yes is a word. asked is the folder that was asked about, if any.
func (o *Operator) mayMove(folder, asked string, kept *run.Command) Answer {
	o.unsaved = kept
	if o.MoveTo == nil {
		return Answer{Refused: "This run keeps no journal that could go on elsewhere."}
	}
	if folder == "" {
		return Answer{Refused: "Say in which folder: w, then its path."}
	}
	to, err := whole(folder)
	switch {
	case err != nil:
		return Answer{Refused: "The journal stays where it is: " + err.Error()}
	case kept != nil:
		return o.move(to, kept)
	case folder == "yes" && asked != "":
		return o.move(asked, nil)
	}
	o.elsewhere = to
	return Answer{Refused: "The run is saved where it is, and nothing is wrong there. To go on in the folder " + to + " all the same: w yes"}
}

// whole is the full path of a folder; ~ is the home folder.
func whole(folder string) (string, error) {
	if folder == "~" || strings.HasPrefix(folder, "~/") {
		home, err := os.UserHomeDir()
		return filepath.Join(home, folder[1:]), err
	}
	return filepath.Abs(folder)
}

// move takes the journal to another folder, says so in the record, and saves what could not be saved before.
func (o *Operator) move(folder string, kept *run.Command) Answer {
	from, to, err := o.MoveTo(folder)
	if err != nil {
		return Answer{Refused: "The journal stays where it is: " + err.Error()}
	}
	said := "The journal goes on in " + to + "; the old file, " + from + ", stays as far as it came."
	a := o.do(run.Command{Do: run.Note{Text: "The journal goes on in " + to + "; up to here it was kept in " + from}})
	a.Said = []string{said}
	if o.unsaved = kept; kept == nil || a.NotSaved != nil {
		return a
	}
	o.open, o.unsaved = nil, nil
	b := o.do(*kept)
	b.Events, b.Said = append(a.Events, b.Events...), append(a.Said, b.Said...)
	return b
}

// WhyNotSaved says in words why nothing was saved; "" when all was.
func (a Answer) WhyNotSaved() string {
	var told interface{ Reason() string }
	switch {
	case a.NotSaved == nil:
		return ""
	case errors.As(a.NotSaved, &told):
		return told.Reason()
	}
	return a.NotSaved.Error()
}
