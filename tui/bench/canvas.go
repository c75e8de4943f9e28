package bench

import (
	"strings"

	"github.com/charmbracelet/x/ansi"

	"example.org/meniscus/tui"
)

// A look is how things are drawn: the signs, and for each role what to send before and after a text.
type look struct {
	*glyphs
	pens [][2]string
}

// newLook asks each style once for its escape sequences: a frame has hundreds of runs of text.
func newLook(ascii bool, p tui.Palette) look {
	l := look{glyphs: &boxGlyphs}
	if ascii {
		l.glyphs = &plainGlyphs
	}
	for _, style := range tui.NewStyles(p) {
		before, after, _ := strings.Cut(style.Render("x"), "x")
		l.pens = append(l.pens, [2]string{before, after})
	}
	return l
}

// A cell is one place on the screen; a sign of two cells leaves an empty one behind it.
type cell struct {
	sign string
	role tui.Role
}

// A canvas is a screen of exactly w by h cells. What is put outside is not seen.
type canvas struct {
	look
	w, h  int
	cells []cell
}

func newCanvas(w, h int, l look) *canvas {
	c := &canvas{look: l, w: w, h: h, cells: make([]cell, w*h)}
	for i := range c.cells {
		c.cells[i].sign = " "
	}
	return c
}

// String returns the screen, h lines without trailing blanks.
func (c *canvas) String() string {
	var out strings.Builder
	out.Grow(4 * len(c.cells))
	for y := range c.h {
		if y > 0 {
			out.WriteByte('\n')
		}
		c.writeLine(&out, c.cells[y*c.w:(y+1)*c.w])
	}
	return out.String()
}

func (c *canvas) writeLine(out *strings.Builder, line []cell) {
	for len(line) > 0 && line[len(line)-1] == (cell{sign: " "}) {
		line = line[:len(line)-1]
	}
	for len(line) > 0 {
		n := 1
		for n < len(line) && line[n].role == line[0].role {
			n++
		}
		pen := c.pens[line[0].role]
		out.WriteString(pen[0])
		for _, at := range line[:n] {
			out.WriteString(at.sign)
		}
		out.WriteString(pen[1])
		line = line[n:]
	}
}

// An area is a part of a canvas with places of its own, from 0.
type area struct {
	*canvas
	x, y, w, h int
}

func (c *canvas) all() area { return area{c, 0, 0, c.w, c.h} }

// sub returns a part of a that never reaches beyond it.
func (a area) sub(x, y, w, h int) area {
	x, y = max(0, min(x, a.w)), max(0, min(y, a.h))
	return area{a.canvas, a.x + x, a.y + y, max(0, min(w, a.w-x)), max(0, min(h, a.h-y))}
}

// put writes a text and returns the place after it; what does not fit is not seen.
func (a area) put(x, y int, role tui.Role, text string) int {
	for text = a.clean(text); text != ""; {
		sign, wide := firstSign(text)
		text = text[len(sign):]
		if wide > 0 && x >= 0 && x+wide <= a.w && y >= 0 && y < a.h {
			at := (a.y+y)*a.canvas.w + a.x + x
			a.cells[at] = cell{sign, role}
			if wide == 2 {
				a.cells[at+1] = cell{"", role}
			}
		}
		x += wide
	}
	return x
}

// right writes a text that ends at the area's right edge.
func (a area) right(y int, role tui.Role, text string) { a.put(a.w-a.width(text), y, role, text) }

// fitted writes a text into w cells, with a mark where it was cut.
func (a area) fitted(x, y, w int, role tui.Role, text string) int {
	return a.put(x, y, role, a.fit(text, w))
}

// firstSign returns the first sign of a text and how many cells it takes: 0, 1 or 2.
func firstSign(s string) (sign string, wide int) {
	if s[0] >= ' ' && s[0] <= '~' && (len(s) == 1 || s[1] <= '~') {
		return s[:1], 1
	}
	sign, wide = ansi.FirstGraphemeCluster(s, ansi.GraphemeWidth)
	if sign == "" {
		return s[:1], 0
	}
	return sign, min(wide, 2)
}
