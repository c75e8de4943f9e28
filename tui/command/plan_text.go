package command

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/tui"
)

// A timetable is a plan as a page of text, no wider than a terminal of 80 columns.
type timetable struct {
	plan  *plan.Plan
	begin time.Duration // the start, since midnight
	end   time.Duration // when all should be done, since the start; 0: open
	day   bool          // times are times of day
	why   plan.Reasons
	ascii bool
}

// width of the page, and of the drawing in it.
const (
	planWidth = 80
	labelled  = 10
	drawn     = planWidth - labelled - 1
)

// marks are what a moment looks like.
type marks struct{ hands, wait, rest, away rune }

func (t *timetable) marks() marks {
	if t.ascii {
		return marks{'#', '-', '.', 'x'}
	}
	return marks{'█', '─', '·', '×'}
}

func (t *timetable) text() string {
	var b strings.Builder
	t.head(&b)
	t.drawing(&b)
	t.violations(&b)
	t.steps(&b)
	t.reasons(&b)
	return b.String()
}

func (t *timetable) head(b *strings.Builder) {
	p := t.plan
	fmt.Fprintf(b, "%s, from %s to %s (%s)\n", counted(len(p.Problem.Vessels), "vessel"), t.at(0), t.at(p.Makespan)+t.nextDay(p.Makespan), long(p.Makespan))
	if p.Feasible() {
		b.WriteString(fold("Waits go over their aims by "+long(p.OverWait)+" in all. "+t.proof(), "") + "\n")
	}
	if t.end > 0 {
		until := t.at(t.end) + t.nextDay(t.end)
		if late := p.Makespan - t.end; late > 0 {
			b.WriteString(fold("That is "+long(late)+" too late for "+until+": begin earlier, or plan fewer vessels.", "") + "\n")
		} else {
			b.WriteString("That leaves " + long(-late) + " until " + until + ".\n")
		}
	}
	if places := t.places(); places != "" {
		b.WriteString(fold("Planned with "+counted(p.Problem.Operators, "pair")+" of hands; "+places+".", "") + "\n")
	}
	b.WriteString("\n")
}

// proof says how far it is known that there is nothing better.
func (t *timetable) proof() string {
	switch p := t.plan; {
	case p.Proven:
		return "No plan is shorter, and no plan as short waits less."
	case p.Bound == p.Makespan && p.LeastOverWait > 0:
		return "No plan is shorter. One as short that waits less may exist; none waits under " + long(p.LeastOverWait) + "."
	case p.Bound == p.Makespan:
		return "No plan is shorter; one that waits less may exist."
	default:
		return "A shorter plan may exist; none is under " + long(p.Bound) + "."
	}
}

// at writes when something is: the time of day, or the time since the beginning.
func (t *timetable) at(since time.Duration) string {
	if t.day {
		return hhmm((t.begin + since) % aDay)
	}
	return hhmm(since)
}

// nextDay says that a time is not of the day of the start.
func (t *timetable) nextDay(since time.Duration) string {
	switch days := int((t.begin + since) / aDay); {
	case !t.day || days == 0:
		return ""
	case days == 1:
		return " the next day"
	default:
		return fmt.Sprintf(" %d days later", days)
	}
}

// places tells how often each resource is taken to be there.
func (t *timetable) places() string {
	var out []string
	for _, r := range t.plan.Problem.Resources() {
		out = append(out, fmt.Sprintf("%s: %d", r, t.plan.Problem.PlacesOf(r)))
	}
	return strings.Join(out, ", ")
}

// scales are how long a column may be.
var scales = []time.Duration{30 * time.Second, time.Minute, 2 * time.Minute, 3 * time.Minute, 5 * time.Minute, 10 * time.Minute,
	15 * time.Minute, 20 * time.Minute, 30 * time.Minute, time.Hour, 2 * time.Hour, 4 * time.Hour, 12 * time.Hour, 24 * time.Hour}

func (t *timetable) scale() time.Duration {
	for _, s := range scales {
		if t.plan.Makespan <= s*drawn {
			return s
		}
	}
	return t.plan.Makespan/drawn + 1
}

func (t *timetable) drawing(b *strings.Builder) {
	scale, m := t.scale(), t.marks()
	columns := int((t.plan.Makespan + scale - 1) / scale)
	axis := []rune(strings.Repeat(" ", planWidth))
	for c := 0; c < columns; c += 12 {
		copy(axis[labelled+c:], []rune(t.at(time.Duration(c)*scale)))
	}
	fmt.Fprintln(b, strings.TrimRight(string(axis), " "))
	busy := []rune(strings.Repeat(" ", columns))
	for v, vessel := range t.plan.Problem.Vessels {
		row := []rune(strings.Repeat(" ", columns))
		for _, w := range vessel.Waits {
			mark := m.wait
			if w.Aim == plan.Forever && w.AtLeast == 0 {
				mark = m.rest
			}
			stroke(row, t.plan.End(v, w.From), t.plan.Start[v][w.To], scale, mark)
		}
		for j, s := range vessel.Steps {
			stroke(row, t.plan.Start[v][j], t.plan.End(v, j), scale, m.hands)
			if s.Operators > 0 {
				stroke(busy, t.plan.Start[v][j], t.plan.End(v, j), scale, m.hands)
			}
		}
		fmt.Fprintln(b, strings.TrimRight(short(vessel.Label)+string(row), " "))
	}
	for _, br := range t.plan.Problem.Breaks {
		stroke(busy, br.From, br.To, scale, m.away)
	}
	fmt.Fprintln(b, strings.TrimRight(short("Hands")+string(busy), " "))
	legend := fmt.Sprintf("%c hands  %c timed wait  %c rests", m.hands, m.wait, m.rest)
	if len(t.plan.Problem.Breaks) > 0 {
		legend += fmt.Sprintf("  %c nobody present", m.away)
	}
	fmt.Fprintf(b, "%s%s; a column is %s\n\n", short(""), legend, long(scale))
}

