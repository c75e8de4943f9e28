package command

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode"

	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/print"
)

// A timetable is a plan as a page for people.
type timetable struct {
	plan  *plan.Plan
	begin time.Duration // the start, since midnight
	end   time.Duration // when all should be done, since the start; 0: open
	day   bool          // times are times of day
	full  bool          // there are as many vessels as can be lettered, and more might fit
	why   *plan.Reasons // nil: not asked for
	ascii bool
	width int // of the page in columns; 0: 80
}

// The width of the page in columns: as wide as the terminal between these.
const (
	planWidth = 80
	planWide  = 160
	labelled  = 10
)

func (t *timetable) columns() int { return max(planWidth, min(t.width, planWide)) }

func (t *timetable) text() string {
	var b strings.Builder
	for _, said := range t.told() {
		b.WriteString(fold(said, "", planWidth) + "\n")
	}
	b.WriteString("\n")
	t.drawing(&b)
	if said := t.violations(); len(said) > 0 {
		b.WriteString(violated + "\n" + t.indented(said) + "\n")
	}
	t.steps(&b)
	if t.why != nil {
		b.WriteString("\nWhy it takes so long\n" + t.indented(t.reasons()))
	}
	return b.String()
}

func (t *timetable) indented(said []string) string {
	var b strings.Builder
	for _, s := range said {
		b.WriteString(fold(s, "  ", planWidth) + "\n")
	}
	return b.String()
}

// told is what the head of the page says, sentence by sentence.
func (t *timetable) told() []string {
	p := t.plan
	said := []string{fmt.Sprintf("%s, from %s to %s (%s)", counted(len(p.Problem.Vessels), "vessel"), t.at(0), t.at(p.Makespan)+t.nextDay(p.Makespan), long(p.Makespan))}
	if p.Feasible() {
		over := "No wait goes over its aim. "
		if p.OverWait > 0 {
			over = "Waits go over their aims by " + long(p.OverWait) + " in all. "
		}
		said = append(said, over+t.proof())
	}
	if t.end > 0 {
		until := t.at(t.end) + t.nextDay(t.end)
		if late := p.Makespan - t.end; late > 0 {
			said = append(said, "That is "+long(late)+" too late for "+until+": "+fewer(p)+".")
		} else {
			said = append(said, "That leaves "+long(-late)+" until "+until+".")
		}
	}
	if t.full {
		said = append(said, fmt.Sprintf("More than %d vessels are not planned at once; more might fit.", mostVessels))
	}
	if places := t.places(); places != "" {
		said = append(said, "Planned with "+counted(p.Problem.Operators, "pair")+" of hands; "+places+".")
	}
	return append(said, t.stretched()...)
}

// fewer is what helps where a plan ends too late.
func fewer(p *plan.Plan) string {
	if len(p.Problem.Vessels) == 1 {
		return "begin earlier"
	}
	return "begin earlier, or plan fewer vessels"
}

// stretched tells once why steps are longer than their protocol says.
func (t *timetable) stretched() []string {
	most := 1.0
	for v := range t.plan.Problem.Vessels {
		most = max(most, t.plan.Problem.Stretch(v))
	}
	if most == 1 {
		return nil
	}
	return []string{fmt.Sprintf("The reminders of the other vessels take a share of the hands: steps are planned up to %.0f %% longer than the protocol says.",
		math.Ceil(100*(most-1)))}
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

// toTheSecond writes when a step begins.
func (t *timetable) toTheSecond(since time.Duration) string {
	return fmt.Sprintf("%s:%02d", t.at(since), int(since/time.Second)%60)
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
		out = append(out, fmt.Sprintf("%s: %d", t.clean(r), t.plan.Problem.PlacesOf(r)))
	}
	return strings.Join(out, ", ")
}

const violated = "Windows that cannot all be kept; this plan exceeds them least"

func (t *timetable) violations() []string {
	var out []string
	for _, x := range t.plan.Violations {
		out = append(out, fmt.Sprintf("%s: from %s to %s lasts %s longer than allowed; %s.", t.clean(x.Vessel), t.clean(x.From), t.clean(x.To),
			long(x.By), t.clean(x.Remedy)))
	}
	return out
}

// steps lists what the hands do, in the order of time; where there are several pairs, which does it.
func (t *timetable) steps(b *strings.Builder) {
	day, room, pairs := "", t.columns()-37, t.pairs()
	if t.plan.Problem.Operators > 1 {
		room -= 10
	}
	for _, turn := range t.turns() {
		if next := t.nextDay(turn.at); next != day {
			day = next
			fmt.Fprintf(b, "%s\n", capital(strings.TrimSpace(day)))
		}
		vessel := t.plan.Problem.Vessels[turn.v]
		what := []rune(t.title(vessel.Steps[turn.j]))
		if len(what) > room {
			what = []rune(string(what[:room-3]) + t.clean("…"))
		}
		who := ""
		if t.plan.Problem.Operators > 1 {
			who = fmt.Sprintf("%-10s", t.who(pairs[turn.v][turn.j]))
		}
		fmt.Fprintf(b, "%s  %s%s%-*s%s\n", t.toTheSecond(turn.at), short(t.clean(vessel.Label)), who, min(room, 43)+1, string(what), long(turn.hands))
	}
}

// who names pairs of hands.
func (t *timetable) who(pairs []int) string {
	if len(pairs) == 0 {
		return ""
	}
	var out []string
	for _, k := range pairs {
		out = append(out, fmt.Sprint(k+1))
	}
	if who := "hands " + strings.Join(out, ","); len(who) < 10 {
		return who
	}
	return fmt.Sprintf("%d pairs", len(pairs))
}

// title is what a step is called on the page.
func (t *timetable) title(s plan.Step) string {
	what := s.Title
	if what == "" {
		what = s.ID
	} else if _, portion, ok := strings.Cut(s.ID, "."); ok {
		what += ", portion " + portion
	}
	return t.clean(what)
}

// clean makes a name fit for the page.
func (t *timetable) clean(text string) string {
	if text = tui.Clean(text); t.ascii {
		return print.ASCII(text)
	}
	return text
}

func capital(s string) string {
	runes := []rune(s)
	if len(runes) > 0 {
		runes[0] = unicode.ToUpper(runes[0])
	}
	return string(runes)
}

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

// fold breaks a sentence into lines of a width; those after the first are indented further.
func fold(text, indent string, width int) string {
	var lines []string
	line := indent
	for _, word := range strings.Fields(text) {
		if len([]rune(line))+1+len([]rune(word)) > width && line != indent {
			lines, line = append(lines, line), indent+"  "
		}
		if strings.TrimSpace(line) != "" {
			line += " "
		}
		line += word
	}
	return strings.Join(append(lines, line), "\n")
}
