package bench

import (
	"fmt"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// A shelf says how the vessels share the left of the screen.
type shelf struct {
	first, count int // the vessels that are shown
	slot         int // cells for each, with a gap
	inner        int // cells between the walls
	names        int // cells for the titles of the stages; 0: none
	width        int
}

const (
	panelLeast = 44 // cells that the panel beside the vessels wants
	namesMost  = 22
	namesLeast = 9
	slotLeast  = 8
)

// shelve divides w cells: narrower than 60 there is one slim vessel; from there on all of them, as far as they fit.
func shelve(vessels, meant, w int) shelf {
	if w < 60 {
		return shelf{first: meant, count: min(1, vessels), slot: 7, inner: 3, width: 7}
	}
	room := w - panelLeast - 2
	s := shelf{count: max(1, min(vessels, room/slotLeast))}
	s.slot = min(11, max(slotLeast, (room-namesLeast)/s.count), room/s.count)
	if w >= 110 && s.count <= 3 {
		s.slot = 13
	}
	s.inner = s.slot - 4
	if s.names = min(namesMost, room-s.count*s.slot); s.names < namesLeast {
		s.names = 0
	}
	s.first = min(max(0, meant-s.count/2), vessels-s.count)
	s.width = s.count*s.slot + s.names
	return s
}

// drawShelf draws the vessels side by side, and the titles of the stages beside the last.
func drawShelf(a area, views []run.View, meant int, s shelf) {
	for i := range s.count {
		at := s.first + i
		if at < 0 || at >= len(views) {
			continue
		}
		g := glass{area: a.sub(i*s.slot, 0, s.slot, a.h), inner: s.inner, view: views[at], meant: at == meant}
		g.draw()
		if s.names > 0 && i == s.count-1 {
			g.view = views[meant]
			g.names(a.sub(i*s.slot+s.inner+4, 0, a.w-i*s.slot-s.inner-4, a.h))
		}
	}
	if hidden := len(views) - s.count; hidden > 0 && s.count > 1 {
		a.right(0, tui.Faint, fmt.Sprintf("and %d more", hidden))
	}
}
