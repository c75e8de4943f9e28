package bench

import (
	"fmt"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/timetable"
	"example.org/meniscus/tui"
)

// foundMsg brings a timetable that was made beside the screen.
type foundMsg struct {
	task  *timetable.Task
	found timetable.Found
}

// toPlan has the timetable made anew where something has changed. The work goes on beside the screen, one at a time: a key
// never waits for it.
func (m *Model) toPlan() tea.Cmd {
	if m.Operator == nil || m.making != nil || m.PlanAtOnce {
		return nil
	}
	task := m.Operator.ToPlan()
	if task == nil {
		return nil
	}
	m.making = task
	return func() tea.Msg { return foundMsg{task, task.Plan()} }
}

// planAtOnce has the timetable made here and now, where the options say so and something was done.
func (m *Model) planAtOnce() {
	if !m.PlanAtOnce || len(m.answer.Events) == 0 {
		return
	}
	if said := m.Operator.Plan(); said != nil {
		m.tell(said)
	}
}

// adopt takes a timetable over and says what moved.
func (m *Model) adopt(msg foundMsg) {
	m.making = nil
	if m.Operator == nil {
		return
	}
	m.tell(m.Operator.Adopt(msg.task, msg.found))
}

// tell says what moved. That somebody is to begin by the first timetable calls nobody: they have only just asked for it.
func (m *Model) tell(said []string) {
	if said != nil {
		m.planSaid = said
	}
	m.refresh()
	if t := m.Run().Timetable(); t == nil || !t.First {
		return
	}
	for _, v := range m.views {
		if !v.Begun {
			m.bell.attend(v)
		}
	}
}

// timetablePage lists what the hands are to do from now on, below what was moved last.
func (m *Model) timetablePage() page {
	s := m.Run()
	t := &writer{glyphs: m.look.glyphs, w: m.Width - 2}
	if table := s.Timetable(); table != nil {
		t.text(tui.Strong, "All through at "+s.Wall(time.Duration(table.End))+". Made at "+s.Wall(table.At.Elapsed)+".")
		for _, text := range tui.TellTimetable(s) {
			t.text(tui.Ink, text)
		}
		t.rows = append(t.rows, row{})
	}
	for _, c := range tui.Coming(s, m.now) {
		sign := tui.Shade(run.Waiting)
		if c.In <= 0 {
			sign = tui.Shade(run.Hands)
		}
		before := fmt.Sprintf("%s  %10s  %s  ", c.At, comingTime(c), c.Vessel)
		text := c.Turn
		if m.Width >= slimmest && c.Takes > 0 {
			text += ", for " + run.Hms(c.Takes)
		}
		t.wrapped(tui.Ink, before, sign, text)
	}
	return page{title: "Timetable", rows: t.rows, enter: "back", hints: scrollKeys(m.keys)}
}

// comingTime tells how far off a turn is.
func comingTime(c tui.Upcoming) string {
	if c.In <= 0 {
		return "now"
	}
	return "in " + run.Hms(upToSecond(c.In))
}
