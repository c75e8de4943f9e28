package print

import (
	"bufio"
	"io"
	"strings"

	"github.com/charmbracelet/lipgloss"

	"example.org/meniscus/protocol/summary"
)

// Options say how a page for people is to look.
type Options struct {
	Width  int  // columns of text; 0: 80
	Ascii  bool // text: nothing but ASCII
	Budget bool // with each result, where its uncertainty comes from
	Color  bool // text: headings in bold
}

const (
	defaultWidth = 80
	minWidth     = 20
	indent       = "  "
	gap          = "  "
)

// Text writes a summary as a page of text, made to be filed: no line is wider than o.Width, 20 at the least.
func Text(w io.Writer, s *summary.Summary, o Options) error {
	return typed(w, layOut(s, o.Budget), o)
}

// typed writes a page as text.
func typed(w io.Writer, p *page, o Options) error {
	if o.Width == 0 {
		o.Width = defaultWidth
	}
	o.Width = max(o.Width, minWidth)
	t := &typist{out: bufio.NewWriter(w), o: o}
	t.heading(p.Title, "=")
	for _, part := range p.Parts {
		switch {
		case part.Level == 1:
			t.line("")
			t.heading(part.Title, "=")
			continue
		case part.Title != "":
			t.line("")
			t.heading(part.Title, "-")
		}
		if part.Table != nil {
			t.table(part.Table)
		}
		for _, item := range part.Items {
			t.wrapped(indent, item)
		}
	}
	return t.out.Flush()
}

// typist writes lines that fit the page. Errors wait in the buffered writer until Flush.
type typist struct {
	out *bufio.Writer
	o   Options
}

func (t *typist) line(text string) {
	_, _ = t.out.WriteString(strings.TrimRight(strings.ReplaceAll(text, string(nbsp), " "), " ") + "\n")
}

func (t *typist) spell(text string) string {
	if !t.o.Ascii {
		return text
	}
	parts := strings.Split(text, string(nbsp))
	for i, p := range parts {
		parts[i] = inASCII(p)
	}
	return strings.Join(parts, string(nbsp))
}

func (t *typist) heading(text, under string) {
	widest := 0
	for _, l := range wrap(t.spell(text), t.o.Width) {
		widest = max(widest, lipgloss.Width(l))
		if t.o.Color {
			l = "\x1b[1m" + l + "\x1b[0m"
		}
		t.line(l)
	}
	t.line(strings.Repeat(under, widest))
}

func (t *typist) wrapped(margin, text string) {
	for _, l := range wrap(t.spell(text), t.o.Width-len(margin)) {
		t.line(margin + l)
	}
}

func (t *typist) table(tab *table) {
	spelled := make([][]string, 0, len(tab.Rows)+1)
	var head []string
	for _, c := range tab.Columns {
		head = append(head, t.spell(c.Head))
	}
	for _, r := range tab.Rows {
		cells := make([]string, len(r.Cells))
		for i, c := range r.Cells {
			cells[i] = t.spell(c)
		}
		spelled = append(spelled, cells)
	}
	headed := strings.Join(head, "") != ""
	if headed {
		spelled = append([][]string{head}, spelled...)
	}
	widths := t.widths(tab.Columns, spelled)
	for i, cells := range spelled {
		t.row(tab.Columns, widths, cells)
		if headed {
			i--
		}
		if i < 0 {
			continue
		}
		for _, remark := range tab.Rows[i].Remarks {
			t.wrapped(indent+indent, remark)
		}
	}
}

// widths gives each column its natural width, and then takes from the widest until the page holds them: from those
// that may be broken first.
func (t *typist) widths(columns []column, rows [][]string) []int {
	widths := make([]int, len(columns))
	total := len(indent) + len(gap)*(len(columns)-1)
	for i := range columns {
		for _, cells := range rows {
			widths[i] = max(widths[i], lipgloss.Width(cells[i]))
		}
		total += widths[i]
	}
	for _, tight := range []bool{false, true} {
		for total > t.o.Width {
			widest, least := -1, 10
			if tight {
				least = 2
			}
			for i, c := range columns {
				if c.Tight == tight && widths[i] > least && (widest < 0 || widths[i] > widths[widest]) {
					widest = i
				}
			}
			if widest < 0 {
				break
			}
			widths[widest]--
			total--
		}
	}
	for total > t.o.Width {
		widest := 0
		for i := range widths {
			if widths[i] > widths[widest] {
				widest = i
			}
		}
		if widths[widest] <= 1 {
			break
		}
		widths[widest]--
		total--
	}
	return widths
}

// row writes one row; a cell that takes several lines is text, and begins at the left.
func (t *typist) row(columns []column, widths []int, cells []string) {
	broken, height := make([][]string, len(cells)), 1
	for i, c := range cells {
		broken[i] = wrap(c, widths[i])
		height = max(height, len(broken[i]))
	}
	for n := 0; n < height; n++ {
		var b strings.Builder
		b.WriteString(indent)
		for i := range cells {
			text := ""
			if n < len(broken[i]) {
				text = broken[i][n]
			}
			pad := strings.Repeat(" ", max(0, widths[i]-lipgloss.Width(text)))
			if columns[i].Right && len(broken[i]) == 1 {
				text = pad + text
			} else {
				text += pad
			}
			if i > 0 {
				b.WriteString(gap)
			}
			b.WriteString(text)
		}
		t.line(b.String())
	}
}

// Paragraph sets text in lines of a page of 80 columns: the first after begin, the others under it.
func Paragraph(begin, text string) string {
	margin := strings.Repeat(" ", lipgloss.Width(begin))
	return begin + strings.Join(wrap(text, defaultWidth-lipgloss.Width(begin)), "\n"+margin) + "\n"
}

// wrap breaks text into lines of at most width columns, between words where it can; there is always one line.
func wrap(text string, width int) []string {
	width = max(width, 1)
	var lines []string
	at := ""
	for _, word := range strings.Split(text, " ") {
		switch {
		case word == "":
			continue
		case at == "":
			at = word
		case lipgloss.Width(at)+1+lipgloss.Width(word) <= width:
			at += " " + word
		default:
			lines, at = append(lines, at), word
		}
		for lipgloss.Width(at) > width {
			head := cut(at, width)
			lines, at = append(lines, head), at[len(head):]
		}
	}
	return append(lines, at)
}

// cut returns as much of the begin of text as fits, one character at the least.
func cut(text string, width int) string {
	end := 0
	for i := range text {
		if i > 0 && lipgloss.Width(text[:i]) > width {
			break
		}
		end = i
	}
	if end == 0 {
		for i := range text {
			if i > 0 {
				return text[:i]
			}
		}
		return text
	}
	return text[:end]
}
