package command

import (
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/protocol/regular"
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

	asked     bool // the number of vessels was said
	hands     bool // the number of operators was said
	startSaid bool
	untilSaid bool

	begin time.Duration // since midnight
	end   time.Duration // since the start; 0: open
	moved []string      // breaks that were taken for the next day
	full  bool          // as many vessels as can be lettered are done in time
}

// late is what a plan takes longer than it may.
func (a *planning) late(p *plan.Plan) time.Duration {
	if a.end == 0 {
		return 0
	}
	return max(p.Makespan-a.end, 0)
}

var planFormats = []string{"text", "html", "json"}

const aboutPlan = "Works out when to start which vessel, so that few hands can serve them all and no window is missed: the shortest" +
	" plan, and of those the one whose waits go least over their aims. Several protocols share the hands; each gets as many" +
	" vessels as are asked for. A resource is there as often as the protocol says, unless --place says otherwise. Givens" +
	" change amounts and never times, so none is needed for a plan.\nTimes of" +
	" day go from 00:00 to 23:59. With --start, a time before it is one of the next day, if that is less than 18 hours after" +
	" the start; without --start, times count from the beginning. Where --until is missed the plan is written all the same," +
	" the message says by how much, and the exit code is 1.\n" +
	"--format html is the page to print and hang up: the drawing, and below it each turn of the hands to tick off.\n" +
	"With --why the plan is made anew with one more place, one more pair of hands, without a break and without latest ends," +
	" each by itself; what makes it shorter binds.\n\n" +
	"With --case a bare case is planned. Its file is TOML, times in minutes; what is in brackets may be left out:\n" +
	"  [operators = 1]  [vessels = 1]    pairs of hands; vessels from A, or their labels: [ \"A\", \"B\" ]\n" +
	"  [capacity] bath = 3               places of each resource; without this table, 1 of each\n" +
	"  [[step]] id, hands, [title], [operators = 1], [uses = [ \"bath\" ]]\n" +
	"  [[wait]] from, to, [at_least = 0], [aim = at_least], [at_most: no limit]\n" +
	"  [[hold]] resource, from, to       a place from the start of one step to the end of another\n" +
	"  [[break]] from, to                nobody is present, since the start\n" +
	"  [[vessel]] label                  one more vessel, of its own kind: [[vessel.step]], [[vessel.wait]], [[vessel.hold]]\n" +
	"Steps without waits between them may go in any order."

// planCommand works out when to start which vessel.
func (e *env) planCommand() *cobra.Command {
	var a planning
	c := &cobra.Command{
		Use:   "plan [PROTOCOL...]",
		Short: "Work out when to start which vessel",
		Long:  aboutPlan,
		Example: "  meniscus plan ester-batch --vessels 3 --place bath=3 --start 09:30\n" +
			"  meniscus plan burn-test --start 09:30 --until 12:00\n" +
			"  meniscus plan ester-batch --vessels 2 --break 2:00-2:30 --why\n" +
			"  meniscus plan ester-batch --vessels 4 --start 09:30 --format html > plan.html\n" +
			"  meniscus plan --case bench.toml --format json",
		ValidArgsFunction: e.completeProtocol,
		RunE: func(c *cobra.Command, args []string) error {
			said := c.Flags().Changed
			a.asked, a.hands, a.startSaid, a.untilSaid = said("vessels"), said("operators"), said("start"), said("until")
			if said("given") || said("vary") {
				return wrong("a given changes amounts and never times: the plan is the same; leave --given and --vary to run and sheet")
			}
			if said("case") && a.caseFile == "" {
				return wrong("--case is empty; write --case FILE.toml")
			}
			return e.plan(args, a)
		},
	}
	f := c.Flags()
	f.IntVar(&a.vessels, "vessels", 1, "`N` vessels go through each protocol, from 1 to 26 in all")
	f.IntVar(&a.operators, "operators", 1, "`K` pairs of hands, from 1 to 99")
	f.StringVar(&a.start, "start", "", "begin at `HH:MM`")
	f.StringVar(&a.until, "until", "", "be done by `HH:MM`; without --vessels, as many vessels as fit")
	f.StringArrayVar(&a.places, "place", nil, "so many places of a resource, `bath=3`; may be repeated")
	f.StringArrayVar(&a.breaks, "break", nil, "nobody is present, `12:00-12:30`; may be repeated")
	f.StringVar(&a.caseFile, "case", "", "plan the bare case in `FILE`")
	f.StringVar(&a.format, "format", "text", "write it as `FORM`: text, html (a page to print) or json")
	f.BoolVar(&a.why, "why", false, "tell what binds, and what one more place or pair of hands would save")
	f.BoolVar(&a.brisk, "brisk", false, "waits may end as early as the protocol allows, not only at their aims")
	for _, name := range []string{"given", "vary"} { // known from other commands: they are told why they are not here
		f.StringArray(name, nil, "")
		_ = f.MarkHidden(name)
	}
	_ = c.RegisterFlagCompletionFunc("format", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return planFormats, cobra.ShellCompDirectiveNoFileComp
	})
	return c
}

