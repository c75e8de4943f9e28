package bench

import (
	"slices"
	"strings"

	"example.org/meniscus/calc/reference"
	"example.org/meniscus/tui"
)

// A warning is what cautionRows tells.
type warning struct {
	rows  []row
	whole bool
}

// cautionRows tells what to beware of in at most n rows, and whether that is all of it. What does not fit goes in this
// order: the words of hazard statements, the least grave first, whose codes stay; then the plain sentences, from the last on.
// The key that shows all of it stands in their place.
func (p panel) cautionRows(n int) (rows []row, whole bool) {
	if len(p.view.Cautions) == 0 || n < 1 {
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
	lines := p.wrap(strings.Join(p.view.Cautions, " "), p.w-2)
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
	statements, plain := cautionParts(p.view.Cautions)
	gravest := byGravity(statements)
	all := "More: " + p.help
	for said := len(plain); said >= 0; said-- {
		for worded := len(statements); worded >= 0; worded-- {
			parts := append(withCodes(statements, gravest[:worded]), plain[:said]...)
			if lines := p.wrap(strings.Join(append(parts, all), " "), p.w-2); len(lines) <= n {
				return lines
			}
			if lines := p.wrap(strings.Join(parts, " "), p.w-2); said == len(plain) && len(lines) <= n {
				return lines
			}
		}
	}
	return []string{p.fit("Beware: "+p.help, p.w-2)}
}

// cautionParts parts the hazard statements from the sentences in plain words.
func cautionParts(cautions []string) (statements, plain []string) {
	for _, c := range cautions {
		if hazardCode(c) != "" {
			statements = append(statements, c)
			continue
		}
		plain = append(plain, sentences(c)...)
	}
	return statements, plain
}

// byGravity are the places of statements, that of the gravest first; of equally grave ones, that of the first.
func byGravity(statements []string) []int {
	places := make([]int, len(statements))
	for i := range places {
		places[i] = i
	}
	slices.SortStableFunc(places, func(i, j int) int {
		return reference.ByGravity(hazardCode(statements[i]), hazardCode(statements[j]))
	})
	return places
}

// withCodes are the statements in their order: those at the places that are worded in words, of the others the codes.
func withCodes(statements []string, worded []int) []string {
	var out, codes []string
	said := func() {
		if codes != nil {
			out, codes = append(out, strings.Join(codes, ", ")+"."), nil
		}
	}
	for i, s := range statements {
		if !slices.Contains(worded, i) {
			codes = append(codes, hazardCode(s))
			continue
		}
		said()
		out = append(out, s)
	}
	said()
	return out
}

// hazardCode is the code before the words of a hazard statement, such as H225 or EUH066; "" for any other text.
func hazardCode(s string) string {
	code, _, ok := strings.Cut(s, " ")
	digits := strings.TrimPrefix(strings.TrimPrefix(code, "EU"), "H")
	if !ok || !strings.HasPrefix(strings.TrimPrefix(code, "EU"), "H") || len(digits) < 3 || strings.Trim(digits[:3], "0123456789") != "" {
		return ""
	}
	return code
}
