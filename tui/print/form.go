package print

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/charmbracelet/lipgloss"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
)

// A FormVessel is a vessel that a paper form is for.
type FormVessel struct {
	Label string
	Sheet *protocol.Sheet
}

const (
	blank     = "__________"
	clockless = "__:__:__"
)

// Form writes the paper form of a protocol, for when the program stays outside: what to have ready, then every stage
// with its window, its steps to tick off and a blank for each reading, named as a table of readings names it. Each
// vessel begins a page of its own, after a form feed.
func Form(w io.Writer, p *protocol.Protocol, vessels []FormVessel, o Options) error {
	if o.Width == 0 {
		o.Width = defaultWidth
	}
	o.Width = max(o.Width, 2*minWidth)
	t := &typist{out: bufio.NewWriter(w), o: o}
	for i, v := range vessels {
		if i > 0 {
			_, _ = t.out.WriteString("\f")
		}
		f := &form{typist: t, p: p, v: v, several: len(vessels) > 1}
		if i > 0 {
			f.first = vessels[0].Label
		}
		f.head()
		for _, st := range p.Stages {
			f.stage(st)
		}
		f.foot()
	}
	return t.out.Flush()
}

// form writes the page of one vessel.
type form struct {
	*typist
	p       *protocol.Protocol
	v       FormVessel
	several bool   // a page of it may lie beside that of another vessel
	first   string // the vessel on whose form the shared readings stand; empty on its own
}

func (f *form) head() {
	f.heading(visible(fmt.Sprintf("%s: vessel %s", f.p.Title, f.v.Label)), "=")
	f.wrapped(indent, fmt.Sprintf("%s %s. Readings go to a table with the columns vessel,reading,value,unit,at; the name of each stands in brackets. Vessel %s.",
		visible(f.p.ID), visible(f.p.Version), f.v.Label))
	f.line("")
	f.pair(indent+"Date "+blank, "Begun at "+clockless)
	f.pair(indent+"Group code "+blank, "Person in charge "+blank)
	f.line("")
	f.wrapped(indent, summary.Deferral)
	f.cautions(nil)
	f.given()
	f.ready()
}

// given lists what is known before the start: it tells vessels apart.
func (f *form) given() {
	for i, g := range f.p.Givens {
		f.shown(i == 0, "Given", g.Title, g.ID)
	}
}

func (f *form) ready() {
	for i, a := range f.p.Amounts {
		f.shown(i == 0, "Have ready", a.Title, a.ID)
	}
	if len(f.p.Amounts) == 0 {
		return
	}
	for _, warning := range f.v.Sheet.Warnings() {
		f.wrapped(indent, "Look: "+visible(warning))
	}
}

// shown writes what the sheet has under a name; the first of a list has the list's heading before it.
func (f *form) shown(first bool, heading, title, id string) {
	if first {
		f.line("")
		f.heading(heading, "-")
	}
	if value, ok := f.v.Sheet.Show(id, 0); ok {
		f.pair(indent+visible(title), visible(value))
	}
}

// cautions writes those of a stage, or those of the whole run.
func (f *form) cautions(st *protocol.Stage) {
	if st != nil {
		contents := f.p.ContentsOf(st)
		if hazards := protocol.HazardsOf(contents); len(hazards) > 0 {
			f.bullet("! ", visible(protocol.Beware(hazards, len(hazards), nil)))
		}
		for _, say := range protocol.ToDo(contents, f.v.Sheet) {
			f.bullet("! ", visible(say))
		}
	}
	for _, c := range f.p.Cautions {
		if st == nil && len(c.Applies) == 0 || st != nil && slices.Contains(c.Applies, st.ID) {
			f.bullet("! ", visible(c.Say.Fill(f.v.Sheet, 0)))
		}
	}
}

func (f *form) stage(st *protocol.Stage) {
	f.line("")
	title := fmt.Sprintf("%d  %s", st.Number+1, visible(st.Title))
	if f.several {
		title += ", vessel " + f.v.Label
	}
	f.heading(title, "-")
	f.pair(indent+f.window(st), "begun "+clockless+"  ended "+clockless)
	f.cautions(st)
	if say := st.Say.Fill(f.v.Sheet, 0); say != "" {
		f.wrapped(indent, visible(say))
	}
	for _, r := range st.Reminders {
		f.wrapped(indent, fmt.Sprintf("Every %s: %s", run.Hms(r.Every), visible(r.Say.Fill(f.v.Sheet, 0))))
	}
	if st.Ready != nil {
		f.wrapped(indent, "Go on when "+visible(st.Ready.Say.Fill(f.v.Sheet, 0)))
	}
	for portion := 1; portion <= st.Portions; portion++ {
		if st.Portions > 1 {
			f.line(indent + fmt.Sprintf("Portion %d of %d", portion, st.Portions))
		}
		f.portion(st, portion)
	}
	if pause := st.Pause.Fill(f.v.Sheet, 0); pause != "" {
		f.wrapped(indent, "The work may rest here: "+visible(pause))
	}
}

