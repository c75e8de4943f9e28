package bench

import (
	"cmp"
	"strings"

	"example.org/meniscus/protocol"
	"example.org/meniscus/tui"
)

// A warning is what cautionRows tells.
type warning struct {
	rows  []row
	whole bool
}

// cautionRows tells what to beware of in at most n rows, and whether that is all of it. What does not fit goes in this
// order: the words of hazard statements, the least grave first, whose codes stay with what they are said of; then the
// plain sentences, from the last on; then what the codes are said of. The key that shows all of it stands in their
// place.
func (p panel) cautionRows(n int) (rows []row, whole bool) {
	if len(p.view.Hazards)+len(p.view.Cautions) == 0 || n < 1 {
		return nil, true
	}
	known, ok := p.beware[n]
	if !ok {
		known.rows, known.whole = p.newCautionRows(n)
		if p.beware != nil {
			p.beware[n] = known
		}
	}
	return known.rows, known.whole
}

func (p panel) newCautionRows(n int) (rows []row, whole bool) {
	hazards := p.view.Hazards
	lines := p.wrap(protocol.Beware(hazards, len(hazards), p.view.Cautions), p.w-2)
	if whole = len(lines) <= n; !whole {
		lines = p.briefCautions(n)
	}
	for i, line := range lines {
		r := row{role: tui.Ink, text: line, before: "  ", sign: tui.Warn}
		if i == 0 {
			r.before = p.caution + " "
		}
		rows = append(rows, r)
	}
	return rows, whole
}

// briefCautions is the fullest wording that n rows have room for.
func (p panel) briefCautions(n int) []string {
	hazards := p.view.Hazards
	var plain []string
	for _, c := range p.view.Cautions {
		plain = append(plain, sentences(c)...)
	}
	all := "More: " + p.help
	for said := len(plain); said >= 0; said-- {
		for worded := len(hazards); worded >= 0; worded-- {
			text := protocol.Beware(hazards, worded, plain[:said])
			if lines := p.wrap(strings.TrimSpace(text+" "+all), p.w-2); len(lines) <= n {
				return lines
			}
			if lines := p.wrap(text, p.w-2); said == len(plain) && len(lines) <= n {
				return lines
			}
		}
	}
	if len(hazards) == 0 {
		return []string{p.fit("Beware: "+p.help, p.w-2)}
	}
	var codes []string
	for _, h := range hazards {
		codes = append(codes, h.Code)
	}
	signal := cmp.Or(protocol.SignalWord(hazards), "Beware") + ": "
	if lines := p.wrap(signal+strings.Join(codes, ", ")+". "+all, p.w-2); len(lines) <= n {
		return lines
	}
	return []string{p.fit(signal+p.help, p.w-2)}
}
