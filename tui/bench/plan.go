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
	cutNewest       // the tape's newest line too
	cutTurns        // every turn
)

// A plan is how the rows of the panel are shared out.
type plan struct {
	upper, words, lower []row
	whole               bool // all cautions are told, in all their words
	face                face
	queue               int  // rows
	curve               bool // the readings as a curve, beside the tape
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
	what := p.share(c, p.bewareRows(c), p.pauseRows())
	for p.bigWords() != "" && c < cutNewest && what.face.height() < wish {
		c++
		what = p.share(c, p.bewareRows(c), p.pauseRows())
	}
	if p.bigWords() != "" && what.face.height() < need {
		c = cutTurns
		what = p.share(c, p.bewareRows(c), p.pauseRows())
	}
	return p.tellMore(what, c)
}

// bewareRows is how many rows the cautions have at most before the clock has its face.
func (p panel) bewareRows(c cut) int {
	if c >= cutCautions || p.h < 12 {
		return 1
	}
	return max(2, (p.h-2)/5)
}

// pauseRows is the same for the words on how the work may rest.
func (p panel) pauseRows() int {
	if p.h >= 30 {
		return 2
	}
	return 1
}

// tellMore gives the cautions, and then the pause, the rows that would set the parts apart: a sentence that is left out is
// worse than a crowded panel.
func (p panel) tellMore(what plan, c cut) plan {
	beware, pause := p.bewareRows(c), p.pauseRows()
	for what.gaps > 0 && !what.whole {
		beware++
		more := p.share(c, beware, pause)
		if more.face.height() < what.face.height() || len(more.lower) < len(what.lower) {
			break
		}
		what = more
	}
	for extra := 1; what.gaps > 0 && p.view.Pause != "" && extra <= what.gaps; extra++ {
		more := p.share(c, beware, pause+extra)
		if len(more.lower) > len(what.lower) && more.face.height() >= what.face.height() {
			return more
		}
	}
	return what
}

// share gives the clock the largest face that leaves the queue, the curve and a few lines of the tape their rows, and
// sets the parts apart with what is left.
func (p panel) share(c cut, beware, pause int) plan {
	var what plan
	what.upper, what.whole = p.task(c, beware)
	if p.view.Clock != nil {
		what.words = p.clockWords()
	}
	what.lower = p.facts(p.h-3-len(what.upper)-len(what.words), pause)
	free := p.h - 2 - len(what.upper) - len(what.lower) - len(what.words)
	what.queue = p.queueRows(c)
	free -= what.queue
	tapeLeast := min(len(p.strips), max(0, (p.h-8)/3))
	switch {
	case c >= cutNewest:
		tapeLeast = 0
	case c >= cutTape:
		tapeLeast = min(tapeLeast, 1)
	}
	if p.roomy && c < cutCurve && p.curve.isWorth() && p.w >= tapeWide+curveNarrow+3 {
		what.curve = true
		tapeLeast = min(curveHigh, max(curveLow, p.h/4), max(curveLow, free-5))
	}
	if p.bigWords() != "" {
		if what.face = p.faceOf(free - tapeLeast - 2); what.face.height() < 5 { // a gap above and below, before a larger face
			what.face = p.faceOf(free - tapeLeast)
		}
		free -= max(1, what.face.height())
	}
	what.gaps = max(0, min(3, free-tapeLeast))
	return what
}

// queueRows is how many turns there is room for.
func (p panel) queueRows(c cut) int {
	switch {
	case !p.several, c >= cutTurns: // the glasses, or the line of the others, tell the rest
		return 0
	case c >= cutQueue || p.h < 14:
		return min(len(p.queue), 2)
	case p.roomy:
		return min(len(p.queue), max(3, p.h/4))
	}
	return min(len(p.queue), 3)
}
