package command

import (
	"sort"
	"strings"
)

// nearest says which of the names may be meant by typed: the closest ones, or all where none is close.
func nearest(typed string, names []string) string {
	if len(names) == 0 {
		return "there is none yet"
	}
	far := func(name string) int { return distance(strings.ToLower(typed), strings.ToLower(name)) }
	var close []string
	for _, name := range names {
		if d := far(name); d <= max(2, len(typed)/3) || (len(typed) > 2 && strings.Contains(name, typed)) {
			close = append(close, name)
		}
	}
	sort.SliceStable(close, func(i, j int) bool { return far(close[i]) < far(close[j]) })
	switch {
	case len(close) > 0:
		return "nearest: " + strings.Join(close[:min(3, len(close))], ", ")
	case len(names) <= 16:
		return "known: " + strings.Join(names, ", ")
	}
	return "known are " + strings.Join(names[:12], ", ") + " and others"
}

// distance counts the letters to insert, leave out or change from a to b.
func distance(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i, r := range from {
		above := row[0] // the cell above and to the left
		row[0] = i + 1
		for j, s := range to {
			change := above
			if r != s {
				change++
			}
			above = row[j+1]
			row[j+1] = min(change, row[j]+1, above+1)
		}
	}
	return row[len(to)]
}
