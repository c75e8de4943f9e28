package print

// A page is a summary laid out for people, whatever it is written as. All its texts are clean.
type page struct {
	Title string
	Parts []part
}

// A part is a heading with what stands under it; level 1 is a vessel, level 2 a section.
type part struct {
	Level int
	Title string
	Table *table
	Items []string // sentences, each a paragraph of its own
}

// A table keeps its columns in line; rows may have remarks under them.
type table struct {
	Columns []column
	Rows    []line
}

// A column is set to the right for figures; a tight one is not broken into several lines while there is another way.
type column struct {
	Head  string
	Right bool
	Tight bool
}

type line struct {
	Cells   []string
	Remarks []string
}

// add appends a section unless it is empty.
func (p *page) add(title string, t *table, items ...string) {
	if (t == nil || len(t.Rows) == 0) && len(items) == 0 {
		return
	}
	if t != nil && len(t.Rows) == 0 {
		t = nil
	}
	p.Parts = append(p.Parts, part{2, title, t, items})
}

func (t *table) row(cells ...string) *line {
	for i, c := range cells {
		cells[i] = visible(c)
	}
	t.Rows = append(t.Rows, line{Cells: cells})
	return &t.Rows[len(t.Rows)-1]
}

func (l *line) remark(text string) {
	if text != "" {
		l.Remarks = append(l.Remarks, visible(text))
	}
}