// stroke draws from one time to another, at least one column where there is any time between them.
func stroke(row []rune, from, to, scale time.Duration, mark rune) {
	if to <= from {
		return
	}
	last := max(int((to-1)/scale), int(from/scale))
	for c := int(from / scale); c <= last && c < len(row); c++ {
		row[c] = mark
	}
}

func short(label string) string {
	runes := []rune(tui.Clean(label))
	if len(runes) > labelled-1 {
		runes = runes[:labelled-1]
	}
	return string(runes) + strings.Repeat(" ", labelled-len(runes))
}

func (t *timetable) violations(b *strings.Builder) {
	if len(t.plan.Violations) == 0 {
		return
	}
	b.WriteString("Windows that cannot all be kept; this plan exceeds them least\n")
	for _, x := range t.plan.Violations {
		b.WriteString(fold(fmt.Sprintf("%s: from %s to %s lasts %s longer than allowed; %s.", tui.Clean(x.Vessel), tui.Clean(x.From), tui.Clean(x.To),
			long(x.By), tui.Clean(x.Remedy)), "  ") + "\n")
	}
	b.WriteString("\n")
}

// steps lists what the hands do, in the order of time.
func (t *timetable) steps(b *strings.Builder) {
	type row struct {
		at    time.Duration
		v, j  int
		hands time.Duration
	}
	var rows []row
	for v, vessel := range t.plan.Problem.Vessels {
		for j := range vessel.Steps {
			at := t.plan.Start[v][j]
			rows = append(rows, row{at, v, j, t.plan.End(v, j) - at})
		}
	}
	slices.SortStableFunc(rows, func(a, b row) int { return int(a.at - b.at) })
	day := ""
	for _, r := range rows {
		if next := t.nextDay(r.at); next != day {
			day = next
			fmt.Fprintf(b, "%s\n", capital(strings.TrimSpace(day)))
		}
		s := t.plan.Problem.Vessels[r.v].Steps[r.j]
		what := s.Title
		if what == "" {
			what = s.ID
		} else if _, portion, ok := strings.Cut(s.ID, "."); ok {
			what += ", portion " + portion
		}
		runes := []rune(tui.Clean(what))
		if len(runes) > 43 {
			runes = append(runes[:42], '…')
		}
		fmt.Fprintf(b, "%s:%02d  %s%-44s%s\n", t.at(r.at), int(r.at/time.Second)%60, short(t.plan.Problem.Vessels[r.v].Label), string(runes), long(r.hands))
	}
}

// reasons tells what binds and what would help.
func (t *timetable) reasons(b *strings.Builder) {
	if len(t.why.Loads) == 0 {
		return
	}
	b.WriteString("\nWhy it takes so long\n")
	say := func(format string, args ...any) { b.WriteString(fold(fmt.Sprintf(format, args...), "  ") + "\n") }
	say("A vessel alone takes %s.", long(t.why.Alone))
	for _, l := range t.why.Loads {
		binds := ""
		if l.AtLeast == t.plan.Makespan {
			binds = " It binds: no plan is shorter, for this alone."
		}
		say("%s: busy for %.0f %% of the time.%s", capital(nameOf(l.Resource)), 100*l.Share, binds)
	}
	for _, s := range t.why.Savings {
		switch {
		case s.Excess < t.plan.Excess:
			say("One more %s would exceed the windows by %s instead of %s.", oneOf(s.Resource), long(s.Excess), long(t.plan.Excess))
		case s.Saves > 0 && s.Proven:
			say("One more %s would save %s.", oneOf(s.Resource), long(s.Saves))
		case s.Saves > 0:
			say("One more %s would save %s or more.", oneOf(s.Resource), long(s.Saves))
		case s.Proven:
			say("One more %s would save nothing.", oneOf(s.Resource))
		default:
			say("No plan was found that one more %s makes shorter.", oneOf(s.Resource))
		}
	}
}

func nameOf(resource string) string {
	if resource == "operators" {
		return "hands"
	}
	return tui.Clean(resource)
}

func oneOf(resource string) string {
	if resource == "operators" {
		return "pair of hands"
	}
	return "place of " + tui.Clean(resource)
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func counted(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// long writes a time in hours, minutes and seconds, as far as they are there.
func long(t time.Duration) string {
	h, m, s := int(t/time.Hour), int(t/time.Minute)%60, int(t/time.Second)%60
	var out []string
	for _, part := range []struct {
		n    int
		unit string
	}{{h, "h"}, {m, "min"}, {s, "s"}} {
		if part.n > 0 {
			out = append(out, fmt.Sprintf("%d %s", part.n, part.unit))
		}
	}
	if len(out) == 0 {
		return "0 min"
	}
	return strings.Join(out, " ")
}

// fold breaks a sentence into lines of the page's width.
func fold(text, indent string) string {
	var lines []string
	line := indent
	for _, word := range strings.Fields(text) {
		if len([]rune(line))+1+len([]rune(word)) > planWidth && line != indent {
			lines, line = append(lines, line), indent+"  "
		}
		if strings.TrimSpace(line) != "" {
			line += " "
		}
		line += word
	}
	return strings.Join(append(lines, line), "\n")
}
