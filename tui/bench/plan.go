package bench

import "strings"

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
	cutTurns        // every turn, and all but one line of what the hands do
)

// A plan is how the rows of the panel are shared out.
type plan struct {
	upper, words, lower []row
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
	what := p.share(c, p.cautionRows(c))
	for p.bigWords() != "" && c < cutNewest && what.face.height() < wish {
		c++
		what = p.share(c, p.cautionRows(c))
	}
	if p.bigWords() != "" && what.face.height() < need {
		c = cutTurns
		what = p.share(c, p.cautionRows(c))
	}
	return p.moreCautions(what, c)
}

// cautionRows is how many rows the cautions have at most before the clock has its face.
func (p panel) cautionRows(c cut) int {
	if c >= cutCautions || p.h < 12 {
		return 1
	}
	return max(2, (p.h-2)/5)
}

// moreCautions gives the cautions the rows that would set the parts apart: a caution that is cut off is worse than a
// crowded panel.
func (p panel) moreCautions(what plan, c cut) plan {
	for n := p.cautionRows(c) + 1; what.gaps > 0 && p.cutsCautions(what); n++ {
		more := p.share(c, n)
		if len(more.upper) == len(what.upper) || more.face.height() < what.face.height() {
			break
		}
		what = more
	}
	return what
}

// cutsCautions tells whether the cautions, which stand last above the clock, are cut off.
func (p panel) cutsCautions(what plan) bool {
	n := len(what.upper)
	return len(p.view.Cautions) > 0 && n > 0 && strings.HasSuffix(what.upper[n-1].text, p.cut)
}

// share gives the clock the largest face that leaves the queue, the curve and a few lines of the tape their rows, and
// sets the parts apart with what is left.
func (p panel) share(c cut, cautions int) plan {
	what := plan{upper: p.task(c, cautions), lower: p.facts()}
	if p.view.Clock != nil {
		what.words = p.clockWords()
	}
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
