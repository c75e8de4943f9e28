package formula

import (
	"slices"
	"strings"
)

// unknownName says that no value has this name, with the nearest one that has.
func (c *checker) unknownName(e *expr) error {
	return c.fault(e, c.nearestName(e.word), "%s is no given, amount, reading or result", e.word)
}

func (c *checker) nearestName(word string) string {
	if k, ok := c.names.(KnownNames); ok {
		return nearest(word, k.Known())
	}
	return ""
}

func (c *checker) unknownFunction(e *expr) error {
	if _, ok := c.names.Type(e.word); ok {
		return c.fault(e, e.word+" alone, or "+e.word+" * (…)", "%s is no function", e.word)
	}
	names := make([]string, 0, len(c.functions))
	for n := range c.functions {
		names = append(names, n)
	}
	meant := otherwise[e.word]
	if !slices.Contains(names, meant) {
		meant = nearest(e.word, names)
	}
	return c.fault(e, meant, "there is no function %s", e.word)
}

// otherwise are names by which other programs call a function.
var otherwise = map[string]string{
	"average": "mean", "avg": "mean", "stdev": "sd", "stddev": "sd", "std": "sd", "total": "sum", "len": "count", "length": "count",
	"minimum": "min", "maximum": "max",
}

// oneOf is the row that was probably meant, or all that there are.
func oneOf(word string, rows []string) string {
	if meant := nearest(word, rows); meant != "" {
		return meant
	}
	return "one of " + strings.Join(rows, ", ")
}

// nearest returns the candidate that word was probably meant to be, or "". Of equals the first by the alphabet wins.
func nearest(word string, candidates []string) string {
	sorted := slices.Clone(candidates)
	slices.Sort(sorted)
	best, least := "", 1+max(1, len([]rune(word))/3)
	for _, s := range sorted {
		if d := distance(strings.ToLower(word), strings.ToLower(s)); d < least {
			best, least = s, d
		}
	}
	return best
}

// distance counts the letters to put in, take out, change or swap with a neighbour to get from one word to the other.
func distance(from, to string) int {
	a, b := []rune(from), []rune(to)
	before, last := make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := range a {
		row := make([]int, len(b)+1)
		row[0] = i + 1
		for j := range b {
			change := last[j]
			if a[i] != b[j] {
				change++
			}
			row[j+1] = min(change, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last = last, row
	}
	return last[len(b)]
}

// quoted puts a text in quotes as a formula writes it; "" stays as it is.
func quoted(s string) string {
	if s == "" {
		return ""
	}
	return `"` + s + `"`
}

// list joins names for a message, at most eight of them.
func list(names []string) string {
	if len(names) > 8 {
		return strings.Join(names[:8], ", ") + ", …"
	}
	return strings.Join(names, ", ")
}
