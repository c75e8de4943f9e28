package bench

import (
	"strings"
	"unicode"

	"example.org/meniscus/tui"
)

// A face is a size of the big clock: how the five rows and the columns of points are stretched. The rows between two
// bars stretch more than the bars do, so that a large digit stays slender.
type face struct {
	bar, between int  // rows that rows 0, 2 and 4 of the points take, and rows 1 and 3
	inside       int  // columns that the columns between the outer ones share out
	wide         int  // cells a column is wide
	halved       bool // two rows of points in one row of cells
}

// faces are the sizes, largest first.
var faces = []face{
	{bar: 4, between: 14, inside: 2, wide: 10},
	{bar: 4, between: 11, inside: 2, wide: 8},
	{bar: 3, between: 9, inside: 2, wide: 7},
	{bar: 3, between: 6, inside: 2, wide: 5},
	{bar: 2, between: 5, inside: 2, wide: 4},
	{bar: 2, between: 3, inside: 2, wide: 3},
	{bar: 1, between: 3, inside: 2, wide: 2},
	{bar: 1, between: 2, inside: 2, wide: 2},
	{bar: 1, between: 1, inside: 1, wide: 2},
	{bar: 1, between: 1, inside: 2, wide: 1},
	{bar: 1, between: 1, inside: 1, wide: 1},
	{bar: 1, between: 1, inside: 1, wide: 1, halved: true},
}

// height is how many rows of cells the face takes; the zero face takes none.
func (f face) height() int {
	n := 3*f.bar + 2*f.between
	if f.halved {
		return (n + 1) / 2
	}
	return n
}

func (f face) width(text string) int {
	n := 0
	for _, r := range text {
		n += f.signWidth(r) + f.wide
	}
	return max(0, n-f.wide)
}

// signWidth is the width of one sign: of a digit all columns, the middle one stretched.
func (f face) signWidth(r rune) int {
	n := len(bitmaps[r][0])
	if n == 3 && r != '+' {
		n = 2 + f.inside
	}
	return f.wide * n
}

// column returns which column of points of a sign stands in the column of cells x.
func (f face) column(r rune, x int) int {
	x /= f.wide
	if len(bitmaps[r][0]) != 3 || x == 0 || r == '+' {
		return x
	}
	if x <= f.inside {
		return 1
	}
	return 2
}

// row returns which row of points stands in row y; -1 where a colon's dot or a plus sign's arm has ended, which do not
// grow with the height of the digits.
func (f face) row(r rune, y int) int {
	at, from := 0, 0
	for i := range 5 {
		rows := f.bar
		if i%2 == 1 {
			rows = f.between
		}
		if y < from+rows || i == 4 {
			at = i
			break
		}
		from += rows
	}
	arm := (f.wide + 1) / 2 // a cell is twice as high as it is wide
	switch into := y - from; {
	case r == ':' && at%2 == 1 && (into < (f.between-arm)/2 || into >= (f.between-arm)/2+arm):
		return -1
	case r == '+' && at == 1 && into < f.between-arm, r == '+' && at == 3 && into >= arm:
		return -1
	}
	return at
}

// faceFor returns the largest face for a text that fits w by h cells; ok is false when none does.
func (g *glyphs) faceFor(text string, w, h int) (f face, ok bool) {
	for _, f := range faces {
		if f.height() <= h && f.width(text) <= w && f.hasSigns(text, g) {
			return f, true
		}
	}
	return face{}, false
}

// thin tells whether a face is drawn with strokes: the plain set has no half of a cell.
func (f face) thin(g *glyphs) bool { return f.halved && g.ascii }

// hasSigns tells whether a face has a sign of its own for each of a text: in strokes, a B would be an 8.
func (f face) hasSigns(text string, g *glyphs) bool {
	return !f.thin(g) || !strings.ContainsFunc(text, unicode.IsLetter)
}

// isBig tells whether every sign of a text can be written big.
func isBig(text string) bool {
	for _, r := range text {
		if _, ok := bitmaps[r]; !ok {
			return false
		}
	}
	return text != ""
}

// bigText writes a text at the area's top left corner and returns the column after it.
func (a area) bigText(f face, role tui.Role, text string) int {
	if !f.thin(a.glyphs) {
		role = a.solid(role)
	}
	return a.points(f, text, func(x, y int, sign string) { a.sign(x, y, role, sign) })
}

// cutOut fills the area and writes a text into it as holes, from a place on: a shape that is told from bigText's without
// colour. The first and the last row are half filled where there is a sign for it.
func (a area) cutOut(x int, f face, role tui.Role, text string) {
	for y := range a.h {
		sign := a.pixel
		switch {
		case y == 0 && a.lower != "":
			sign = a.lower
		case y == a.h-1 && a.upper != "":
			sign = a.upper
		}
		a.repeat(0, y, a.w, a.solid(role), sign)
	}
	in := a.sub(x, 1, a.w-x, a.h-2)
	in.points(f, text, func(x, y int, _ string) { in.sign(x, y, tui.Ink, " ") })
}

// points gives every cell of a text to put, with its sign, and returns the column after the text.
func (a area) points(f face, text string, put func(x, y int, sign string)) int {
	left := 0
	for _, r := range text {
		if _, ok := bitmaps[r]; !ok {
			continue
		}
		for x := range f.signWidth(r) {
			col := f.column(r, x)
			for y := range f.height() {
				if sign := a.point(f, r, col, y); sign != "" {
					put(left+x, y, sign)
				}
			}
		}
		left += f.signWidth(r) + f.wide
	}
	return left
}

// solid is the role of a cell that is filled: the plain set has no sign that fills one, so a ground of the colour does it.
func (g *glyphs) solid(role tui.Role) tui.Role {
	switch {
	case !g.ascii:
		return role
	case role >= tui.IdleShade:
		return role - tui.IdleShade + tui.IdleChip
	}
	return tui.IdleChip
}

// point returns what stands in row y of a column of points; "" where nothing does.
func (a area) point(f face, r rune, col, y int) string {
	bits := bitmaps[r]
	if !f.halved {
		if row := f.row(r, y); row >= 0 && bits[row][col] == '#' {
			return a.pixel
		}
		return ""
	}
	if f.thin(a.glyphs) {
		return stroke(r, col, y)
	}
	above, below := bits[2*y][col] == '#', 2*y+1 < 5 && bits[2*y+1][col] == '#'
	switch {
	case above && below:
		return a.pixel
	case above:
		return a.upper
	case below:
		return a.lower
	}
	return ""
}

// stroke returns what stands in row y of a column of points where a sign is three rows of strokes: the bars lie on the
// bottom of a row, the walls stand in the two lower rows.
func stroke(r rune, col, y int) string {
	bits := bitmaps[r]
	wall := y > 0 && bits[2*y-1][col] == '#'
	switch {
	case r == '+':
		if col == 1 && y == 1 {
			return "+"
		}
	case r == ':' && wall:
		return "."
	case col == 1 && bits[2*y][col] == '#':
		return "_"
	case col != 1 && wall:
		return "|"
	}
	return ""
}
