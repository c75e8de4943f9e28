package bench

import (
	"cmp"
	"slices"
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/tui"
)

// hasMore tells whether Enter has to show more of the briefing first.
func (m *Model) hasMore() bool { return m.ReadThrough && m.scroll < m.lastScroll() }

// briefingPage is the briefing, and why it could not be acknowledged.
func (m *Model) briefingPage() page {
	p := briefingPage(m.Run(), m.look.glyphs, m.keys, m.Width)
	if m.hint != "" {
		p.below = m.hint
		if m.stray == nil {
			p.enter = "try again"
		}
	}
	return p
}

// briefingPage is read once before the first stage: what to beware of, then what to have ready.
func briefingPage(s *run.State, g *glyphs, k tui.Keys, w int) page {
	t := &writer{glyphs: g, w: w - 2}
	writeCautions(t, s)
	t.rows = append(t.rows, row{})
	t.text(tui.Strong, summary.Deferral)
	writeEach(t, s, "Does not fit", tui.Warn, (*protocol.Sheet).Warnings)
	writeEach(t, s, "Fits", tui.Ink, (*protocol.Sheet).Fits)
	writeReady(t, s)
	return page{
		title: "Before you start: " + s.Protocol.Title,
		rows:  t.rows,
		enter: "all of this was read, go to the bench",
		hints: scrollKeys(k),
		last:  []key.Binding{k.Help, k.Leave},
	}
}

func writeCautions(t *writer, s *run.State) {
	p := s.Protocol
	if len(p.Contents)+len(p.Cautions) == 0 {
		return
	}
	t.heading("Beware")
	for _, c := range p.Contents {
		hazards := protocol.HazardsOf([]*protocol.Content{c})
		t.wrapped(tui.Strong, t.caution+" ", tui.Warn, protocol.Beware(hazards, len(hazards), nil)+onTheBench(p, c))
	}
	for _, say := range protocol.ToDo(p.Contents, s.Vessels[0].Sheet) {
		t.wrapped(tui.Ink, t.caution+" ", tui.Warn, say)
	}
	for _, c := range p.Cautions {
		var titles []string
		for _, id := range c.Applies {
			titles = append(titles, p.Stage(id).Title)
		}
		say := fillIn(c.Say, s)
		if titles != nil {
			say += " (In: " + strings.Join(titles, ", ") + ")"
		}
		t.wrapped(tui.Ink, t.caution+" ", tui.Warn, say)
	}
}

// onTheBench tells from which stage to which a content is on the bench; nothing where that is the whole run.
func onTheBench(p *protocol.Protocol, c *protocol.Content) string {
	from, until := p.Stages[c.From].Title, p.Stages[c.Until].Title
	switch {
	case c.From == 0 && c.Until == len(p.Stages)-1:
		return ""
	case c.From == c.Until:
		return " (In: " + from + ")"
	}
	return " (From: " + from + ", to: " + until + ")"
}

// fillIn fills a text with the first vessel's values.
func fillIn(t protocol.Text, s *run.State) string {
	if len(s.Vessels) == 0 || s.Vessels[0].Sheet == nil {
		return t.String()
	}
	return t.Fill(s.Vessels[0].Sheet, 0)
}

// writeEach lists what each vessel's sheet tells, below a heading; once where all tell the same.
func writeEach(t *writer, s *run.State, heading string, role tui.Role, told func(*protocol.Sheet) []string) {
	var all [][]string
	for _, v := range s.Vessels {
		var lines []string
		if v.Sheet != nil {
			lines = told(v.Sheet)
		}
		all = append(all, lines)
	}
	same := !slices.ContainsFunc(all, func(lines []string) bool { return !slices.Equal(lines, all[0]) })
	if same {
		all = all[:min(1, len(all))]
	}
	first := true
	for i, lines := range all {
		whose := s.Vessels[i].Label + "  "
		if same {
			whose = t.dot + " "
		}
		for _, line := range lines {
			if first {
				t.heading(heading)
				first = false
			}
			t.wrapped(role, whose, role, line)
		}
	}
}

