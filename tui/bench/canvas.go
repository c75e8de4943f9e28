package bench

import (
	"strings"
	"sync"

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

// A cell is one place on the screen; the zero cell is blank.
type cell struct {
	sign string
	role tui.Role
}

// behind stands in the second cell of a sign that takes two.
const behind = "\x00"

// A canvas is a screen of exactly w by h cells. What is put outside is not seen.
type canvas struct {
	look
	w, h  int
	cells []cell
}

// spare are canvases whose screens were drawn: a large one is not made anew four times a second.
var spare = sync.Pool{New: func() any { return new(canvas) }}

func newCanvas(w, h int, l look) *canvas {
	c := spare.Get().(*canvas)
	if cap(c.cells) < w*h {
		c.cells = make([]cell, w*h)
	}
	c.look, c.w, c.h, c.cells = l, w, h, c.cells[:w*h]
	clear(c.cells)
	return c
}

// finish returns the screen, h lines without trailing blanks, and gives the canvas back: nothing can be put on it after.
func (c *canvas) finish() string {
	defer spare.Put(c)
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
	for len(line) > 0 && line[len(line)-1].isBlank() {
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
			switch at.sign {
			case "":
				out.WriteByte(' ')
			case behind:
			default:
				out.WriteString(at.sign)
			}
		}
		out.WriteString(pen[1])
		line = line[n:]
	}
}

func (c cell) isBlank() bool { return c.role == tui.Ink && (c.sign == "" || c.sign == " ") }

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
				a.cells[at+1] = cell{behind, role}
			}
		}
		x += wide
	}
	return x
}

// sign puts one sign of one cell that needs no cleaning.
func (a area) sign(x, y int, role tui.Role, sign string) {
	if x >= 0 && x < a.w && y >= 0 && y < a.h {
		a.cells[(a.y+y)*a.canvas.w+a.x+x] = cell{sign, role}
	}
}

// repeat puts one sign into so many cells of a row.
func (a area) repeat(x, y, n int, role tui.Role, sign string) {
	for i := range n {
		a.sign(x+i, y, role, sign)
	}
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
