package print

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"example.org/meniscus/protocol/summary"
)

// layOut puts a summary on a page, in the order in which a reviewer asks: what came out, can it be believed, what went
// otherwise than planned, and then everything that was read.
func layOut(s *summary.Summary, budget bool) *page {
	p := &page{Title: visible(s.Protocol.Title)}
	p.head(s)
	p.results("Results of the run", s.Results, budget)
	p.checks("Checks of the run", s.Checks)
	p.deviations(s.Deviations)
	p.timetable(s.Timetable)
	p.notes("Notes on the run", s.Notes)
	p.restarts(s.Restarts)
	p.breaks(s.Breaks)
	for _, v := range s.Vessels {
		if len(s.Vessels) > 1 {
			p.Parts = append(p.Parts, part{Level: 1, Title: visible("Vessel " + v.Label)})
		}
		p.vessel(s, v, budget)
	}
	p.instruments(s.Instruments)
	var refs []string
	for _, r := range s.References {
		refs = append(refs, visible(r))
	}
	p.add("References", nil, refs...)
	p.add("Cautions", nil, visible(s.Deferral))
	return p
}

func (p *page) head(s *summary.Summary) {
	t := &table{Columns: []column{{Tight: true}, {}}}
	t.row("Protocol", strings.TrimSpace(s.Protocol.ID+", version "+s.Protocol.Version))
	if s.Protocol.Purpose != "" {
		t.row("Purpose", s.Protocol.Purpose)
	}
	t.row("Run", s.Run.ID)
	t.row("Begun", moment(s, s.Run.Begun))
	lasted := since(time.Duration(s.Run.ElapsedS * float64(time.Second)))
	switch {
	case s.Run.Ended == nil:
		t.row("Ended", "not yet: this is how it stands "+lasted+" after the begin")
	case s.Run.Complete:
		t.row("Ended", moment(s, *s.Run.Ended)+", "+lasted+" after the begin")
	default:
		t.row("Ended", moment(s, *s.Run.Ended)+", "+lasted+" after the begin: given up"+because(s.Run.Why))
	}
	t.row("Program", s.Run.Program)
	if s.Run.Hash != "" {
		t.row("Journal", "hash "+summary.ShortHash(s.Run.Hash))
	}
	if s.MonteCarlo != "" {
		t.row("Monte Carlo", s.MonteCarlo)
	}
	for _, v := range s.Vessels {
		if v.GivenUp != "" {
			t.row("Vessel "+v.Label, "given up before the end"+because(v.GivenUp))
		}
	}
	p.add("", t)
}

func (p *page) vessel(s *summary.Summary, v summary.Vessel, budget bool) {
	p.results("Results", v.Results, budget)
	p.checks("Checks", v.Checks)
	p.guards(s.Guards, v.Label)
	p.deviations(v.Deviations)
	p.undone(v.Undone)
	p.readings(s, v.Readings)
	p.notTaken(v.Readings)
	p.notes("Notes", v.Notes)
	p.amounts(v.Amounts)
	p.givens(v.Givens)
}

func (p *page) checks(title string, checks []summary.Check) {
	t := &table{Columns: []column{{Head: "Check"}, {Head: "Verdict"}, {Head: "Limit"}, {Head: "Source"}}}
	for _, c := range checks {
		l := t.row(c.Title, c.Message, c.Limit, c.Source)
		l.remark(c.Say)
	}
	if len(t.Rows) > 0 {
		p.add(title, t, "Inside or outside by more than the expanded uncertainty; where the limit lies within that, nothing is decided.")
	}
}

func (p *page) guards(guards []summary.Guard, vessel string) {
	t := &table{Columns: []column{{Head: "Since begin", Right: true, Tight: true}, {Head: "What does not fit"}}}
	for _, g := range guards {
		if g.Vessel != vessel {
			continue
		}
		said := g.Say
		if g.Settled {
			said += " (settled by a correction)"
		}
		t.row(since(g.Elapsed), said)
	}
	p.add("Readings that do not fit together", t)
}