func (e *env) plan(args []string, a planning) error {
	if !slices.Contains(planFormats, a.format) {
		return wrong("--format is %q; %s", a.format, nearest(a.format, planFormats))
	}
	o, err := a.read()
	if err != nil {
		return err
	}
	p, err := e.planned(args, &a, o)
	if err != nil {
		return err
	}
	for _, moved := range a.moved {
		e.remark("meniscus: %s", moved)
	}
	t := timetable{plan: p, begin: a.begin, end: a.end, day: a.start != "", full: a.full, ascii: e.look.ascii, width: widthOf(e.out)}
	if a.why {
		why := plan.Why(p, plan.Thorough)
		t.why = &why
	}
	switch a.format {
	case "json":
		err = e.planJSON(&t, a)
	case "html":
		err = t.page(e.out)
	default:
		_, err = io.WriteString(e.out, t.text())
	}
	if late := a.late(p); err == nil && late > 0 {
		return fmt.Errorf("--until %s is missed: the plan is over by %s; %s", a.until, long(late), fewer(p))
	}
	return err
}

// planned makes the plan of the case or of the protocols.
func (e *env) planned(args []string, a *planning, o plan.Options) (*plan.Plan, error) {
	if a.caseFile != "" {
		return planCase(args, a, o)
	}
	if len(args) == 0 {
		return nil, wrong("plan needs a protocol; write meniscus plan PROTOCOL, or --case FILE")
	}
	var ps []*protocol.Protocol
	for _, name := range args {
		p, _, err := e.load(name)
		if err != nil && isCase(name) {
			return nil, wrong("%s is no protocol but a bare case; write meniscus plan --case %s", name, name)
		}
		if err != nil {
			return nil, err
		}
		e.tellOwn(name)
		ps = append(ps, p)
	}
	if a.end > 0 && !a.asked {
		return mostThatFit(ps, o, a)
	}
	return planFor(ps, a.vessels, o, plan.Thorough)
}

// planCase plans a bare case.
func planCase(args []string, a *planning, o plan.Options) (*plan.Plan, error) {
	switch {
	case len(args) > 0 || a.asked:
		return nil, wrong("a case has its own vessels; write --case alone, without a protocol and without --vessels")
	case a.brisk:
		return nil, wrong("--brisk is for protocols: a case says by its at_least how early a wait may end; leave --brisk out")
	}
	text, err := regular.Read(a.caseFile)
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

// isCase tells whether a file that is no protocol is meant for a case.
func isCase(path string) bool {
	text, err := regular.Read(path)
	return err == nil && plan.IsCase(text)
}

// planFor plans n vessels of each protocol.
func planFor(ps []*protocol.Protocol, n int, o plan.Options, effort plan.Effort) (*plan.Plan, error) {
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
	return plan.Solve(p, effort)
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

// mostThatFit plans as many vessels as are done in time. It feels its way with little effort, and takes all of it for
// the answer and, where it is not proven yet, for whether one vessel more would not fit after all.
func mostThatFit(ps []*protocol.Protocol, o plan.Options, a *planning) (*plan.Plan, error) {
	fits := func(p *plan.Plan) bool { return p.Makespan <= a.end && p.Feasible() }
	most, n, proven := mostVessels/len(ps), 0, false
	for n < most {
		p, err := planFor(ps, n+1, o, plan.Quick)
		if err != nil {
			return nil, err
		}
		if !fits(p) {
			proven = p.Feasible() && p.Bound > a.end || !p.Feasible() && p.Proven
			break
		}
		n++
	}
	var best *plan.Plan
	for n < most && !proven {
		p, err := planFor(ps, n+1, o, plan.Thorough)
		if err != nil {
			return nil, err
		}
		if !fits(p) {
			break
		}
		best = p
		n++
	}
	a.full = n == most
	if best != nil {
		return best, nil
	}
	return planFor(ps, max(n, 1), o, plan.Thorough)
}
