package bench

import (
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/timetable"
	"example.org/meniscus/tui"
)

// screen is which of the screens is shown.
type screen uint8

const (
	choosing screen = iota
	briefing
	working
	finished
)

// An aside is a page that lies over the screen until a key is pressed.
type aside uint8

const (
	nowhere aside = iota
	helping
	planned // the timetable
)

// A Model is the screens of one sitting: from the chooser, or from a run, to its summary.
type Model struct {
	Options
	look look
	keys tui.Keys

	screen screen
	aside  aside
	far    bool // the far view of the bench
	scroll int  // first line shown of the briefing, the help or the summary
	picked int  // chooser
	left   bool

	line    []rune        // what is typed
	typedAt time.Duration // elapsed at the line's first rune
	answer  tui.Answer    // what the last line led to
	hint    string        // why the last key did nothing
	stray   *stray        // a sign that meant nothing, with what came in one go with it
	presses int           // how many key messages came
	ticks   int           // and looks at the clock

	now      time.Duration // from the last message that told the time
	wall     time.Time     // then, where the bench stands
	views    []run.View
	queue    []run.Turn // of the hands
	curve    curve
	tape     []strip
	bell     *bell
	summary  []string
	making   *timetable.Task // the timetable that is being made
	planSaid []string        // what the last one moved
}

// New returns the screens.
func New(o Options) Model {
	o = o.withDefaults()
	m := Model{Options: o, look: newLook(o.Ascii, o.Palette), keys: tui.NewKeys(), bell: newBell()}
	if o.Operator != nil {
		m.open(o.Operator)
	}
	return m
}

// Ended tells whether the run was closed and its summary shown.
func (m Model) Ended() bool { return m.screen == finished }

// Left tells whether the operator left the program; the run is still open unless Ended.
func (m Model) Left() bool { return m.left }

// Run returns the run that was shown last, or nil.
func (m Model) Run() *run.State {
	if m.Operator == nil {
		return nil
	}
	return m.Operator.Engine.State
}

// tickMsg says that it is time to look at the clock.
type tickMsg struct{}

// Redraw is a message that has the whole screen drawn anew, as after a stop by a signal.
type Redraw struct{}

// Stayed is a message that ctrl-z did nothing.
type Stayed struct{}

// Init starts the ticks.
func (m Model) Init() tea.Cmd { return m.tick() }

func (m Model) tick() tea.Cmd {
	return tea.Tick(m.Tick, func(time.Time) tea.Msg { return tickMsg{} })
}

// Update takes a message.
func (m Model) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tickMsg:
		m.ticks++
		m.watch()
		m.follow()
		m.refresh()
		return m, tea.Batch(m.tick(), m.ring(), m.toPlan())
	case foundMsg:
		m.adopt(msg)
		return m, m.toPlan()
	case bellMsg:
		return m, m.sound(msg)
	case bellFailed:
		m.hint = msg.Error()
	case tea.WindowSizeMsg:
		m.Width, m.Height = min(max(0, msg.Width), 1000), min(max(0, msg.Height), 500)
		m.write()
	case Stayed:
		m.hint = "ctrl-z does nothing here: there is no shell to come back from"
		return m, tea.ClearScreen
	case tea.ResumeMsg, Redraw:
		m.refresh()
		return m, tea.ClearScreen
	case tea.KeyMsg:
		cmd := m.press(msg)
		if m.Typing != nil && m.Operator != nil {
			m.Typing(m.Operator.About(m.lineText()), m.lineText(), m.typedAt)
		}
		if m.left {
			return m, tea.Quit
		}
		return m, tea.Batch(cmd, m.toPlan())
	}
	return m, nil
}

