package command

import (
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/plan"
)

// planning is what a plan is asked for.
type planning struct {
	vessels   int
	operators int
	start     string
	until     string
	places    []string
	breaks    []string
	caseFile  string
	format    string
	why       bool
	brisk     bool

	asked bool          // the number of vessels was said
	hands bool          // the number of operators was said
	begin time.Duration // since midnight
	end   time.Duration // since the start; 0: open
}

// late is what a plan takes longer than it may.
func (a *planning) late(p *plan.Plan) time.Duration {
	if a.end == 0 {
		return 0
	}
	return max(p.Makespan-a.end, 0)
}

var planFormats = []string{"text", "json"}

// planCommand works out when to start which vessel.
func (e *env) planCommand() *cobra.Command {
	var a planning
	c := &cobra.Command{
		Use:   "plan [PROTOCOL...]",
		Short: "Work out when to start which vessel",
		Long: "Works out when to start which vessel, so that few hands can serve them all and no window is missed: the shortest" +
			" plan, and of those the one whose waits go least over their aims. Several protocols share the hands; each gets as many" +
			" vessels as are asked for. A resource is there as often as the protocol says, unless --place says otherwise.\nTimes of" +
			" day go from 00:00 to 23:59. With --start, a time before it is one of the next day, if that is less than 18 hours after" +
			" the start; without --start, times count from the beginning. Where --until is missed the plan is written all the same," +
			" the message says by how much, and the exit code is 1.\n" +
			"With --case a bare case is planned: its file has operators, vessels, [capacity], [[step]] (id, hands," +
			" operators, uses), [[wait]] (from, to, at_least, aim, at_most), [[hold]] (resource, from, to) and [[break]] (from," +
			" to), times in minutes.",
		Example: "  meniscus plan ester-batch --vessels 3 --place bath=3 --start 09:30\n" +
			"  meniscus plan burn-test --start 09:30 --until 12:00\n" +
			"  meniscus plan ester-batch --vessels 2 --break 2:00-2:30 --why\n  meniscus plan --case bench.toml --format json",
		ValidArgsFunction: e.completeProtocol,
		RunE: func(c *cobra.Command, args []string) error {
			a.asked, a.hands = c.Flags().Changed("vessels"), c.Flags().Changed("operators")
			return e.plan(args, a)
		},
	}
	f := c.Flags()
	f.IntVar(&a.vessels, "vessels", 1, "`N` vessels go through each protocol")
	f.IntVar(&a.operators, "operators", 1, "`K` pairs of hands")
	f.StringVar(&a.start, "start", "", "begin at `HH:MM`")
	f.StringVar(&a.until, "until", "", "be done by `HH:MM`; without --vessels, as many vessels as fit")
	f.StringArrayVar(&a.places, "place", nil, "so many places of a resource, `bath=3`; may be repeated")
	f.StringArrayVar(&a.breaks, "break", nil, "nobody is present, `12:00-12:30`; may be repeated")
	f.StringVar(&a.caseFile, "case", "", "plan the bare case in `FILE`")
	f.StringVar(&a.format, "format", "text", "write it as `FORM`: text or json")
	f.BoolVar(&a.why, "why", false, "tell what binds, and what one more place or pair of hands would save")
	f.BoolVar(&a.brisk, "brisk", false, "waits may end as early as the protocol allows, not only at their aims")
	_ = c.RegisterFlagCompletionFunc("format", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return planFormats, cobra.ShellCompDirectiveNoFileComp
	})
	return c
}

func (e *env) plan(args []string, a planning) error {
	if a.format != "text" && a.format != "json" {
		return wrong("--format is %q; %s", a.format, nearest(a.format, planFormats))
	}
	o, err := a.read()
	if err != nil {
		return err
	}
	p, err := e.planned(args, a, o)
	if err != nil {
		return err
	}
	if a.format == "json" {
		err = e.planJSON(p, a)
	} else {
		t := timetable{plan: p, begin: a.begin, end: a.end, day: a.start != "", ascii: e.look.ascii}
		if a.why {
			t.why = plan.Why(p, plan.Thorough)
		}
		_, err = e.out.Write([]byte(t.text()))
	}
	if late := a.late(p); err == nil && late > 0 {
		return fmt.Errorf("--until %s is missed: the plan is over by %s; begin earlier, or plan fewer vessels", a.until, long(late))
	}
	return err
}

