package tui

import (
	"errors"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// An openQuestion waits for its answer.
type openQuestion struct {
	about run.Command
	ask   *run.Question
	since time.Duration // elapsed time at which it was asked
	draft *run.Drafted  // what it is about, where it is no command
}

// goodFor is how long a question can be answered with a bare Enter. After that it is asked anew: an Enter that comes
// minutes later is meant for something else.
const goodFor = time.Minute

// Open returns the open question, or nil.
func (o *Operator) Open() *run.Question {
	if o.open == nil {
		return nil
	}
	if o.isOld() {
		return &run.Question{Say: o.open.ask.Say, Yes: "ask it again: it was left open"}
	}
	return o.open.ask
}

// isOld tells a question that was left open so long that Enter asks it anew.
func (o *Operator) isOld() bool { return o.Engine.Now().Elapsed-o.open.since > goodFor }

// Review looks whether the open question still means what it meant when it was asked: time alone may have changed what
// its yes does. Then it is asked anew, or withdrawn where nothing is to be asked any more, and Review says so; "" where
// all is as it was. A face calls it with every look at the clock, at that elapsed time.
func (o *Operator) Review(at time.Duration) string {
	asked := o.open
	if asked == nil || asked.draft != nil {
		return ""
	}
	c, now := asked.about, o.Engine.Now()
	now.Elapsed = at
	_, err := run.Decide(o.Engine.State, c, now)
	var q *run.Question
	_, forward := c.Do.(run.Forward)
	switch {
	case errors.As(err, &q):
		q = o.asks(c, q)
		anew := q.Yes != asked.ask.Yes || withoutFigures(q.Say) != withoutFigures(asked.ask.Say)
		if asked.ask = q; !anew {
			return ""
		}
		asked.since = now.Elapsed
		return "The question is asked anew: time has changed what it means."
	case !forward: // what was typed waits for its answer
		return ""
	}
	o.open, o.withdrawn = nil, &now.Elapsed
	return "The question is withdrawn, time has passed over it: Enter means “" + o.Engine.State.Look(c.Vessel, now.Elapsed).Enter + "” from now on."
}

// withoutFigures is a sentence without the times and values that change while it stands.
func withoutFigures(say string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) || r == ':' || r == '.' {
			return -1
		}
		return r
	}, say)
}

// answer takes a line that is typed at an open question.
func (o *Operator) answer(asked *openQuestion, line string, typedAt time.Duration) Answer {
	if line == "p" || o.Engine.State.Vessel(line) != nil {
		return Answer{Refused: "Answer first. Enter: " + asked.ask.Yes + ". Esc or a dash (-): no."}
	}
	if line == "?" {
		return Answer{Help: true}
	}
	if line == "" {
		if said := o.Review(o.Engine.Now().Elapsed); said != "" {
			return Answer{Said: []string{said}, Ask: o.Open()}
		}
	}
	if o.isNextPoint(asked, line, typedAt) {
		return o.keepFirst(asked, line, typedAt)
	}
	o.open = nil
	switch {
	case asked.draft != nil && line == "":
		return o.takeDraft(asked)
	case asked.draft != nil && line == "-":
		return o.dropDraft(asked)
	case line == "":
		return o.confirm(asked)
	case line == "-":
		o.unsaved = nil
		return Answer{Said: []string{"Nothing was changed."}}
	}
	dropped := o.dropped(asked)
	a := o.afresh(line, typedAt)
	if a.Said = append(dropped, a.Said...); a.Refused != "" {
		a.Refused = strings.Join(append(dropped, a.Refused), " ")
	}
	return a
}

// confirm carries out what a question was about, unless the question is stale.
func (o *Operator) confirm(asked *openQuestion) Answer {
	c := asked.about
	c.Confirmed, o.unsaved = o.Engine.Now().Elapsed-asked.since <= goodFor, nil
	a := o.do(c)
	if a.NotSaved != nil { // the same answer can be given again
		o.open = asked
	}
	return a
}

// isNextPoint tells whether a line that is typed at a question about a point of a series is the point after it: it was
// begun at least half a beat later. Sooner it is the same point, typed once more.
func (o *Operator) isNextPoint(asked *openQuestion, line string, typedAt time.Duration) bool {
	take, isTake := asked.about.Do.(run.Take)
	first, _ := utf8.DecodeRuneInString(line)
	if !isTake || take.Late || asked.about.Vessel != o.Vessel || line == "-" || first == '@' || !StartsReading(first) {
		return false
	}
	of := o.View().Asked
	return of != nil && of.Reading.Kind == protocol.Series && typedAt-asked.since >= of.Reading.Beat()/2
}

// keepFirst keeps the point that is asked about, with its mark, and then takes the one after it: a series is typed with
// the eyes on the flame, and none of its points may be lost for that.
func (o *Operator) keepFirst(asked *openQuestion, line string, typedAt time.Duration) Answer {
	c := asked.about
	c.Confirmed, o.unsaved, o.open = true, nil, nil
	kept, done := o.carryOut(c)
	if kept.NotSaved != nil {
		o.open = asked
	}
	if !done {
		return kept
	}
	a := o.afresh(line, typedAt)
	a.Events, a.Said = append(kept.Events, a.Events...), append(kept.Said, a.Said...)
	return a
}
