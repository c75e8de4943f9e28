package bench

import (
	"strings"

	"example.org/meniscus/tui"
)

// bitmaps are the signs of the big clock, five rows of points each.
var bitmaps = map[rune][5]string{
	'0': {"###", "# #", "# #", "# #", "###"},
	'1': {"  #", "  #", "  #", "  #", "  #"},
	'2': {"###", "  #", "###", "#  ", "###"},
	'3': {"###", "  #", "###", "  #", "###"},
	'4': {"# #", "# #", "###", "  #", "  #"},
	'5': {"###", "#  ", "###", "  #", "###"},
	'6': {"###", "#  ", "###", "# #", "###"},
	'7': {"###", "  #", "  #", "  #", "  #"},
	'8': {"###", "# #", "###", "# #", "###"},
	'9': {"###", "# #", "###", "  #", "###"},
	':': {" ", "#", " ", "#", " "},
	'+': {"   ", " # ", "###", " # ", "   "},
	'-': {"   ", "   ", "###", "   ", "   "},
}

// A face is a size of the big clock: how the five rows and the three columns of points are stretched.
type face struct {
	rows, columns []int // which row (column) of points each row (column) of the face shows
	wide          int   // cells a point is wide
	halved        bool  // two rows of points in one row of cells
}

// faces are the sizes, largest first.
var faces = []face{
	{rows: []int{0, 0, 1, 1, 1, 2, 2, 3, 3, 3, 4, 4}, columns: []int{0, 1, 1, 2}, wide: 3},
	{rows: []int{0, 1, 1, 1, 2, 3, 3, 3, 4}, columns: []int{0, 1, 1, 2}, wide: 2},
	{rows: []int{0, 1, 1, 2, 3, 3, 4}, columns: []int{0, 1, 1, 2}, wide: 2},
	{rows: []int{0, 1, 2, 3, 4}, columns: []int{0, 1, 2}, wide: 2},
	{rows: []int{0, 1, 2, 3, 4}, columns: []int{0, 1, 2}, wide: 1, halved: true},
}

func (f face) height() int {
	if f.halved {
		return (len(f.rows) + 1) / 2
	}
	return len(f.rows)
}

func (f face) width(text string) int {
	n := 0
	for _, r := range text {
		n += f.signWidth(r) + f.gap()
	}
	return max(0, n-f.gap())
}

func (f face) gap() int { return f.wide }

func (f face) signWidth(r rune) int {
	if len(bitmaps[r][0]) == 1 {
		return f.wide
	}
	return f.wide * len(f.columns)
}

// points returns the rows of a text in points as wide as cells: '#' is set.
func (f face) points(text string) []string {
	out := make([]string, len(f.rows))
	for i, row := range f.rows {
		var line strings.Builder
		for _, r := range text {
			bits := bitmaps[r]
			if bits[0] == "" {
				continue
			}
			columns := f.columns
			if len(bits[0]) == 1 {
				columns = []int{0}
			}
			for _, col := range columns {
				line.WriteString(strings.Repeat(bits[row][col:col+1], f.wide))
			}
			line.WriteString(strings.Repeat(" ", f.gap()))
		}
		out[i] = line.String()
	}
	return out
}

// faceFor returns the largest face for a text that fits w by h cells; ok is false when none does.
func (g *glyphs) faceFor(text string, w, h int) (f face, ok bool) {
	for _, f := range faces {
		if f.height() <= h && f.width(text) <= w && !(f.halved && g.ascii) {
			return f, true
		}
	}
	return face{}, false
}

// bigText draws a text of digits at the area's top left corner.
func (a area) bigText(f face, role tui.Role, text string) {
	rows := f.points(text)
	if f.halved {
		a.halved(role, rows)
		return
	}
	for y, row := range rows {
		for x, bit := range row {
			if bit == '#' {
				a.put(x, y, role, a.pixel)
			}
		}
	}
}

func (a area) halved(role tui.Role, rows []string) {
	for y := 0; y < len(rows); y += 2 {
		for x := range rows[y] {
			above, below := rows[y][x] == '#', y+1 < len(rows) && rows[y+1][x] == '#'
			switch {
			case above && below:
				a.put(x, y/2, role, a.pixel)
			case above:
				a.put(x, y/2, role, a.upper)
			case below:
				a.put(x, y/2, role, a.lower)
			}
		}
	}
}
