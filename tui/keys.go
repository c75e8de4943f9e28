package tui

import "github.com/charmbracelet/bubbles/key"

// Keys is every key the screens listen to. The bottom line and the help are drawn from it.
type Keys struct {
	Forward, Vessel, NextVessel                          key.Binding
	Note, LeaveOut, Correct, TakeBack                    key.Binding
	Extend, EndWait, Skip, Text, Late, Again             key.Binding
	GiveUp, End, Away, Mute, Far, Leave, Help, Elsewhere key.Binding
	AddVessel, Timetable                                 key.Binding
	Up, Down, PageUp, PageDown, Erase, Clear, No, Digit  key.Binding
}

// NewKeys returns the keys of the program.
func NewKeys() Keys {
	bind := func(word string, keys ...string) key.Binding {
		return key.NewBinding(key.WithKeys(keys...), key.WithHelp(keys[0], word))
	}
	k := Keys{
		Forward:    bind("go forward", "enter"),
		NextVessel: bind("next vessel", "tab"),
		Note:       bind("note", "n"),
		LeaveOut:   bind("not taken", "x"),
		Correct:    bind("correct", "c"),
		TakeBack:   bind("undo", "u"),
		Late:       bind("read earlier", "@"),
		Again:      bind("given again", "g"),
		Extend:     bind("extend", "e"),
		EndWait:    bind("end early", "y"),
		Skip:       bind("skip stage", "s"),
		Text:       bind("text", "t"),
		GiveUp:     bind("drop vessel", "d"),
		AddVessel:  bind("add vessel", "v"),
		End:        bind("end run", "z"),
		Elsewhere:  bind("save elsewhere", "w"),
		Away:       bind("away", "a"),
		Mute:       bind("mute", "m"),
		Far:        bind("far view", "f"),
		Timetable:  bind("timetable", "p"),
		Leave:      bind("leave", "q", "ctrl+c"),
		Help:       bind("help", "?"),
		Up:         bind("line up", "up"),
		Down:       bind("line down", "down"),
		PageUp:     bind("page up", "pgup"),
		PageDown:   bind("page down", " ", "pgdown"),
		Erase:      bind("erase", "backspace", "ctrl+h"),
		Clear:      bind("clear", "esc"),
		No:         bind("no", "-"),
	}
	k.Forward.SetHelp("Enter", "go forward")
	k.Clear.SetHelp("Esc", "clear")
	k.PageDown.SetHelp("space", "page down")
	k.Vessel = key.NewBinding(key.WithKeys("A", "B", "C"), key.WithHelp("A-Z", "vessel"))
	k.Digit = key.NewBinding(key.WithKeys("0", "1", "2", "3", "4", "5", "6", "7", "8", "9"), key.WithHelp("0-9", "a reading"))
	return k
}

// An Opener is a letter that opens a line, and what the line then asks for.
type Opener struct {
	Key   key.Binding
	Asks  string // the word before the line: "note"
	Shape string // how the line goes on, for the help
}

// Openers returns the letters that open a line.
func (k Keys) Openers() []Opener {
	return []Opener{
		{k.Note, "note", "words for the record"},
		{k.LeaveOut, "not taken, because", "why the reading asked for is not taken"},
		{k.Correct, "correct", "the right value, then why unless it was mistyped: 12.6 misread; NAME 12.6 for another reading, NAME.2 for its 2nd portion or point, NAME @10:42 why for the moment of a mark"},
		{k.Again, "given once more", "how much, and why: it is added to the newest portion of this vessel"},
		{k.TakeBack, "take back, because", "alone: undoes this vessel's newest act, and again the one before it; with why: the last reading becomes one that was not taken; the record keeps all"},
		{k.Extend, "minutes more, because", "how many minutes the wait gets, and why"},
		{k.EndWait, "end the wait now, because", "why the wait ends before its least time, or without what it waits for"},
		{k.Skip, "skip the stage, because", "why the rest of the stage is left undone"},
		{k.Text, "text", "a reading in words, such as a lot number"},
		{k.GiveUp, "drop the vessel, because", "why this vessel is given up"},
		{k.AddVessel, "one more vessel, with", "its givens as id=value, nothing for those of the protocol"},
		{k.Elsewhere, "go on in the folder", "where the run is saved from now on, for when the disk takes nothing more"},
		{k.End, "end the run, because", "why; no reason is needed when everything is done"},
	}
}

// Opener returns the opener of a letter.
func (k Keys) Opener(letter rune) (Opener, bool) {
	for _, o := range k.Openers() {
		if o.Key.Keys()[0] == string(letter) {
			return o, true
		}
	}
	return Opener{}, false
}

// StartsReading tells whether a rune typed on an empty line starts a reading.
func StartsReading(r rune) bool {
	switch r {
	case '+', '-', '−', '.', ',', '@':
		return true
	}
	return r >= '0' && r <= '9'
}
