package bench

import (
	"strings"
	"time"
	"unicode"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/tui"
)

// lineMost is how many runes a typed line may have.
const lineMost = 200

// press takes a key message. One message may carry many runes, as fast typing, a foot switch or a paste sends them;
// each is taken in turn, as if it had come alone.
func (m *Model) press(msg tea.KeyMsg) tea.Cmd {
	m.presses++
	if m.Operator != nil && !m.Operator.Unseen() && !m.mutes(msg) {
		m.bell.answer(m.meant())
	}
	if msg.Type != tea.KeyRunes && m.moves(msg) && m.isLost(' ', false) {
		return nil
	}
	switch msg.Type {
	case tea.KeyCtrlC:
		m.left = true
	case tea.KeyCtrlZ:
		return tea.Suspend
	case tea.KeyCtrlL:
		return tea.ClearScreen
	case tea.KeyRunes:
		switch {
		case msg.Alt:
		case msg.Paste:
			m.paste(msg.Runes)
		default:
			m.runes(msg.Runes)
		}
	case tea.KeySpace:
		m.rune(' ')
	case tea.KeyEnter, tea.KeyCtrlJ:
		m.rune('\r')
	case tea.KeyBackspace, tea.KeyCtrlH, tea.KeyDelete:
		if n := len(m.line); n > 0 {
			m.line = m.line[:n-1]
		}
	case tea.KeyEsc:
		m.stray = nil
		m.escape()
	case tea.KeyTab, tea.KeyRight:
		m.turn(1)
	case tea.KeyShiftTab, tea.KeyLeft:
		m.turn(-1)
	case tea.KeyUp:
		m.move(-1)
	case tea.KeyDown:
		m.move(1)
	case tea.KeyPgUp:
		m.move(-m.pageRows())
	case tea.KeyPgDown:
		m.move(m.pageRows())
	}
	return nil
}

// moves tells a key that goes elsewhere, to another vessel or another line.
func (m *Model) moves(msg tea.KeyMsg) bool {
	k := m.keys
	return key.Matches(msg, k.NextVessel, k.Up, k.Down, k.PageUp, k.PageDown) || msg.Type == tea.KeyShiftTab || msg.Type == tea.KeyLeft || msg.Type == tea.KeyRight
}

// mutes tells the key that only stills the bell: that is no answer to the vessel that calls.
func (m *Model) mutes(msg tea.KeyMsg) bool {
	return msg.String() == "m" && m.screen == working && m.aside == nowhere && len(m.line) == 0
}

// runes takes runes one by one; a line feed after a carriage return belongs to it.
func (m *Model) runes(rs []rune) {
	for i, r := range rs {
		if m.left {
			return
		}
		if r == '\n' && i > 0 && rs[i-1] == '\r' {
			continue
		}
		m.rune(r)
	}
}

// rune takes one rune; '\r' and '\n' are the Enter key.
func (m *Model) rune(r rune) {
	enter := r == '\r' || r == '\n'
	if !enter && !tui.Printable(r) || m.isLost(r, enter) {
		return
	}
	m.hint = ""
	switch {
	case m.aside != nowhere && r == ' ':
		m.move(m.pageRows())
	case m.aside != nowhere:
		m.aside, m.scroll = nowhere, 0
		if !enter {
			m.strays(r, "")
		}
	case m.screen == working:
		m.atBench(r, enter)
	case m.screen == finished && m.afterwards(r, enter):
	case m.screen == briefing && m.saysWhy(r, enter):
	case enter:
		m.confirm()
	case r == ' ':
		m.move(m.pageRows())
	case r == 'q':
		m.left = true
	case r == '?':
		m.aside, m.scroll = helping, 0
	case m.screen == choosing && unicode.IsDigit(r):
		m.pick(int(r - '1'))
	case m.isVessel(r): // there is nothing to choose it for yet, and it begins no line
	default:
		m.strays(r, noKey(r))
	}
}

// atBench takes a rune at the bench: into the line that is typed, or as a key of its own.
func (m *Model) atBench(r rune, enter bool) {
	_, opens := m.keys.Opener(r)
	switch {
	case enter:
		m.enter()
	case len(m.line) > 0:
		if len(m.line) < lineMost {
			m.line = append(m.line, r)
		}
	case opens || tui.StartsReading(r) || m.Operator.Lost():
		refused := m.Operator.StartLine(r)
		m.refresh()
		if refused != "" {
			m.hint = refused
			return
		}
		m.line, m.typedAt = append(m.line[:0:0], r), m.now
	case r == 'm':
		m.bell.muted = !m.bell.muted
	case r == 'f':
		m.far = !m.far
	case r == '?':
		m.aside, m.scroll = helping, 0
	case r == 'p' && m.Run().Timetable() == nil:
		m.hand(string(r))
		m.strays(r, m.answer.Refused)
	case r == 'a', r == 'q', r == 'p', m.isVessel(r):
		m.hand(string(r))
	case r != ' ':
		m.strays(r, noKey(r))
	}
}