// writeReady lists amounts, givens and instruments; a column for each vessel where they differ.
func writeReady(t *writer, s *run.State) {
	if len(s.Protocol.Amounts) > 0 {
		t.heading("Have ready" + columnsNote(s, amountIDs(s.Protocol)))
		for _, a := range s.Protocol.Amounts {
			writeShown(t, s, a.Title, a.ID)
		}
	}
	if len(s.Protocol.Givens) > 0 {
		t.heading("Given" + columnsNote(s, givenIDs(s.Protocol)))
		for _, g := range s.Protocol.Givens {
			writeShown(t, s, g.Title, g.ID)
		}
	}
	if len(s.Protocol.Instruments) > 0 {
		t.heading("Instruments")
		for _, in := range s.Protocol.Instruments {
			text := in.Title
			if in.Checked != "" {
				text += ", checked " + in.Checked
			}
			t.wrapped(tui.Ink, t.dot+" ", tui.Faint, text)
		}
	}
}

func amountIDs(p *protocol.Protocol) []string {
	var out []string
	for _, a := range p.Amounts {
		out = append(out, a.ID)
	}
	return out
}

func givenIDs(p *protocol.Protocol) []string {
	var out []string
	for _, g := range p.Givens {
		out = append(out, g.ID)
	}
	return out
}

// writeShown writes one name with its value, or one for each vessel where they differ.
func writeShown(t *writer, s *run.State, title, id string) {
	if title == "" {
		title = strings.ReplaceAll(id, "_", " ")
	}
	values := valuesOf(s, id)
	widest := 0
	for _, v := range values {
		widest = max(widest, t.width(v))
	}
	each := max(12, widest+2)
	if len(values) > 1 && 24+each*len(values) > t.w { // too many columns: one line each
		for i, v := range values {
			t.pair(title+" "+s.Vessels[i].Label, []string{v}, max(10, min(36, t.w-each)), each)
		}
		return
	}
	t.pair(title, values, max(10, min(36, t.w-each*len(values))), each)
}

// valuesOf returns what each vessel shows for a name; one value where all agree.
func valuesOf(s *run.State, id string) []string {
	var out []string
	differ := false
	for _, v := range s.Vessels {
		text := "–"
		if v.Sheet != nil {
			if shown, ok := v.Sheet.Show(id, 0); ok {
				text = shown
			}
		}
		differ = differ || len(out) > 0 && text != out[0]
		out = append(out, text)
	}
	if !differ && len(out) > 0 {
		return out[:1]
	}
	return out
}

// columnsNote names the vessels' columns where some of the names have one for each.
func columnsNote(s *run.State, ids []string) string {
	for _, id := range ids {
		if len(valuesOf(s, id)) > 1 {
			labels := make([]string, len(s.Vessels))
			for i, v := range s.Vessels {
				labels[i] = v.Label
			}
			return ", vessels " + strings.Join(labels, " ")
		}
	}
	if len(s.Vessels) > 1 {
		return ", the same for each vessel"
	}
	return ""
}

// openBriefing is the briefing as it is shown: what Enter does depends on how far it was read, and on whether all fits.
func (m *Model) openBriefing() page {
	p := m.briefingPage()
	switch unfit := m.Run().Unfit(); {
	case len(m.line) > 0:
		p.enter = "begin, because: " + strings.TrimSpace(strings.TrimPrefix(string(m.line), "y")) + m.look.cursor
	case m.hasMore():
		p.enter = "read on"
	case unfit != "":
		p.enter, p.below = "nothing yet", cmp.Or(m.hint, unfit+" To begin all the same: y and a word why.")
	}
	return p
}

// saysWhy takes a rune into the line that says why a run is begun with what does not fit; it tells whether the rune was
// for that.
func (m *Model) saysWhy(r rune, enter bool) bool {
	if enter || len(m.line) == 0 && (r != 'y' || m.hasMore() || m.Run().Unfit() == "") {
		return false
	}
	if len(m.line) < lineMost {
		m.line = append(m.line, r)
	}
	return true
}

// acknowledge records that the briefing was read, and goes to the bench.
func (m *Model) acknowledge() {
	if m.hasMore() {
		m.move(m.pageRows())
		return
	}
	why := strings.TrimPrefix(string(m.line), "y")
	m.line = nil
	events, err := m.Operator.Engine.Do(run.Command{Do: run.Acknowledge{Why: why}})
	if err != nil {
		m.hint = err.Error()
		return
	}
	m.screen, m.scroll, m.answer.Events = working, 0, events
	m.planAtOnce()
	m.refresh()
	for _, v := range m.views {
		m.bell.attend(v)
	}
}
