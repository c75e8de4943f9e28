package command

import (
	"strings"

	"example.org/meniscus/protocol"
)

// A factor is a given that is varied from vessel to vessel.
type factor struct {
	id     string
	levels []string
}

// vary deals the levels of each --vary id=v1,v2 out to vessels: every combination once, the first factor changing
// fastest, and then again from the first while there are vessels left. It returns how many vessels that takes (n when
// that is more) and the settings, as --given has them. A level may hold a comma as decimal mark only where no list is
// meant, so levels are written with a point.
func vary(p *protocol.Protocol, n int, asked bool, varied []string) (int, []string, error) {
	var factors []factor
	combinations := 1
	for _, v := range varied {
		f, err := readFactor(p, v)
		if err != nil {
			return 0, nil, err
		}
		factors = append(factors, f)
		if combinations *= len(f.levels); combinations > mostVessels {
			return 0, nil, wrong("--vary asks for more than %d combinations; vary less", mostVessels)
		}
	}
	switch {
	case !asked:
		n = combinations
	case n < combinations:
		return 0, nil, wrong("--vary asks for %d combinations and --vessels is %d; write --vessels %d or more", combinations, n, combinations)
	}
	var set []string
	for i := 0; i < min(n, mostVessels); i++ {
		rest := i % combinations
		for _, f := range factors {
			set = append(set, string(rune('A'+i))+"."+f.id+"="+f.levels[rest%len(f.levels)])
			rest /= len(f.levels)
		}
	}
	return n, set, nil
}

func readFactor(p *protocol.Protocol, text string) (factor, error) {
	id, list, ok := strings.Cut(text, "=")
	f := factor{id: strings.TrimSpace(id)}
	for _, level := range strings.Split(list, ",") {
		if level = strings.TrimSpace(level); level != "" {
			f.levels = append(f.levels, level)
		}
	}
	if !ok || f.id == "" || len(f.levels) < 2 {
		return f, wrong("--vary %q varies nothing; write --vary id=v1,v2 with two values or more", text)
	}
	g := p.Given(f.id)
	switch {
	case g == nil:
		return f, wrong("--vary %s: protocol %s has no given %q; %s", text, p.ID, f.id, nearest(f.id, givenIDs(p)))
	case !g.PerVessel:
		return f, wrong("--vary %s: %s is the same for all vessels", text, f.id)
	}
	return f, nil
}
