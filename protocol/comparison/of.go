package comparison

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
)

// What can be compared at a time.
const (
	MaxRuns    = 100
	MaxVessels = 1000
)

// A Source is a run with the chain value of its journal's last line, "" for a run without a journal. Name is what the
// caller calls it by, for errors.
type Source struct {
	Name  string
	State *run.State
	Hash  string
}

// Options narrow a comparison.
type Options struct {
	By      []string // givens to group by; none: all that were varied
	Results []string // results to compare; none: those with a check, or all where no result has one
}

// Of compares the vessels of the runs. The error says which run does not fit, or that no vessel counts.
func Of(sources []Source, o Options) (*Comparison, error) {
	sources = slices.Clone(sources)
	slices.SortStableFunc(sources, func(a, b Source) int {
		if c := a.State.Begun.At.Compare(b.State.Begun.At); c != 0 {
			return c
		}
		return cmp.Or(strings.Compare(a.State.ID, b.State.ID), strings.Compare(a.Hash, b.Hash))
	})
	if err := fit(sources); err != nil {
		return nil, err
	}
	c := &Comparison{Runs: []Run{}, Varied: []Factor{}, By: []string{}, Confounded: []string{}, Results: []Result{}, NotCompared: []string{}}
	c.Protocol = Protocol{sources[0].State.Protocol.ID, sources[0].State.Protocol.Title}
	for i, s := range sources {
		c.add(i+1, s)
	}
	if !slices.ContainsFunc(c.Vessels, func(v Vessel) bool { return v.Counted }) {
		return nil, fmt.Errorf("no vessel of these runs is through to its end: there is nothing to compare yet")
	}
	if err := c.group(sources, o.By); err != nil {
		return nil, err
	}
	c.Remarks = append(versions(sources), c.Remarks...)
	return c, c.compare(protocolsOf(sources), o.Results)
}

func protocolsOf(sources []Source) []*protocol.Protocol {
	out := make([]*protocol.Protocol, len(sources))
	for i, s := range sources {
		out[i] = s.State.Protocol
	}
	return out
}

// An UnknownError says that an option names what the runs do not have.
type UnknownError struct {
	What, ID string
	Known    []string
}

func (e *UnknownError) Error() string {
	return fmt.Sprintf("these runs have no %s %q; there are %s", e.What, e.ID, strings.Join(e.Known, ", "))
}

// fit refuses runs that cannot stand beside one another.
func fit(sources []Source) error {
	if len(sources) == 0 || len(sources) > MaxRuns {
		return fmt.Errorf("%d runs: from 1 to %d can be compared", len(sources), MaxRuns)
	}
	first, n := sources[0], 0
	for i, s := range sources {
		if s.State.Protocol.ID != first.State.Protocol.ID {
			return fmt.Errorf("run %s is of the protocol %s, and run %s of %s: only runs of one protocol can be compared", s.Name,
				s.State.Protocol.ID, first.Name, first.State.Protocol.ID)
		}
		for _, before := range sources[:i] {
			if same(before.State, s.State) {
				return fmt.Errorf("%s and %s are the same run: a vessel counts once; leave one of them out", before.Name, s.Name)
			}
		}
		if n += len(s.State.Vessels); n > MaxVessels {
			return fmt.Errorf("more than %d vessels in these runs: compare fewer of them", MaxVessels)
		}
	}
	return nil
}

// same tells whether two states are of one run, be it at different times.
func same(a, b *run.State) bool {
	return a.ID == b.ID && a.Begun.At.Equal(b.Begun.At)
}

// add takes a run with its vessels.
func (c *Comparison) add(number int, src Source) {
	sum := summary.FromState(src.State)
	r := Run{Number: number, ID: src.State.ID, Version: sum.Protocol.Version, Begun: sum.Run.Begun, Zone: sum.Run.Zone, Ended: sum.Run.Ended,
		Complete: sum.Run.Complete, Hash: src.Hash}
	switch {
	case r.Ended == nil:
		r.Message = "not ended yet"
	case !r.Complete:
		r.Message = "given up" + because(sum.Run.Why)
	}
	c.Runs = append(c.Runs, r)
	for i, v := range sum.Vessels {
		out := Vessel{Run: number, Label: v.Label, all: v.Givens, Givens: summary.Givens{}, group: -1, several: len(sum.Vessels) > 1}
		through := src.State.Vessels[i].Through != nil || r.Complete // on paper no stage is left
		switch {
		case v.GivenUp != "":
			out.Message = "given up" + because(v.GivenUp)
		case !through:
			out.Message = "not through to its end"
		default:
			out.Counted = true
			out.results = make(map[string]summary.Result, len(v.Results))
			for _, one := range v.Results {
				out.results[one.ID] = one
			}
		}
		c.Vessels = append(c.Vessels, out)
	}
}

func because(why string) string {
	if why == "" {
		return ""
	}
	return ": " + why
}

// versions tells of runs that were not done by the same text of the protocol.
func versions(sources []Source) []string {
	var texts []string              // the different ones
	var versions []string           // the different ones
	runs := map[string][]string{}   // version -> numbers of its runs
	textOf := map[string][]string{} // version -> its texts
	for i, s := range sources {
		p := s.State.Protocol
		if !slices.Contains(texts, string(p.Text)) {
			texts = append(texts, string(p.Text))
			textOf[p.Version] = append(textOf[p.Version], string(p.Text))
		}
		if !slices.Contains(versions, p.Version) {
			versions = append(versions, p.Version)
		}
		runs[p.Version] = append(runs[p.Version], fmt.Sprint(i+1))
	}
	var out []string
	if len(versions) > 1 {
		var said []string
		for _, v := range versions {
			said = append(said, fmt.Sprintf("%s (run %s)", v, strings.Join(runs[v], ", ")))
		}
		out = append(out, "These runs are of different versions of the protocol: "+strings.Join(said, ", ")+". Each was worked up by its own.")
	}
	for _, v := range versions {
		if len(textOf[v]) > 1 {
			out = append(out, fmt.Sprintf("The runs of version %s were not done by one and the same protocol file: it was changed without a new version.", v))
		}
	}
	return out
}
