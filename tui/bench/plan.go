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
)

// A plan is how the rows of the panel are shared out.
type plan struct {
	upper, words, lower []row
	face                face
	queue               int  // rows
	curve               bool // the readings as a curve, beside the tape
	gaps                int
}

// plan leaves out as little as the clock's wish for five rows allows; on a low screen for three.
func (p panel) plan() plan {
	wish := 3
	if p.h >= 16 {
		wish = 5
	}
	what := p.share(cutNothing)
	for c := cutTape; c <= cutQueue && p.bigWords() != "" && what.face.height() < wish; c++ {
		what = p.share(c)
	}
	return what
}

// share gives the clock the largest face that leaves the queue, the curve and a few lines of the tape their rows, and
// sets the parts apart with what is left.
func (p panel) share(c cut) plan {
	what := plan{upper: p.task(c), lower: p.facts()}
	if p.view.Clock != nil {
		what.words = p.clockWords()
	}
	free := p.h - 2 - len(what.upper) - len(what.lower) - len(what.words)
	what.queue = p.queueRows(c)
	free -= what.queue
	tapeLeast := min(len(p.strips), max(0, (p.h-8)/3))
	if c >= cutTape {
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
	case !p.several:
		return 0
	case c >= cutQueue || p.h < 14:
		return min(len(p.queue), 2)
	case p.roomy:
		return min(len(p.queue), max(3, p.h/4))
	}
	return min(len(p.queue), 3)
}
