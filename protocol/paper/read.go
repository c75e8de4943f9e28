package paper

import (
	"io"
	"sort"
	"strconv"
	"strings"
	"time"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// Options are what the file does not say.
type Options struct {
	Run         string // the id that the run is to have
	Program     string // name and version of the program
	Instruments string // the lab's own instruments, as text, that p was given
}

// reader turns one file into events.
type reader struct {
	name   string
	p      *protocol.Protocol
	o      Options
	faults Faults
	times  times
	labels []string // of the vessels, in order of appearance
	first  map[string]int
	givens map[string]map[string]given // label -> id
	shared map[string]given            // givens that all vessels have in common
	counts map[slot]int                // the last portion of each reading so far
	had    map[place]bool
	placed []placed
}

type slot struct{ vessel, reading string }

// placed is a reading with its moment.
type placed struct {
	line    int
	vessel  string
	at      time.Time
	early   bool // the file had no time yet
	reading *protocol.Reading
	fact    run.ReadingTaken
}

// Read returns the events of a run in which the readings of a file were taken; name is what errors call the file. The
// error is of type Faults when the file is wrong, and holds every fault of it.
func Read(in io.Reader, p *protocol.Protocol, name string, o Options) ([]run.Event, error) {
	r := &reader{name: name, p: p, o: o, first: map[string]int{}, givens: map[string]map[string]given{},
		shared: map[string]given{}, counts: map[slot]int{}, had: map[place]bool{}}
	r.times.vessel = map[string]time.Time{}
	rows, ok := r.rows(in)
	if !ok {
		return nil, r.err()
	}
	if len(rows) == 0 && len(r.faults) == 0 {
		r.fault(1, "a row for each reading", "there is no reading below the header")
	}
	for _, w := range rows {
		r.file(w)
	}
	r.inOrder()
	begun := r.begun()
	if err := r.err(); err != nil {
		return nil, err
	}
	return r.events(begun)
}

// file files one row as a given or a reading.
func (r *reader) file(w row) {
	if _, met := r.first[w.vessel]; !met {
		if len(r.labels) == maxVessels {
			r.fault(w.line, "", "more than %d vessels", maxVessels)
			return
		}
		r.first[w.vessel], r.givens[w.vessel] = w.line, map[string]given{}
		r.labels = append(r.labels, w.vessel)
	}
	if g := r.p.Given(w.reading); g != nil {
		r.place(w.line, w.vessel, w.at)
		r.given(w, g)
		return
	}
	reading := r.named(&w)
	if reading == nil {
		r.place(w.line, w.vessel, w.at)
		r.unknown(w)
		return
	}
	if reading.Kind == protocol.Mark && !r.mark(&w) {
		return
	}
	early := w.at == "" && r.times.kind == noTime
	at, timed := r.place(w.line, w.vessel, w.at)
	val, read := r.read(w, reading)
	if !timed || !read || (reading.Kind == protocol.Tick && val.number == 0) {
		return
	}
	portion, ok := r.portion(w, reading)
	if !ok {
		return
	}
	r.placed = append(r.placed, placed{w.line, w.vessel, at, early, reading, run.ReadingTaken{
		Stage: reading.Stage.ID, Portion: portion, Reading: reading.ID, Typed: w.typed(), Value: val.number,
		Text: val.text, Unit: reading.UnitCode(),
	}})
}

// mark gives a mark its time: at, or else its value.
func (r *reader) mark(w *row) bool {
	switch {
	case w.at != "" && w.value != "":
		r.fault(w.line, "the time in one of them", "the mark %s has at = %s and the value %s: a mark has one time", w.reading, w.at, w.value)
		return false
	case w.at != "":
		return true
	case w.value == "":
		r.fault(w.line, "at = "+timeForms, "the mark %s has no time", w.reading)
		return false
	case w.unit == "":
		w.at = w.value
		return true
	}
	val, ok := r.number(*w, w.reading, quantity.MustUnit("min"))
	w.at = quantity.Plain(val.number, -1)
	return ok
}

func (r *reader) unknown(w row) {
	var known []string
	for _, g := range r.p.Givens {
		known = append(known, g.ID)
	}
	for _, s := range r.p.Stages {
		for _, reading := range s.Readings {
			known = append(known, reading.ID)
		}
	}
	remedy := protocol.Nearest(w.reading, known)
	if remedy == "" && len(known) <= 12 {
		remedy = oneOf(known)
	}
	if remedy == "" {
		remedy = "the id of a reading or a given of the protocol"
	}
	r.fault(w.line, remedy, "%s has no reading %q", r.p.ID, w.reading)
}

// named returns the reading of a row: by its id, or by its id and a portion, such as titre.2.
func (r *reader) named(w *row) *protocol.Reading {
	id, portion, cut := strings.Cut(w.reading, ".")
	p := r.p.Reading(id)
	if !cut || p == nil || !p.IsList() {
		return r.p.Reading(w.reading)
	}
	n, err := strconv.Atoi(portion)
	if err != nil || n < 1 || n > p.Stage.Portions {
		return nil
	}
	w.portion = n
	return p
}

// portion tells which portion a value belongs to: the one that its name says, or the one after the value before it.
func (r *reader) portion(w row, p *protocol.Reading) (int, bool) {
	own := max(p.Portion, 1)
	if p.Kind == protocol.Series {
		return own, true
	}
	k := slot{w.vessel, p.ID}
	n := r.counts[k] + 1
	if w.portion > 0 {
		n = w.portion
	}
	r.counts[k] = n
	switch had := r.had[place{k, n}]; {
	case p.IsList() && n > p.Stage.Portions:
		r.fault(w.line, "", "%s has a value for each of %d portions, this is number %d", p.ID, p.Stage.Portions, n)
		return 0, false
	case p.IsList() && had:
		r.fault(w.line, "only the one that counts", "%s.%d stands there twice for vessel %s", p.ID, n, w.vessel)
		return 0, false
	case p.IsList():
		r.had[place{k, n}] = true
		return n, true
	case n > 1:
		r.fault(w.line, "only the one that counts", "%s is one reading, this is number %d of vessel %s", p.ID, n, w.vessel)
		return 0, false
	}
	return own, true
}

// inOrder puts the readings in order of time; the points of a series must be so in the file. What stands before the
// first time was read at the begin.
func (r *reader) inOrder() {
	last := map[slot]time.Time{}
	for i := range r.placed {
		one := &r.placed[i]
		if one.early {
			one.at = r.times.begin
		}
		if one.at.Sub(r.times.begin) > maxSpan {
			r.fault(one.line, "times of one run", "this lies more than a year after the first time")
		}
		if one.reading.Kind != protocol.Series {
			continue
		}
		k := slot{one.vessel, one.reading.ID}
		if before, again := last[k]; again && one.at.Before(before) {
			r.fault(one.line, "its rows in the order of their times", "%s goes back in time", one.reading.ID)
		}
		last[k] = one.at
	}
	sort.SliceStable(r.placed, func(i, j int) bool { return r.placed[i].at.Before(r.placed[j].at) })
}
