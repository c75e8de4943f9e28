package command

import (
	"time"

	"github.com/spf13/cobra"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/plan"
	"example.org/meniscus/protocol/run"
)

// benchFlags let the command line say what the timetable of a run counts with.
func (a *cast) benchFlags(c *cobra.Command) {
	f := c.Flags()
	f.IntVar(&a.plan.operators, "operators", 1, "`K` pairs of hands, for the timetable of several vessels")
	f.StringArrayVar(&a.plan.places, "place", nil, "so many places of a resource, `bath=3`; may be repeated")
	f.StringArrayVar(&a.plan.breaks, "break", nil, "nobody is present, `12:00-12:30`; may be repeated")
	f.BoolVar(&a.unplanned, "unplanned", false, "without a timetable: each vessel begins when you like")
}

// bench is what a run of the protocol that begins now has its timetable made for; nil where it is to have none.
func (c cast) bench(p *protocol.Protocol, now time.Time) (*run.Bench, error) {
	if c.unplanned {
		if c.plan.operators > 1 || len(c.plan.places)+len(c.plan.breaks) > 0 {
			return nil, wrong("--unplanned makes no timetable; leave --operators, --place and --break out, or --unplanned")
		}
		return nil, nil
	}
	a := c.plan
	a.start = now.Format("15:04")
	o, err := a.read()
	if err != nil {
		return nil, err
	}
	if err := known(plan.FromProtocol([]plan.Charge{{Label: "A", Protocol: p}}, o), o.Places); err != nil {
		return nil, err
	}
	out := &run.Bench{}
	if a.operators > 1 {
		out.Operators = a.operators
	}
	for _, place := range o.Places {
		if out.Places == nil {
			out.Places = map[string]int{}
		}
		out.Places[place.Resource] = place.Places
	}
	into := time.Duration(now.Second()) * time.Second // of the minute that times count from
	for _, b := range o.Breaks {
		if b.To > into {
			out.Breaks = append(out.Breaks, run.BreakTime{From: run.Span(max(b.From-into, 0)), To: run.Span(b.To - into)})
		}
	}
	return out, nil
}
