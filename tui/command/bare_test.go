package command_test

import (
	"fmt"
	"os"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// plainest is about the least that a program on a screen can be: it shows the last rune typed and counts seconds.
type plainest struct {
	typed   string
	seconds int
}

type second struct{}

func (plainest) next() tea.Cmd {
	return tea.Tick(time.Second, func(time.Time) tea.Msg { return second{} })
}

func (p plainest) Init() tea.Cmd { return p.next() }

func (p plainest) View() string { return fmt.Sprintf("typed › %s\n%d s", p.typed, p.seconds) }

func (p plainest) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case second:
		p.seconds++
		return p, p.next()
	case tea.KeyMsg:
		switch msg.Type {
		case tea.KeyRunes:
			p.typed = string(msg.Runes)
		case tea.KeyBackspace:
			p.typed = "nothing"
		case tea.KeyCtrlC:
			return p, tea.Quit
		}
	}
	return p, nil
}

// bare is the program to measure against, with the frames per second that are the library's own, as meniscus has them.
func bare() {
	if _, err := tea.NewProgram(plainest{typed: "nothing"}, tea.WithAltScreen()).Run(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
