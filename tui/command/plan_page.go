package command

import (
	"fmt"
	"html/template"
	"io"
	"strings"
	"time"

	"example.org/meniscus/protocol/plan"
)

// A wallPage is the timetable on paper: what hangs at the bench. Its texts are clean; the template escapes them.
type wallPage struct {
	Title    string
	Told     []string
	Violated []string
	Chart    chart
	Shared   bool // there are several pairs of hands
	Turns    []wallTurn
	Reasons  []string
}

// A wallTurn is a line to tick off.
type wallTurn struct {
	Day, At, Vessel, Who, What, Takes, Latest string
}

// A chart is drawn to scale: lengths are in thousandths of the time that it shows.
type chart struct {
	Rows   []chartRow
	Ticks  []chartTick
	Height int
	Tall   int // with the times below
}

type chartRow struct {
	Label   string
	Y, Mid  int
	Strokes []chartStroke
}

type chartStroke struct {
	X, Width int
	Class    string
	Says     string
	Within   string // stands in it, where there is room
}

type chartTick struct {
	X    int
	Says string
}

// The measures of the drawing.
const (
	chartLong = 1000
	rowHigh   = 26
	ticksMost = 12

	letterWide = 9
)

// page writes the timetable as one page of HTML that needs nothing else.
func (t *timetable) page(w io.Writer) error {
	told := t.told()
	p := wallPage{Title: told[0], Told: told[1:], Violated: t.violations(), Chart: t.chart(), Turns: t.wallTurns(),
		Shared: t.plan.Problem.Operators > 1}
	if t.why != nil {
		p.Reasons = t.reasons()
	}
	var b strings.Builder
	if err := planSheet.Execute(&b, p); err != nil {
		return err
	}
	text := b.String()
	if t.ascii {
		text = referenced(text)
	}
	_, err := io.WriteString(w, text)
	return err
}

