package comparison

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/summary"
)

// A level is one value of a given among the vessels that count.
type level struct {
	absent bool // the vessel's version of the protocol has no such given
	given  summary.Given
	order  int // of a choice, in the protocol
}

// same tells whether two levels are one.
func (l level) same(m level) bool {
	switch {
	case l.absent || m.absent:
		return l.absent == m.absent
	case l.given.Value != nil && m.given.Value != nil:
		const dust = 1e-12 // of the value: what a change of units leaves
		a, b := *l.given.Value, *m.given.Value
		return math.Abs(a-b) <= dust*max(math.Abs(a), math.Abs(b)) && l.given.Unit == m.given.Unit
	}
	return (l.given.Value == nil) == (m.given.Value == nil) && l.given.Text == m.given.Text
}

func (l level) compare(m level) int {
	switch {
	case l.absent != m.absent:
		if m.absent {
			return -1
		}
		return 1
	case l.given.Value != nil && m.given.Value != nil && l.given.Unit == m.given.Unit:
		return cmp.Compare(*l.given.Value, *m.given.Value)
	case l.order != m.order:
		return l.order - m.order
	}
	return strings.Compare(l.shown(6), m.shown(6))
}

// shown writes the level with so many significant digits.
func (l level) shown(digits int) string {
	switch {
	case l.absent:
		return "none"
	case l.given.Value != nil:
		return strings.TrimRight(quantity.Plain(*l.given.Value, digits)+" "+l.given.In.Shown(), " ")
	case l.given.Text == "":
		return "not said"
	}
	return l.given.Text
}

// group finds what was varied and puts the vessels that count into groups.
func (c *Comparison) group(sources []Source, by []string) error {
	protocols := protocolsOf(sources)
	known := givens(protocols)
	for _, id := range by {
		if !slices.Contains(known, id) {
			return &UnknownError{"given", id, known}
		}
	}
	places := map[string][]int{} // given -> of each vessel: its level's place
	for _, g := range known {
		f, at := c.factor(g, protocols)
		if len(f.Levels) > 1 {
			c.Varied = append(c.Varied, f)
			places[f.ID] = at
		} else if slices.Contains(by, g) {
			return fmt.Errorf("%s is the same in all these vessels, %s: it makes no groups", g, f.Levels[0])
		}
	}
	for i := range c.Vessels {
		c.Vessels[i].Givens = c.variedOf(c.Vessels[i].all, protocols)
	}
	for _, f := range c.Varied {
		if len(by) == 0 || slices.Contains(by, f.ID) {
			c.By = append(c.By, f.ID)
		}
	}
	c.gather(places)
	c.Remarks = append(c.Remarks, c.limits(sources, places)...)
	return nil
}

// givens returns the ids of the givens of all versions, in the order of the first that has them.
func givens(protocols []*protocol.Protocol) []string {
	var ids []string
	for _, p := range protocols {
		for _, g := range p.Givens {
			if !slices.Contains(ids, g.ID) {
				ids = append(ids, g.ID)
			}
		}
	}
	return ids
}

// factor returns the levels that a given has in the vessels that count and, for each vessel, the place of its own; -1 for
// one that does not count.
func (c *Comparison) factor(id string, protocols []*protocol.Protocol) (Factor, []int) {
	f := Factor{ID: id, Title: id}
	of := make([]level, len(c.Vessels))
	var levels []level
	unit := unitOf(id, protocols)
	for i, v := range c.Vessels {
		of[i] = levelOf(id, v, protocols[v.Run-1]).in(unit)
		if !of[i].absent && f.Title == id {
			f.Title = of[i].given.Title
		}
		if v.Counted && !slices.ContainsFunc(levels, of[i].same) {
			levels = append(levels, of[i])
		}
	}
	slices.SortStableFunc(levels, level.compare)
	f.Levels = shownLevels(levels)
	at := make([]int, len(of))
	for i := range of {
		at[i] = -1
		if c.Vessels[i].Counted {
			at[i] = slices.IndexFunc(levels, of[i].same)
		}
	}
	return f, at
}

