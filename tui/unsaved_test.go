package tui_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// A moody recorder keeps events unless it is told to fail.
type moody struct {
	*held
	fails  error
	events []run.Event
}

func (m *moody) Append(events ...run.Event) error {
	if m.fails != nil {
		return m.fails
	}
	m.events = append(m.events, events...)
	return nil
}

var errFull = errors.New("the disk is full")

// unsaved returns an operator whose note could not be saved.
func unsaved(t *testing.T) (*tui.Operator, *moody) {
	t.Helper()
	o, h := sit(t)
	m := &moody{held: h}
	o = tui.NewOperator(run.NewEngine(o.Engine.State, m, h))
	o.Enter("", 0)
	m.fails = errFull
	a := o.Enter("n the flask is warm", 0)
	if a.NotSaved == nil || a.WhyNotSaved() != "the disk is full" || len(a.Said)+len(a.Events) > 0 || len(o.Engine.State.Notes) > 0 {
		t.Fatalf("told as %+v, notes %v", a, o.Engine.State.Notes)
	}
	return o, m
}

func notesOf(o *tui.Operator) string {
	var texts []string
	for _, n := range o.Engine.State.Notes {
		texts = append(texts, n.Text)
	}
	return strings.Join(texts, "|")
}

// What could not be saved is kept until it is saved, once, or left.
func TestNotSavedIsTriedAgain(t *testing.T) {
	o, m := unsaved(t)
	if a := o.Enter("", 0); a.NotSaved == nil {
		t.Errorf("still full: %+v", a)
	}
	m.fails = nil
	if a := o.Enter("", 0); a.NotSaved != nil || notesOf(o) != "the flask is warm" {
		t.Errorf("tried again: %+v, notes %q", a, notesOf(o))
	}
	if o.Enter("", 0); notesOf(o) != "the flask is warm" {
		t.Errorf("saved twice: %q", notesOf(o))
	}
}

func TestNotSavedIsLeft(t *testing.T) {
	leaving, _ := unsaved(t)
	if a := leaving.Enter("q", 0); a.Leave || !strings.Contains(a.Refused, "not saved yet") {
		t.Errorf("q: %+v", a)
	}
	if a := leaving.Enter("q", 0); !a.Leave {
		t.Errorf("q once more: %+v", a)
	}
	o, m := unsaved(t)
	m.fails = nil
	if a := o.Enter("-", 0); len(a.Said) != 1 || notesOf(o) != "" {
		t.Errorf("a dash: %+v, notes %q", a, notesOf(o))
	}
	o, m = unsaved(t)
	m.fails = nil
	if o.Enter("n another one", 0); notesOf(o) != "another one" {
		t.Errorf("another line: notes %q", notesOf(o))
	}
}

// w and a folder: the record says where the journal went, and what could not be saved is saved there.
func TestSavedElsewhere(t *testing.T) {
	o, m := unsaved(t)
	var asked []string
	o.MoveTo = func(folder string) (string, string, error) {
		asked = append(asked, folder)
		if folder == "/full" {
			return "", "", errFull
		}
		m.fails = nil
		return "/old/r.journal", folder + "/r.journal", nil
	}
	for _, tt := range []struct{ line, want string }{
		{"w", "Say in which folder"},
		{"w /full", "The journal stays where it is: the disk is full"},
		{"w /spare disk", "The journal goes on in /spare disk/r.journal; the old file, /old/r.journal, stays as far as it came."},
	} {
		if a := o.Enter(tt.line, 0); !strings.Contains(a.Refused+strings.Join(a.Said, " "), tt.want) {
			t.Errorf("%s: %+v, want %q", tt.line, a, tt.want)
		}
	}
	if want := "The journal goes on in /spare disk/r.journal; up to here it was kept in /old/r.journal|the flask is warm"; notesOf(o) != want {
		t.Errorf("notes %q, want %q", notesOf(o), want)
	}
	if strings.Join(asked, "|") != "/full|/spare disk" {
		t.Errorf("moved to %q", asked)
	}
}

// An answer to a question that could not be saved can be given again, and counts once.
func TestAnAnswerNotSaved(t *testing.T) {
	o, m := unsaved(t)
	m.fails = nil
	if a := o.Enter("z fire drill", 0); a.Ask == nil {
		t.Fatalf("not asked: %+v", a)
	}
	m.fails = errFull
	if a := o.Enter("", 0); a.NotSaved == nil || o.Engine.State.Ended != nil {
		t.Fatalf("%+v", a)
	}
	m.fails = nil
	if o.Enter("", 0); o.Engine.State.Ended == nil {
		t.Error("the answer given again does not end the run")
	}
	if a := o.Enter("q", 0); !a.Leave {
		t.Errorf("saved, and q does not leave: %+v", a)
	}
}

// What a question was about and could not be saved is not saved after a no.
func TestNoAfterNotSaved(t *testing.T) {
	o, m := unsaved(t)
	m.fails = nil
	o.Enter("z fire drill", 0)
	m.fails = errFull
	o.Enter("", 0)
	m.fails = nil
	o.Enter("-", 0)
	if o.Enter("n went on", 0); o.Engine.State.Ended != nil {
		t.Error("the run is ended after a no")
	}
	if a := o.Enter("q", 0); !a.Leave {
		t.Errorf("%+v", a)
	}
}

// On a sound disk w and a folder asks first, with the whole path, and only a word says yes.
func TestElsewhereIsAskedFirst(t *testing.T) {
	o, m := unsaved(t)
	m.fails = nil
	o.Enter("-", 0)
	home := t.TempDir()
	t.Setenv("HOME", home)
	var moved []string
	o.MoveTo = func(folder string) (string, string, error) {
		moved = append(moved, folder)
		return "/old/r.journal", folder + "/r.journal", nil
	}
	here, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for _, no := range []string{"", "-", "n it went on", "w"} {
		if a := o.Enter("w stray", 0); !strings.Contains(a.Refused, "the folder "+filepath.Join(here, "stray")+" all the same: w yes") {
			t.Errorf("w stray: %+v", a)
		}
		if o.Enter(no, 0); o.Enter("w yes", 0).Refused == "" || len(moved) > 0 {
			t.Errorf("moved to %q after %q", moved, no)
		}
		o.Enter("-", 0)
	}
	for _, folder := range []string{"~", "~/runs"} {
		o.Enter("w "+folder, 0)
		if a := o.Enter("w yes", 0); a.Refused != "" {
			t.Errorf("w %s and yes: %+v", folder, a)
		}
	}
	if want := home + "|" + filepath.Join(home, "runs"); strings.Join(moved, "|") != want {
		t.Errorf("moved to %q, want %q", moved, want)
	}
}