// planned makes the plan of the case or of the protocols.
func (e *env) planned(args []string, a planning, o plan.Options) (*plan.Plan, error) {
	if a.caseFile != "" {
		if len(args) > 0 || a.asked {
			return nil, wrong("a case has its own vessels; write --case alone, without a protocol and without --vessels")
		}
		text, err := os.ReadFile(a.caseFile)
		if err != nil {
			return nil, told("case", a.caseFile, err)
		}
		p, err := plan.ReadCase(a.caseFile, text)
		if err != nil {
			return nil, err
		}
		p.Breaks = append(p.Breaks, o.Breaks...)
		p.Places = append(o.Places, p.Places...)
		if a.hands {
			p.Operators = a.operators
		}
		if err := known(p, o.Places); err != nil {
			return nil, err
		}
		return plan.Solve(p, plan.Thorough)
	}
	if len(args) == 0 {
		return nil, wrong("plan needs a protocol; write meniscus plan PROTOCOL, or --case FILE")
	}
	var ps []*protocol.Protocol
	for _, name := range args {
		p, _, err := e.load(name)
		if err != nil {
			return nil, err
		}
		ps = append(ps, p)
	}
	if a.end > 0 && !a.asked {
		return mostThatFit(ps, o, a)
	}
	return planFor(ps, a.vessels, o)
}

// planFor plans n vessels of each protocol.
func planFor(ps []*protocol.Protocol, n int, o plan.Options) (*plan.Plan, error) {
	if n < 1 || n*len(ps) > mostVessels {
		return nil, wrong("--vessels is %d; write a number from 1 to %d", n, mostVessels/len(ps))
	}
	var charges []plan.Charge
	for _, p := range ps {
		for range n {
			charges = append(charges, plan.Charge{Label: string(rune('A' + len(charges))), Protocol: p})
		}
	}
	p := plan.FromProtocol(charges, o)
	if err := known(p, o.Places); err != nil {
		return nil, err
	}
	return plan.Solve(p, plan.Thorough)
}

// known refuses places of what nothing uses.
func known(p *plan.Problem, places []plan.Place) error {
	for _, place := range places {
		if used := p.Resources(); !slices.Contains(used, place.Resource) {
			return wrong("--place %s=%d: nothing uses %q; %s", place.Resource, place.Places, place.Resource, nearest(place.Resource, used))
		}
	}
	return nil
}

// mostThatFit plans as many vessels as are done in time.
func mostThatFit(ps []*protocol.Protocol, o plan.Options, a planning) (*plan.Plan, error) {
	var best *plan.Plan
	for n := 1; n*len(ps) <= mostVessels; n++ {
		p, err := planFor(ps, n, o)
		switch {
		case err != nil && best != nil:
			return best, nil
		case err != nil:
			return nil, err
		case p.Makespan > a.end || !p.Feasible():
			if best == nil {
				best = p
			}
			return best, nil
		}
		best = p
	}
	return best, nil
}

// planJSON writes the plan for programs.
func (e *env) planJSON(p *plan.Plan, a planning) error {
	type step struct {
		ID    string  `json:"id"`
		Start float64 `json:"start_min"`
		End   float64 `json:"end_min"`
	}
	type vessel struct {
		Label string `json:"label"`
		Steps []step `json:"steps"`
	}
	type violation struct {
		Vessel string  `json:"vessel"`
		From   string  `json:"from"`
		To     string  `json:"to"`
		By     float64 `json:"by_min"`
		Remedy string  `json:"remedy"`
	}
	out := struct {
		Makespan   float64     `json:"makespan_min"`
		OverWait   float64     `json:"overwait_min"`
		Feasible   bool        `json:"feasible"`
		Proven     bool        `json:"proven"`
		Bound      float64     `json:"bound_min"`
		LeastOver  float64     `json:"overwait_bound_min"`
		Start      string      `json:"start,omitempty"`
		Until      *float64    `json:"until_min,omitempty"` // since the start
		OverBy     *float64    `json:"over_until_min,omitempty"`
		Violations []violation `json:"violations"`
		Vessels    []vessel    `json:"vessels"`
	}{Makespan: p.Makespan.Minutes(), OverWait: p.OverWait.Minutes(), Feasible: p.Feasible(), Proven: p.Proven,
		Bound: p.Bound.Minutes(), LeastOver: p.LeastOverWait.Minutes(), Start: a.start, Violations: []violation{}}
	if a.end > 0 {
		until, over := a.end.Minutes(), a.late(p).Minutes()
		out.Until, out.OverBy = &until, &over
	}
	for _, x := range p.Violations {
		out.Violations = append(out.Violations, violation{x.Vessel, x.From, x.To, x.By.Minutes(), x.Remedy})
	}
	for v, vs := range p.Problem.Vessels {
		w := vessel{Label: vs.Label}
		for j, s := range vs.Steps {
			w.Steps = append(w.Steps, step{s.ID, p.Start[v][j].Minutes(), p.End(v, j).Minutes()})
		}
		out.Vessels = append(out.Vessels, w)
	}
	enc := json.NewEncoder(e.out)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}
