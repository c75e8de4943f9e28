package bench

// A cut leaves out what may be missed where the clock would otherwise be too small to read from across the bench.
type cut uint8

const (
	cutNothing  cut = iota
	cutTape         // all but the newest line
	cutNext         // what comes next
	cutCautions     // all but one line; the help has them all
	cutCurve        // the readings as a curve
	cutQueue        // all but two turns
	cutPause        // that the work may rest
	cutNewest       // the tape's newest line too
	cutTurns        // every turn
)

// A place is where the readings stand as a curve.
type place uint8

const (
	unseen place = iota
	below        // in rows of its own, beside the tape
	beside       // to the right of the clock
)

// A plan is how the rows of the panel are shared out.
type plan struct {
	upper, words, lower []row
	whole               bool // all cautions are told, in all their words
	face                face
	block               int // rows of the clock, its words and the curve beside them
	queue               int // rows
	curve               place
	stand               stand
	gaps                int
}

// wish is how many rows the clock is to have, and need how many it has before the queue of the hands has any.
const (
	wish = 5
	need = 3
)

// plan leaves out as little as the clock's wish allows.
func (p panel) plan() plan {
	c := cutNothing
	what := p.share(c, p.bewareRows(c), p.pauseRows(c))
	for c < cutNewest && p.wantsMore(what, c) {
		c++
		what = p.share(c, p.bewareRows(c), p.pauseRows(c))
	}
	if p.bigWords() != "" && what.face.height() < need {
		c = cutTurns
		what = p.share(c, p.bewareRows(c), p.pauseRows(c))
	}
	return p.moreTurns(p.tellMore(what, c))
}

// moreTurns gives the queue the rows that nothing else has a use for.
func (p panel) moreTurns(what plan) plan {
	readings := len(p.strips)
	if what.curve == below {
		readings = max(readings, curveHigh)
	}
	used := 2 + len(what.upper) + len(what.lower) + what.block + what.gaps + what.queue + 1 + readings
	if free := p.h - used; what.queue > 0 && free > 0 {
		what.queue = min(len(p.queue), what.queue+free)
	}
	return what
}

// wantsMore tells whether more is to be left out: for the curve, or for a larger clock. Beside a curve the clock may be
// smaller before the newest reading is left out.
func (p panel) wantsMore(what plan, c cut) bool {
	least := wish
	if what.curve == beside && c+1 == cutNewest {
		least = need
	}
	lacksCurve := c < cutCurve && p.curve.isWorth() && what.curve == unseen
	return lacksCurve || p.bigWords() != "" && what.face.height() < least
}

// bewareRows is how many rows the cautions have at most before the clock has its face.
func (p panel) bewareRows(c cut) int {
	if c >= cutCautions || p.h < 12 {
		return 1
	}
	return max(2, (p.h-2)/5)
}

// pauseRows is the same for the words on how the work may rest.
func (p panel) pauseRows(c cut) int {
	switch {
	case c >= cutPause || p.h < 14:
		return 0
	case p.h >= 30:
		return 2
	}
	return 1
}

// tellMore gives the cautions, and then the pause, the rows that would set the parts apart: a sentence that is left out is
// worse than a crowded panel.
func (p panel) tellMore(what plan, c cut) plan {
	beware, pause := p.bewareRows(c), p.pauseRows(c)
	for what.gaps > 0 && !what.whole {
		beware++
		more := p.share(c, beware, pause)
		if more.block < what.block || more.face.height() < what.face.height() || len(more.lower) < len(what.lower) {
			break
		}
		what = more
	}
	for extra := 1; what.gaps > 0 && p.view.Pause != "" && extra <= what.gaps; extra++ {
		more := p.share(c, beware, pause+extra)
		if len(more.lower) > len(what.lower) && more.block >= what.block && more.face.height() >= what.face.height() {
			return more
		}
	}
	return what
}

// share gives the clock the largest face that leaves the queue, the curve and a few lines of the tape their rows, and
// sets the parts apart with what is left.
func (p panel) share(c cut, beware, pause int) plan {
	best, _ := p.shareAs(c, stand{}, beware, pause)
	if !p.curve.isWorth() || c < cutCurve {
		return best
	}
	for _, s := range p.stands() {
		what, ok := p.shareAs(c, s, beware, pause)
		if ok && (best.curve == unseen || what.face.height() >= need && best.face.height() < need) {
			best = what
		}
	}
	return best
}

// shareAs is share with the clock alone or beside the curve; ok is false where the rows are too few for both.
func (p panel) shareAs(c cut, s stand, beware, pause int) (what plan, ok bool) {
	what.stand = s
	what.upper, what.whole = p.task(c, beware)
	what.words = p.wordsOf(s)
	what.lower = p.facts(p.h-3-len(what.upper)-len(what.words), pause)
	what.queue = p.queueRows(c)
	free := p.h - 2 - len(what.upper) - len(what.lower) - what.queue
	tapeLeast := min(len(p.strips), max(0, (p.h-8)/3))
	switch {
	case c >= cutNewest:
		tapeLeast = 0
	case c >= cutTape:
		tapeLeast = min(tapeLeast, 1)
	}
	switch {
	case s.curve > 0:
		what.curve = beside
	case c < cutCurve && p.curve.isWorth() && p.w >= tapeWide+curveNarrow+3:
		what.curve = below
		tapeLeast = min(curveHigh, max(curveLow, p.h/4), max(curveLow, free-len(what.words)-5))
	}
	what.face, what.block = p.blockOf(s, len(what.words), free-tapeLeast)
	free -= what.block
	what.gaps = max(0, min(3, free-tapeLeast))
	return what, free >= tapeLeast
}

// queueRows is how many turns there is room for.
func (p panel) queueRows(c cut) int {
	switch {
	case !p.several, c >= cutTurns: // the glasses, or the line of the others, tell the rest
		return 0
	case c >= cutQueue || p.h < 14:
		return min(len(p.queue), 2)
	case p.h >= 20:
		return min(len(p.queue), max(3, p.h/4))
	}
	return min(len(p.queue), 3)
}
