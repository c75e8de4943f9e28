package command

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/tui"
)

// marks are what a column of the drawing looks like.
type marks struct{ hands, some, wait, rest, away rune }

var (
	finely  = marks{'█', '▄', '─', '·', '×'}
	plainly = marks{'#', '+', '-', '.', 'x'}
)

// A row is a line of the drawing: whose it is, and what is when.
type row struct {
	label   string
	strokes []stroke
}

// A stroke goes from one time to another.
type stroke struct {
	from, to time.Duration
	what     what
	title    string
}

type what int

const (
	nothing what = iota
	handsOn
	timedWait
	resting
	nobody
)

// rows are those of the vessels, then those of the hands: one for each pair that has anything to do.
func (t *timetable) rows() []row {
	var out []row
	for v, vessel := range t.plan.Problem.Vessels {
		r := row{label: t.clean(vessel.Label)}
		for _, w := range vessel.Waits {
			kind := timedWait
			if w.Aim == plan.Forever && w.AtLeast == 0 {
				kind = resting
			}
			r.strokes = append(r.strokes, stroke{t.plan.End(v, w.From), t.plan.Start[v][w.To], kind, ""})
		}
		for j, s := range vessel.Steps {
			r.strokes = append(r.strokes, stroke{t.plan.Start[v][j], t.plan.End(v, j), handsOn, t.title(s)})
		}
		out = append(out, r)
	}
	return append(out, t.handRows()...)
}

func (t *timetable) handRows() []row {
	pairs := t.pairs()
	var out []row
	for _, turn := range t.turns() {
		for _, k := range pairs[turn.v][turn.j] {
			for len(out) <= k {
				out = append(out, row{label: fmt.Sprintf("Hands %d", len(out)+1)})
			}
			label := t.clean(t.plan.Problem.Vessels[turn.v].Label)
			out[k].strokes = append(out[k].strokes, stroke{turn.at, turn.at + turn.hands, handsOn, label})
		}
	}
	if len(out) == 0 {
		out = []row{{}}
	}
	if t.plan.Problem.Operators == 1 {
		out[0].label = "Hands"
	}
	for i := range out {
		for _, br := range t.plan.Problem.Breaks {
			out[i].strokes = append(out[i].strokes, stroke{br.From, br.To, nobody, ""})
		}
	}
	return out
}

// A turn is one step of the hands.
type turn struct {
	at, hands time.Duration
	v, j      int
}

// turns lists all steps in the order of time, then of the vessels.
func (t *timetable) turns() []turn {
	var out []turn
	for v, vessel := range t.plan.Problem.Vessels {
		for j := range vessel.Steps {
			at := t.plan.Start[v][j]
			out = append(out, turn{at, t.plan.End(v, j) - at, v, j})
		}
	}
	slices.SortStableFunc(out, func(a, b turn) int { return int(a.at - b.at) })
	return out
}

// pairs says by vessel and step which pairs of hands do it, counted from 0: the first that are free. There are always
// enough, since the plan takes no more at once than there are.
func (t *timetable) pairs() [][][]int {
	out := make([][][]int, len(t.plan.Start))
	for v := range out {
		out[v] = make([][]int, len(t.plan.Start[v]))
	}
	free := make([]time.Duration, t.plan.Problem.Operators) // from when on
	for _, turn := range t.turns() {
		need := t.plan.Problem.Vessels[turn.v].Steps[turn.j].Operators
		if turn.hands == 0 {
			continue
		}
		for k := 0; k < len(free) && need > 0; k++ {
			if free[k] <= turn.at {
				free[k] = turn.at + turn.hands
				out[turn.v][turn.j] = append(out[turn.v][turn.j], k)
				need--
			}
		}
	}
	return out
}

// scales are how long a column may be.
var scales = []time.Duration{30 * time.Second, time.Minute, 2 * time.Minute, 3 * time.Minute, 5 * time.Minute, 10 * time.Minute,
	15 * time.Minute, 20 * time.Minute, 30 * time.Minute, time.Hour, 2 * time.Hour, 4 * time.Hour, 12 * time.Hour, 24 * time.Hour}

func (t *timetable) scale() time.Duration {
	drawn := time.Duration(t.columns() - labelled - 1)
	for _, s := range scales {
		if t.plan.Makespan <= s*drawn {
			return s
		}
	}
	return t.plan.Makespan/drawn + 1
}

// drawing draws the rows to scale, and says what the marks mean that were needed.
func (t *timetable) drawing(b *strings.Builder) {
	scale := t.scale()
	columns := int((t.plan.Makespan + scale - 1) / scale)
	axis := []rune(strings.Repeat(" ", t.columns()))
	for c := 0; c < columns; c += 12 {
		copy(axis[labelled+c:], []rune(t.at(time.Duration(c)*scale)))
	}
	fmt.Fprintln(b, strings.TrimRight(string(axis), " "))
	drawn := ""
	for _, r := range t.rows() {
		line := t.line(r, scale, columns)
		drawn += line
		fmt.Fprintln(b, strings.TrimRight(short(r.label)+line, " "))
	}
	m := t.marks()
	var legend []string
	for _, l := range []struct {
		mark rune
		says string
	}{{m.hands, "hands"}, {m.some, "hands under half of it"}, {m.wait, "timed wait"}, {m.rest, "rests"}, {m.away, "nobody present"}} {
		if strings.ContainsRune(drawn, l.mark) {
			legend = append(legend, string(l.mark)+" "+l.says)
		}
	}
	says := "a column is " + long(scale) + ": " + strings.Join(legend, "; ")
	for _, line := range strings.Split(fold(says, "", planWidth-labelled), "\n") {
		fmt.Fprintln(b, short("")+line)
	}
	b.WriteString("\n")
}

func (t *timetable) marks() marks {
	if t.ascii {
		return plainly
	}
	return finely
}

// line draws a row: each column has the mark of the hands where they are busy for half of it or more, another one where they
// are busy for less, and else the mark of what takes most of it.
func (t *timetable) line(r row, scale time.Duration, columns int) string {
	m, out := t.marks(), make([]rune, columns)
	taken := make([][nobody + 1]time.Duration, columns)
	for _, s := range r.strokes {
		for c := int(s.from / scale); c < columns && time.Duration(c)*scale < s.to; c++ {
			begin := time.Duration(c) * scale
			taken[c][s.what] += max(0, min(s.to, begin+scale)-max(s.from, begin))
		}
	}
	for c, by := range taken {
		most := nothing
		for _, w := range []what{timedWait, resting, nobody} {
			if by[w] > by[most] {
				most = w
			}
		}
		switch {
		case 2*by[handsOn] >= scale:
			out[c] = m.hands
		case by[handsOn] > 0:
			out[c] = m.some
		default:
			out[c] = [...]rune{nothing: ' ', timedWait: m.wait, resting: m.rest, nobody: m.away}[most]
		}
	}
	return string(out)
}

// short cuts a label to the room that it has, and fills it up.
func short(label string) string {
	runes := []rune(tui.Clean(label))
	if len(runes) > labelled-1 {
		runes = runes[:labelled-1]
	}
	return string(runes) + strings.Repeat(" ", labelled-len(runes))
}