// View draws the screen that Update left behind, in exactly the terminal's size.
func (m Model) View() string {
	if m.Width < 1 || m.Height < 1 {
		return ""
	}
	switch {
	case m.aside == planned:
		return drawPage(m.timetablePage(), m.scroll, m.Width, m.Height, m.look)
	case m.aside == helping:
		return drawPage(m.helpPage(), m.scroll, m.Width, m.Height, m.look)
	case m.screen == choosing:
		return drawChooser(&m)
	case m.screen == briefing:
		return drawPage(m.openBriefing(), m.scroll, m.Width, m.Height, m.look)
	case m.screen == finished:
		return drawPage(m.summaryPage(), m.scroll, m.Width, m.Height, m.look)
	}
	if m.far {
		return drawFar(m.frame(), m.Width, m.Height, m.look)
	}
	return drawBench(m.frame(), m.Width, m.Height, m.look)
}

// open shows a run, at the screen that it stands at.
func (m *Model) open(o *tui.Operator) {
	m.Operator, m.scroll = o, 0
	if m.MoveTo != nil {
		o.MoveTo = m.MoveTo
	}
	m.screen = working
	if !o.Engine.State.Acknowledged {
		m.screen = briefing
	}
	m.answer = tui.Answer{Said: o.Resumed()}
	m.refresh()
	for _, v := range m.views {
		m.bell.attend(v)
	}
}

// watch tells when time did not go its ordinary way; what could not be saved is still the more urgent.
func (m *Model) watch() {
	if m.Operator == nil {
		return
	}
	said := m.Operator.Watch()
	if about := m.Operator.Review(m.Operator.Engine.Now().Elapsed); about != "" {
		said = append(said, about)
	}
	if said != nil {
		m.answer.Said, m.answer.Refused, m.hint = said, "", ""
	}
}

// follow lets the hands go on to the vessel that is due, unless a line is typed or something else is looked at.
func (m *Model) follow() {
	if m.Operator == nil || m.screen != working || m.aside != nowhere || len(m.line) > 0 {
		return
	}
	if moved := m.Operator.Follow(); moved != "" {
		m.answer.Moved, m.answer.Refused, m.hint = moved, "", ""
	}
}

// said is what the last line led to, which vessel the hands go on with, and what the timetable has moved.
func (m *Model) said() []string {
	said := slices.Clip(m.answer.Said)
	if m.answer.Moved != "" {
		said = append(said, m.answer.Moved)
	}
	return append(said, m.planSaid...)
}

// refresh looks at the clock and works out what is to be seen.
func (m *Model) refresh() {
	if m.Operator == nil {
		return
	}
	s := m.Operator.Engine.State
	moment := m.Operator.Engine.Now()
	m.now, m.wall = moment.Elapsed, moment.At.In(run.Place(s.Here))
	m.views = make([]run.View, len(s.Vessels))
	m.tape = nil
	for i, v := range s.Vessels {
		m.views[i] = s.Look(v.Label, m.now)
		if v.Label == m.Operator.Vessel {
			m.tape, m.curve = tapeOf(v), curveOf(s, v, m.views[i])
		}
	}
	m.queue = turnsOf(s, m.views, m.now)
	if s.Ended != nil && m.screen != finished {
		m.screen, m.scroll, m.line = finished, 0, nil
		m.write()
	}
	if s.Ended == nil && m.screen == finished { // what closed it was undone
		m.screen, m.scroll = working, 0
	}
}

// frame gathers what the bench screen shows.
func (m *Model) frame() *frame {
	s := m.Run()
	f := &frame{
		title:   s.Protocol.Title,
		elapsed: m.now,
		now:     m.wall,
		views:   m.views,
		tape:    m.tape,
		queue:   m.queue,
		curve:   m.curve,
		away:    s.Away != nil,
		planned: s.Timetable() != nil,
		ended:   s.Ended != nil,
		muted:   m.bell.muted,
		ringing: m.bell.isRinging(),
		line:    string(m.line),
		said:    m.said(),
		refused: m.answer.Refused,
		keys:    m.keys,

		question: m.Operator.Open(),
	}
	if slip, ok := m.Operator.Slip(m.lineText()); ok {
		f.slip = slipOf(slip)
	}
	if m.hint != "" {
		f.refused = m.hint
	}
	f.notSaved = m.answer.WhyNotSaved()
	for i, v := range m.views {
		if v.Vessel == m.Operator.Vessel {
			f.meant = i
		}
	}
	return f
}