func (p *page) deviations(ds []summary.Deviation) {
	t := &table{Columns: []column{{Head: "Since begin", Right: true, Tight: true}, {Head: "What"}, {Head: "Planned"}, {Head: "Done"}}}
	for _, d := range ds {
		if d.Kind == "left out" { // it stands with the readings not taken
			continue
		}
		what := d.Kind + ": " + d.What
		if d.Portion > 0 {
			what += ", portion " + strconv.Itoa(d.Portion)
		}
		l := t.row(since(d.Elapsed), what, d.Planned, d.Done)
		if d.Why != "" {
			l.remark("Why: " + d.Why)
		}
	}
	p.add("Otherwise than planned", t)
}

func (p *page) undone(us []summary.Undoing) {
	t := &table{Columns: []column{{Head: "Since begin", Right: true, Tight: true}, {Head: "What was undone"}, {Head: "Done at", Right: true, Tight: true}}}
	for _, u := range us {
		t.row(since(u.Elapsed), u.What, since(u.Done))
	}
	p.add("Undone, and counted as never done", t)
}

func (p *page) notes(title string, notes []summary.Note) {
	t := &table{Columns: []column{{Head: "Since begin", Right: true, Tight: true}, {Head: "Note"}}}
	for _, n := range notes {
		t.row(since(n.Elapsed), n.Text)
	}
	p.add(title, t)
}

func (p *page) restarts(rs []summary.Restart) {
	t := &table{Columns: []column{{Head: "Since begin", Right: true, Tight: true}, {Head: "The program was started again"}}}
	for _, r := range rs {
		said := since(time.Duration(r.GapS*float64(time.Second))) + " after the last entry, counted as elapsed"
		if r.ClockBackS > 0 {
			said = "the computer's clock stood " + since(time.Duration(r.ClockBackS*float64(time.Second))) +
				" before the last entry, so the time between is not known and counts as nothing"
		}
		if r.Rebooted {
			said += "; the machine was started again too"
		}
		if set := time.Duration(r.ClockSetS * float64(time.Second)); set != 0 {
			said += "; the wall clock was set by " + since(set) + " meanwhile"
		}
		if r.Torn != "" {
			said += "; an unfinished line of the journal was set aside"
		}
		t.row(since(r.Elapsed), said)
	}
	p.add("Interruptions", t)
}

func (p *page) breaks(bs []summary.Break) {
	t := &table{Columns: []column{{Head: "Since begin", Right: true, Tight: true}, {Head: "Time went otherwise than the clock"}}}
	for _, b := range bs {
		t.row(since(b.Elapsed), b.Say)
	}
	p.add("Breaks", t)
}

// since shows a time on the run's own clock: 0:12:40.
func since(d time.Duration) string {
	sign := ""
	if d < 0 {
		sign, d = "-", -d
	}
	s := int64(d / time.Second)
	return fmt.Sprintf("%s%d:%02d:%02d", sign, s/3600, s/60%60, s%60)
}

func because(why string) string {
	if why == "" {
		return ""
	}
	return ": " + why
}

// moment shows a wall-clock time at the run's place, with its offset.
func moment(s *summary.Summary, at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return "no date was given"
	}
	return t.In(place(s)).Format("2006-01-02 15:04:05 -07:00")
}

// place returns the run's time zone; UTC when it is not known.
func place(s *summary.Summary) *time.Location {
	t, err := time.Parse("-07:00", s.Run.Zone)
	if err != nil {
		return time.UTC
	}
	_, offset := t.Zone()
	return time.FixedZone("", offset)
}

func (p *page) instruments(ins []summary.Instrument) {
	t := &table{Columns: []column{{Head: "Instrument"}, {Head: "Smallest step", Tight: true}, {Head: "Trusted within"}, {Head: "Checked", Tight: true}}}
	for _, in := range ins {
		var within []string
		say := func(x float64, format string) {
			if x > 0 {
				within = append(within, fmt.Sprintf(format, figure(x, in.In.Interval())))
			}
		}
		say(in.Tolerance, "±%s each reading")
		say(in.Offset, "±%s shared offset")
		say(in.Graduation, "±%s graduation error")
		say(in.StandardUncertainty, "u = %s each reading")
		if in.Gain > 0 {
			within = append(within, "±"+plain(in.Gain*100)+" % shared gain")
		}
		step := ""
		if in.Step > 0 {
			step = figure(in.Step, in.In.Interval())
		}
		t.row(in.Title, step, strings.Join(within, ", "), in.Checked)
	}
	p.add("Instruments", t)
}
