package command

import (
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// most vessels that one alphabet can tell apart.
const mostVessels = 26

// A cast says which vessels a run has, as the command line put it.
type cast struct {
	n      int
	asked  bool     // the number was said, and not taken from what is varied
	set    []string // --given
	varied []string // --vary

	plan      planning // operators, places and breaks, for the timetable
	unplanned bool     // it is to have none
	unfit     string   // why it is begun though something does not fit
}

// flags lets the command line say it.
func (c *cast) flags(command *cobra.Command) {
	f := command.Flags()
	f.IntVar(&c.n, "vessels", 1, "`N` vessels go through it")
	givenFlag(f, &c.set)
	f.StringArrayVar(&c.varied, "vary", nil, "give each vessel its own, `id=v1,v2`; repeated, every combination gets a vessel")
}

// givenFlag is how givens are set on the command line.
func givenFlag(f *pflag.FlagSet, set *[]string) {
	f.StringArrayVar(set, "given", nil, "set a given, `id=value`, or B.id=value for vessel B; may be repeated")
}

// vessels returns the vessels with their givens; what --given sets for one vessel stands above what is varied.
func (c cast) vessels(p *protocol.Protocol) ([]run.VesselBegun, error) {
	if err := c.onceEach(); err != nil {
		return nil, err
	}
	n, set := c.n, c.set
	if len(c.varied) > 0 {
		var dealt []string
		var err error
		if n, dealt, err = vary(p, c.n, c.asked, c.varied); err != nil {
			return nil, err
		}
		set = append(dealt, c.set...)
	}
	return vessels(p, n, set)
}

// onceEach refuses a given that is set twice, or set for all vessels and varied as well: which one was meant is not
// known.
func (c cast) onceEach() error {
	varied := map[string]string{}
	for _, v := range c.varied {
		id, _, _ := strings.Cut(v, "=")
		id = strings.TrimSpace(id)
		if before, again := varied[id]; again {
			return wrong("--vary %s is said twice, as %s and as %s; write one --vary with all its values", id, before, v)
		}
		varied[id] = v
	}
	given := map[string]string{}
	for _, s := range c.set {
		name, _, _ := strings.Cut(s, "=")
		name = strings.TrimSpace(name)
		if before, again := given[name]; again {
			return wrong("--given %s is said twice, as %s and as %s; write the one that is meant", name, before, s)
		}
		given[name] = s
		if v, both := varied[name]; both {
			return wrong("--given %s and --vary %s set the same given; write one of them, or --given A.%s for vessel A alone", s, v, s)
		}
	}
	return nil
}

// vessels returns n vessels, lettered from A, with the givens that were set as id=value or, for one vessel, B.id=value.
func vessels(p *protocol.Protocol, n int, set []string) ([]run.VesselBegun, error) {
	if n < 1 || n > mostVessels {
		return nil, wrong("--vessels is %d; write a number from 1 to %d", n, mostVessels)
	}
	out := make([]run.VesselBegun, n)
	for i := range out {
		out[i] = run.VesselBegun{Label: string(rune('A' + i)), Givens: map[string]string{}}
	}
	return out, giveAll(p, out, set)
}

// giveAll sets the givens of vessels, and checks that they go together.
func giveAll(p *protocol.Protocol, vessels []run.VesselBegun, set []string) error {
	own := map[string]bool{} // LABEL.id that was set for the vessel itself
	for _, s := range set {
		if err := give(p, vessels, own, s); err != nil {
			return err
		}
	}
	for _, v := range vessels {
		if _, err := p.Scale(v.Givens); err != nil {
			return callError{err}
		}
	}
	return nil
}

// give sets one given; what a vessel was given itself stands whatever the order.
func give(p *protocol.Protocol, vessels []run.VesselBegun, own map[string]bool, set string) error {
	name, value, ok := strings.Cut(set, "=")
	name, value = strings.TrimSpace(name), strings.TrimSpace(value)
	if !ok || name == "" || value == "" {
		return wrong("--given %q sets nothing; write --given id=value, or --given B.id=value for vessel B", set)
	}
	label, id, one := strings.Cut(name, ".")
	if !one {
		label, id = "", name
	}
	g := p.Given(id)
	if g == nil {
		return wrong("--given %s: protocol %s has no given %q; %s", set, p.ID, id, nearest(id, givenIDs(p)))
	}
	if one && !g.PerVessel {
		return wrong("--given %s: %s is the same for all vessels; write --given %s=%s", set, id, id, value)
	}
	known := false
	for _, v := range vessels {
		if one && v.Label != label {
			continue
		}
		known = true
		if key := v.Label + "." + id; one || !own[key] {
			v.Givens[id] = value
			own[key] = own[key] || one
		}
	}
	if !known {
		return wrong("--given %s: there is no vessel %q; the last one is %s", set, label, vessels[len(vessels)-1].Label)
	}
	return nil
}

func givenIDs(p *protocol.Protocol) []string {
	ids := make([]string, len(p.Givens))
	for i, g := range p.Givens {
		ids[i] = g.ID
	}
	return ids
}