func (f *form) portion(st *protocol.Stage, portion int) {
	for _, i := range st.StepsOf(portion) {
		f.bullet("[ ] ", visible(st.Steps[i].Say.Fill(f.v.Sheet, portion)))
		if st.HasHands() {
			f.readings(st.ReadingsOf(protocol.HandsPhase, portion, i), portion)
		}
	}
	if st.WaitsAfter(portion) {
		f.readings(st.ReadingsOf(protocol.WaitPhase, portion, 0), portion)
	}
	f.readings(st.ReadingsOf(protocol.EndPhase, portion, 0), portion)
}

// window tells the times of a stage: of its hands, then of its wait.
func (f *form) window(st *protocol.Stage) string {
	var parts []string
	if !st.Hands.IsZero() {
		parts = append(parts, "hands "+run.Range(st.Hands))
	}
	if st.Clock != nil {
		parts = append(parts, "wait "+run.Range(*st.Clock))
	}
	return strings.Join(parts, "; ")
}

func (f *form) readings(rs []*protocol.Reading, portion int) {
	for _, r := range rs {
		label := indent + indent + visible(r.Title) + " [" + r.ID + "]"
		if r.Shared && f.first != "" {
			f.pair(label, "on the form of "+f.first)
			continue
		}
		if !r.Needed {
			label += ", if wanted"
		}
		if want := run.Expected(r, portion, f.v.Sheet); want != "" {
			label += ", " + strings.ReplaceAll(visible(want), " ", string(nbsp))
		}
		switch r.Kind {
		case protocol.Series:
			f.wrapped(indent+indent, strings.TrimLeft(label, " "))
			f.series(r)
		case protocol.Mark:
			f.pair(label, "at "+clockless)
		case protocol.Tick:
			f.pair(label, "[ ]")
		case protocol.Choice:
			f.pair(label, visible(strings.Join(r.Choices, " / ")))
		case protocol.FreeText:
			f.pair(label, blank+blank)
		case protocol.Stopwatch:
			f.pair(label, blank+" s")
		default:
			f.pair(label, strings.TrimRight(blank+" "+r.Unit.Shown(), " "))
		}
	}
}

// series leaves room for as many points as the stage plans, at least as many as are needed.
func (f *form) series(r *protocol.Reading) {
	points := max(r.Points, 4)
	for _, rem := range r.Stage.Reminders {
		if rem.Reading == r.ID && rem.Every > 0 && r.Stage.Clock != nil {
			points = max(points, int(r.Stage.Clock.Aim/rem.Every)+2)
		}
	}
	const cell = "______"
	unit := r.Unit.Shown()
	head := indent + indent + "at"
	value := indent + indent + unit
	first := max(lipgloss.Width(head), lipgloss.Width(value)) + 1
	fit := max(1, (f.o.Width-first)/(len(cell)+1))
	for points = min(points, 60); points > 0; points -= fit {
		blanks := strings.Repeat(" "+cell, min(points, fit))
		f.line(f.spell(fill(head, first) + blanks[1:]))
		f.line(f.spell(fill(value, first) + blanks[1:]))
	}
}

func fill(text string, width int) string {
	return text + strings.Repeat(" ", max(0, width-lipgloss.Width(text)))
}

// bullet writes a sentence behind a mark; its further lines stand under its first word.
func (f *form) bullet(mark, text string) {
	lead := indent + mark
	for _, l := range wrap(f.spell(text), max(minWidth, f.o.Width-len(lead))) {
		f.line(lead + l)
		lead = strings.Repeat(" ", len(lead))
	}
}

// pair writes a label at the left and what belongs to it at the right; on two lines where one is too short.
func (f *form) pair(left, right string) {
	left, right = f.spell(left), f.spell(right)
	lines := wrap(left, max(minWidth, f.o.Width-lipgloss.Width(right)-len(gap)))
	margin := left[:len(left)-len(strings.TrimLeft(left, " "))]
	for i, l := range lines {
		if l = strings.TrimLeft(l, " "); i > 0 {
			l = indent + l
		}
		l = margin + l
		if i == len(lines)-1 {
			if lipgloss.Width(l)+len(gap)+lipgloss.Width(right) > f.o.Width {
				f.line(l)
				l = ""
			}
			l = fill(l, f.o.Width-lipgloss.Width(right)) + right
		}
		f.line(l)
	}
}

func (f *form) foot() {
	f.line("")
	f.heading("Notes: what went otherwise, with the time", "-")
	for range 6 {
		f.line("")
		f.line(indent + strings.Repeat("_", f.o.Width-2*len(indent)))
	}
}