// paste takes pasted text: into a line that is open, or as a reading when it looks like one. It is never Enter, and
// never a key.
func (m *Model) paste(rs []rune) {
	if m.screen < working || m.aside != nowhere {
		return
	}
	starts := tui.StartsReading
	if m.screen == finished {
		starts = func(r rune) bool { return r == '@' }
	}
	var text []rune
	unseen := false
	for _, r := range rs {
		if len(text) == lineMost {
			break
		}
		if unicode.IsSpace(r) {
			r = ' '
		}
		unseen = unseen || !tui.Printable(r)
		if tui.Printable(r) && (r != ' ' || len(text) > 0) {
			text = append(text, r)
		}
	}
	words := len(m.line) > 0 && !tui.StartsReading(m.line[0]) && string(m.line[0]) != m.keys.Correct.Keys()[0]
	switch {
	case len(text) == 0:
	case unseen && !words: // without them a number may be another one
		m.hint = "pasted text with signs that cannot be seen was set aside: type it"
	case len(m.line) == 0 && !starts(text[0]):
		m.hint = "pasted text that is no reading was set aside; n opens a note for it"
	default:
		for _, r := range text {
			m.atBench(r, false)
		}
	}
}

func (m *Model) isVessel(r rune) bool {
	for _, v := range m.views {
		if v.Vessel == string(r) {
			return true
		}
	}
	return false
}

// enter takes the Enter key at the bench: the typed line, or the way forward.
func (m *Model) enter() {
	bare := len(m.line) == 0
	if bare && m.isTooSoon() {
		return
	}
	m.refresh()
	typedAt := m.typedAt
	if bare {
		typedAt = 0
	} else {
		m.Operator.Strike()
	}
	m.handAt(m.lineText(), typedAt)
}

// isTooSoon tells, and says, that a bare Enter came so soon after the one before it that it does nothing: the key is
// held down, or nobody can have read yet what the first has led to.
func (m *Model) isTooSoon() bool {
	if m.Debounce == 0 {
		return false
	}
	say, soon := m.Operator.TooSoon(m.Debounce)
	m.hint = say
	return soon
}

// lineText is the typed line as the operator takes it: the letter of what was asked stands apart.
func (m *Model) lineText() string {
	line := strings.TrimSpace(string(m.line))
	if line == "" {
		return ""
	}
	if o, ok := m.keys.Opener(m.line[0]); ok {
		letter := o.Key.Keys()[0]
		return strings.TrimSpace(letter + " " + strings.TrimSpace(line[len(letter):]))
	}
	return line
}

// hand gives the operator a line that is meant now.
func (m *Model) hand(line string) { m.handAt(line, 0) }

// handAt gives the operator a line and shows the answer. A line that could not be saved stays.
func (m *Model) handAt(line string, typedAt time.Duration) {
	seen := m.meant()
	m.answer, m.planSaid = m.Operator.Enter(line, typedAt), nil
	m.planAtOnce()
	switch {
	case m.answer.Keep:
		m.line = append(m.line, ' ')
	case m.answer.NotSaved == nil:
		m.line = nil
	}
	m.left = m.left || m.answer.Leave
	switch {
	case m.answer.Help:
		m.aside, m.scroll = helping, 0
	case m.answer.Timetable:
		m.aside, m.scroll = planned, 0
	}
	m.refresh()
	if m.answer.Moved == "" {
		seen = m.meant() // else the next vessel may call until it is seen
	}
	for _, v := range m.views {
		if v.Vessel == seen {
			m.bell.attend(v)
		}
	}
}

// escape clears the line; without one it says no to a question, or closes the help.
func (m *Model) escape() {
	switch {
	case m.aside != nowhere:
		m.aside, m.scroll = nowhere, 0
	case len(m.line) > 0:
		m.line = nil
	case m.screen >= working && m.Operator.Open() != nil:
		m.hint = ""
		m.hand("-")
	default:
		m.hint, m.answer = "", tui.Answer{}
	}
}

// turn goes to the next vessel, or the one before.
func (m *Model) turn(by int) {
	n := len(m.views)
	if m.screen != working || m.aside != nowhere || n < 2 {
		return
	}
	for i, v := range m.views {
		if v.Vessel == m.meant() {
			m.hand(m.views[(i+by+n)%n].Vessel)
			return
		}
	}
}

// meant is the label of the vessel that is worked on.
func (m *Model) meant() string {
	if m.Operator == nil {
		return ""
	}
	return m.Operator.Vessel
}

// confirm takes Enter on every screen but the bench.
func (m *Model) confirm() {
	if m.Operator != nil && m.isTooSoon() {
		return
	}
	switch m.screen {
	case choosing:
		if m.choose(); m.Operator != nil {
			m.Operator.Strike()
		}
	case briefing:
		m.acknowledge()
	case finished:
		m.left = true
	}
}

// move scrolls a page, or moves the choice.
func (m *Model) move(by int) {
	if m.screen == choosing && m.aside == nowhere {
		m.pick(m.picked + by)
		return
	}
	m.scroll = max(0, min(m.scroll+by, m.lastScroll()))
}

// Keys returns the key messages that type a line of tui's grammar at the bench: its runes and Enter, or the one key
// that acts at once.
func Keys(line string) []tea.KeyMsg {
	rs := []rune(strings.TrimSpace(line))
	if len(rs) == 1 && (unicode.IsUpper(rs[0]) || strings.ContainsRune("aqmfp?", rs[0])) {
		return []tea.KeyMsg{{Type: tea.KeyRunes, Runes: rs}}
	}
	var out []tea.KeyMsg
	for _, r := range rs {
		if r == ' ' {
			out = append(out, tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{r}})
			continue
		}
		out = append(out, tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
	return append(out, tea.KeyMsg{Type: tea.KeyEnter})
}