func levelOf(id string, v Vessel, p *protocol.Protocol) level {
	for _, g := range v.all {
		if g.ID == id {
			l := level{given: g}
			if known := p.Given(id); known != nil {
				l.order = slices.Index(known.Choices, g.Text)
			}
			return l
		}
	}
	return level{absent: true}
}

// unitOf returns the unit of a given in the first version that has it as a number.
func unitOf(id string, protocols []*protocol.Protocol) quantity.Unit {
	for _, p := range protocols {
		if g := p.Given(id); g != nil && g.Kind == protocol.GivenNumber {
			return g.Value.Unit
		}
	}
	return quantity.One
}

// in returns a number in the unit, if it fits: versions of a protocol may have it in different ones.
func (l level) in(unit quantity.Unit) level {
	if l.given.Value == nil || l.given.In == unit {
		return l
	}
	if q, err := quantity.Exact(*l.given.Value, l.given.In).To(unit); err == nil {
		l.given.Value, l.given.Unit, l.given.In = &q.Value, unit.String(), unit
	}
	return l
}

// shownLevels writes levels so that no two look alike.
func shownLevels(levels []level) []string {
	out := make([]string, len(levels))
	for _, digits := range []int{6, -1} {
		seen := map[string]bool{}
		for i, l := range levels {
			out[i] = l.shown(digits)
			seen[out[i]] = true
		}
		if len(seen) == len(levels) {
			break
		}
	}
	return out
}

// variedOf picks the givens that were varied, numbers in the unit of the first version.
func (c *Comparison) variedOf(all summary.Givens, protocols []*protocol.Protocol) summary.Givens {
	out := summary.Givens{}
	for _, g := range all {
		if slices.ContainsFunc(c.Varied, func(f Factor) bool { return f.ID == g.ID }) {
			out = append(out, level{given: g}.in(unitOf(g.ID, protocols)).given)
		}
	}
	return out
}

// gather makes the groups, in the order of their levels, the last factor changing fastest.
func (c *Comparison) gather(places map[string][]int) {
	for i, v := range c.Vessels {
		if !v.Counted {
			continue
		}
		g := Group{Levels: []string{}, N: 1}
		for _, id := range c.By {
			at := places[id][i]
			g.at = append(g.at, at)
			g.Levels = append(g.Levels, c.varied(id).Levels[at])
		}
		if g.Name = strings.Join(g.Levels, ", "); len(c.By) == 0 {
			g.Name = "all vessels"
		}
		n := slices.IndexFunc(c.Groups, func(other Group) bool { return slices.Equal(other.at, g.at) })
		if n >= 0 {
			c.Groups[n].N++
		} else {
			c.Groups = append(c.Groups, g)
		}
	}
	slices.SortStableFunc(c.Groups, func(a, b Group) int { return slices.Compare(a.at, b.at) })
	for i := range c.Vessels {
		if !c.Vessels[i].Counted {
			continue
		}
		var at []int
		for _, id := range c.By {
			at = append(at, places[id][i])
		}
		c.Vessels[i].group = slices.IndexFunc(c.Groups, func(g Group) bool { return slices.Equal(g.at, at) })
	}
}

func (c *Comparison) varied(id string) Factor {
	for _, f := range c.Varied {
		if f.ID == id {
			return f
		}
	}
	return Factor{ID: id, Title: id}
}

// plan returns for each setting of a full plan at two levels the number of its group: factor j of By is high where bit j of
// the index is set. nil where the groups are no such plan.
func (c *Comparison) plan() []int {
	k := len(c.By)
	if k < 2 || k > 10 || len(c.Groups) != 1<<k {
		return nil
	}
	for _, id := range c.By {
		if len(c.varied(id).Levels) != 2 {
			return nil
		}
	}
	out := make([]int, 1<<k)
	for n, g := range c.Groups {
		setting := 0
		for j, at := range g.at {
			setting |= at << j
		}
		out[setting] = n
	}
	return out
}