// referenced writes what is not ASCII as HTML's character references.
func referenced(text string) string {
	var b strings.Builder
	for _, r := range text {
		if r > '~' {
			fmt.Fprintf(&b, "&#%d;", r)
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

var strokeClasses = map[what]string{handsOn: "hands", timedWait: "wait", resting: "rest", nobody: "away"}

func (t *timetable) chart() chart {
	var c chart
	span := max(t.plan.Makespan, 1)
	x := func(at time.Duration) int { return int(chartLong * min(at, span) / span) }
	step := tickStep(span)
	for at := time.Duration(0); at <= span; at += step {
		c.Ticks = append(c.Ticks, chartTick{x(at), t.at(at)})
	}
	for i, r := range t.rows() {
		row := chartRow{Label: strings.TrimSpace(short(r.label)), Y: i * rowHigh, Mid: i*rowHigh + rowHigh/2}
		for _, s := range r.strokes {
			if s.from >= span || s.to <= s.from {
				continue
			}
			drawn := chartStroke{X: x(s.from), Width: max(x(s.to)-x(s.from), 1), Class: strokeClasses[s.what],
				Says: strings.TrimSpace(t.toTheSecond(s.from) + " " + s.title)}
			if i >= len(t.plan.Problem.Vessels) && drawn.Width >= letterWide*(len([]rune(s.title))+1) {
				drawn.Within = s.title // the hands' rows name the vessel
			}
			row.Strokes = append(row.Strokes, drawn)
		}
		c.Rows = append(c.Rows, row)
	}
	c.Height = len(c.Rows) * rowHigh
	c.Tall = c.Height + rowHigh
	return c
}

// tickStep is how far apart the times stand below the drawing.
func tickStep(span time.Duration) time.Duration {
	for _, step := range scales {
		if step >= time.Minute && span <= ticksMost*step {
			return step
		}
	}
	return span
}

func (t *timetable) wallTurns() []wallTurn {
	var out []wallTurn
	pairs, day := t.pairs(), ""
	for _, turn := range t.turns() {
		vessel := t.plan.Problem.Vessels[turn.v]
		line := wallTurn{At: t.toTheSecond(turn.at), Vessel: t.clean(vessel.Label), What: t.title(vessel.Steps[turn.j]),
			Who: strings.TrimPrefix(t.who(pairs[turn.v][turn.j]), "hands "), Takes: long(turn.hands)}
		if next := t.nextDay(turn.at); next != day {
			day = next
			line.Day = capital(strings.TrimSpace(day))
		}
		if latest, ok := t.latest(turn.v, turn.j); ok {
			line.Latest = t.toTheSecond(latest)
		}
		out = append(out, line)
	}
	return out
}

// latest is when a step is to begin at the latest, by the latest ends of the waits before it and if all before it went as
// planned; false where it may begin whenever.
func (t *timetable) latest(v, j int) (time.Duration, bool) {
	out, limited := time.Duration(0), false
	for _, w := range t.plan.Problem.Vessels[v].Waits {
		if w.To != j || w.AtMost == plan.Forever {
			continue
		}
		if by := t.plan.End(v, w.From) + w.AtMost; !limited || by < out {
			out, limited = by, true
		}
	}
	return out, limited
}

var planSheet = template.Must(template.New("plan").Parse(`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{.Title}}</title>
<style>
@page { size: A4 landscape; margin: 12mm; }
body { font: 1rem/1.35 sans-serif; max-width: 75rem; margin: 1.5rem auto; padding: 0 1rem; color: #202020; background: #fff; }
h1 { font-size: 1.4rem; } h2 { font-size: 1.1rem; }
svg { width: 100%; height: auto; font: 13px sans-serif; }
.hands { fill: #202020; } .wait { fill: #b8b8b8; } .rest { fill: #e6e6e6; } .away { fill: none; stroke: #202020; stroke-dasharray: 4 3; }
.in { fill: #fff; }
.tick { stroke: #909090; stroke-width: .5; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: .1rem 1rem .1rem 0; border-bottom: 1px solid #ccc; }
.right { text-align: right; font-variant-numeric: tabular-nums; }
.box { display: inline-block; width: .9em; height: .9em; border: 1.5px solid #202020; }
.day td { font-weight: bold; }
thead { display: table-header-group; }
@media print { body { margin: 0; padding: 0; max-width: none; font-size: 10pt; } h2 { break-after: avoid; } tr, svg { break-inside: avoid; }
  * { print-color-adjust: exact; -webkit-print-color-adjust: exact; } }
</style>
</head>
<body>
<h1>{{.Title}}</h1>
{{range .Told}}<p>{{.}}</p>
{{end}}{{with .Violated}}<h2>` + violated + `</h2>
{{range .}}<p>{{.}}</p>
{{end}}{{end}}{{with .Chart}}{{$h := .Height}}<svg viewBox="-90 -4 1130 {{.Tall}}" role="img" aria-label="The plan to scale">
{{range .Ticks}}<line class="tick" x1="{{.X}}" x2="{{.X}}" y1="0" y2="{{$h}}"/><text x="{{.X}}" y="{{$h}}" dy="16" text-anchor="middle">{{.Says}}</text>
{{end}}{{range .Rows}}<text x="-86" y="{{.Mid}}">{{.Label}}</text>
{{$y := .Y}}{{$mid := .Mid}}{{range .Strokes}}<rect class="{{.Class}}" x="{{.X}}" y="{{$y}}" width="{{.Width}}" height="18"><title>{{.Says}}</title></rect>
{{if .Within}}<text class="in" x="{{.X}}" y="{{$mid}}" dx="4">{{.Within}}</text>
{{end}}{{end}}{{end}}</svg>
<p>Black: hands. Grey: a timed wait. Light: rests. Dashed: nobody present.</p>
{{end}}<h2>Turn by turn</h2>
<p>Local rules, the safety data sheets and the person in charge come before this page. The cautions of each stage stand in the protocol and on its sheet.</p>
<table>
<thead><tr><th scope="col">Done</th><th scope="col" class="right">At</th><th scope="col">Vessel</th>{{if .Shared}}<th scope="col">Hands</th>{{end}}<th scope="col">What</th><th scope="col" class="right">For</th><th scope="col" class="right">Begin at the latest</th><th scope="col">Begun at</th></tr></thead>
<tbody>
{{$shared := .Shared}}{{range .Turns}}{{with .Day}}<tr class="day"><td colspan="8">{{.}}</td></tr>
{{end}}<tr><td><span class="box"></span></td><td class="right">{{.At}}</td><td>{{.Vessel}}</td>{{if $shared}}<td>{{.Who}}</td>{{end}}<td>{{.What}}</td><td class="right">{{.Takes}}</td><td class="right">{{.Latest}}</td><td></td></tr>
{{end}}</tbody>
</table>
{{with .Reasons}}<h2>Why it takes so long</h2>
{{range .}}<p>{{.}}</p>
{{end}}{{end}}</body>
</html>
`))
