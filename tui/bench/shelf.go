package bench

import (
	"fmt"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// A shelf says how the vessels share the left of the screen.
type shelf struct {
	first, count int // the vessels that are shown
	slot         int // cells for each: the plan's mark, two walls, what is between, and a gap
	inner        int // cells between the walls
	names        int // cells for the titles of the stages; 0: none
	width        int
}

const (
	slimmest   = 60 // cells below which one vessel is shown at a time
	panelLeast = 44 // cells that the panel beside the vessels needs
	panelWants = 48 // cells for a letter and four digits in the big face
	panelCurve = 62 // cells for the clock and a curve beside it
	panelEasy  = 56 // cells that the panel has before the stages' titles take any
	namesMost  = 22 // on 120 columns
	namesEver  = 30 // on 200
	namesWant  = 19 // glasses are slimmer before the titles have less
	namesLeast = 9
	slotLeast  = 4  // one cell between the walls, no gap
	slotNamed  = 11 // a glass as slim as titles make it
	innerMost  = 18
)

// shelve divides w cells: narrower than 60 there is one slim vessel; from there on all of them, as far as they fit.
func shelve(vessels, meant, w int, curved bool) shelf {
	switch {
	case vessels == 0:
		return shelf{}
	case w < slimmest:
		return shelf{first: meant, count: 1, slot: 7, inner: 3, width: 7}
	case vessels == 1:
		least := panelLeast
		if curved {
			least = panelCurve
		}
		return shelveOne(w, least)
	}
	s := shelf{count: min(vessels, (w-2-panelLeast)/slotLeast)}
	s.slot = max(slotLeast, min(innerOf(w)+4, (w-2-panelWants)/s.count))
	if w >= 2*panelWants { // glasses as wide as they like, but the panel first
		s.slot = max(slotLeast, min(s.slot, (w-2-panelEasy)/s.count))
	}
	for s.slot > slotNamed && w-2-panelEasy-s.count*s.slot >= namesLeast && w-2-panelEasy-s.count*s.slot < namesWant {
		s.slot--
	}
	s.inner = max(1, s.slot-4)
	if s.names = min(namesOf(w), w-2-panelEasy-s.count*s.slot); s.names < namesLeast {
		s.names = 0
	}
	s.first = min(max(0, meant-s.count/2), vessels-s.count)
	s.width = s.count*s.slot + s.names
	return s
}

// shelveOne leaves the panel its cells before the titles have any.
func shelveOne(w, panel int) shelf {
	s := shelf{count: 1, slot: innerOf(w) + 4, inner: innerOf(w)}
	if s.names = min(namesOf(w), w-2-panel-s.slot); s.names < namesLeast {
		s.names = 0
	}
	s.width = s.slot + s.names
	return s
}

// namesOf is how many cells the titles have where there is room.
func namesOf(w int) int { return min(namesEver, namesMost+max(0, w-120)/10) }

// innerOf is how many cells a glass has between its walls where there is room: as the screen grows.
func innerOf(w int) int { return min(innerMost, 7+max(0, w-80)/10) }

// drawShelf draws the vessels side by side, and the titles of the stages beside the last.
func drawShelf(a area, views []run.View, meant int, s shelf) {
	for i := range s.count {
		at := s.first + i
		if at < 0 || at >= len(views) {
			continue
		}
		g := glass{area: a.sub(i*s.slot, 0, s.slot, a.h), inner: s.inner, view: views[at], meant: at == meant, timed: len(views) > 1}
		g.draw()
		if s.names > 0 && i == s.count-1 {
			g.view = views[meant]
			g.names(a.sub(i*s.slot+s.inner+4, 0, a.w-i*s.slot-s.inner-4, a.h))
		}
	}
	if hidden := len(views) - s.count; hidden > 0 && s.count > 1 && s.names > 0 {
		a.right(0, tui.Faint, fmt.Sprintf("and %d more", hidden))
	}
}
