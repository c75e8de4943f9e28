package comparison

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
)

// limits tells what the groups cannot show: what else changed with them.
func (c *Comparison) limits(sources []Source, places map[string][]int) []string {
	out := []string{"Each vessel is one replicate. Several readings in one vessel make it surer, and are no replicates."}
	if len(c.Varied) == 0 {
		return append(out, "No given differs between these vessels: they are one group.")
	}
	out = append(out, c.together(places)...)
	var beside []string
	for _, f := range c.Varied {
		if !slices.Contains(c.By, f.ID) {
			beside = append(beside, f.Title)
		}
	}
	if len(beside) > 0 {
		out = append(out, "Varied as well, and not grouped by: "+strings.Join(beside, ", ")+". What it does is in the scatter or in the differences.")
	}
	if len(c.Groups) > 1 && !slices.ContainsFunc(c.Groups, func(g Group) bool { return g.N > 1 }) {
		said := "Every vessel is a group of its own: there are no replicates."
		if len(c.By) > 1 {
			said += " Grouping by one given alone (--by) may make some."
		}
		out = append(out, said)
	}
	return append(out, c.confounding(sources)...)
}

// together tells of givens that always changed together.
func (c *Comparison) together(places map[string][]int) []string {
	var out []string
	for i, f := range c.Varied {
		for _, g := range c.Varied[i+1:] {
			if len(f.Levels) == len(g.Levels) && oneToOne(places[f.ID], places[g.ID]) {
				c.Confounded = append(c.Confounded, f.ID+" "+g.ID)
				out = append(out, fmt.Sprintf("%s and %s always changed together: which of the two made a difference can not be told.", f.Title, g.Title))
			}
		}
	}
	return out
}

// oneToOne tells whether two divisions of the vessels are the same one.
func oneToOne(a, b []int) bool {
	there, back := map[int]int{}, map[int]int{}
	for i := range a {
		if a[i] < 0 {
			continue
		}
		if x, known := there[a[i]]; known && x != b[i] {
			return false
		}
		if x, known := back[b[i]]; known && x != a[i] {
			return false
		}
		there[a[i]], back[b[i]] = b[i], a[i]
	}
	return true
}

// confounding tells where the run or the day changed with the group.
func (c *Comparison) confounding(sources []Source) []string {
	if len(c.Groups) < 2 {
		return nil
	}
	runOf, dayOf := map[int]string{}, map[int]string{} // by the run's number
	for i, s := range sources {
		runOf[i+1] = "run " + strconv.Itoa(i+1)
		dayOf[i+1] = day(s)
	}
	byRun := c.apart(runOf)
	counted, runs := 0, map[int]bool{}
	for _, v := range c.Vessels {
		if v.Counted {
			counted++
			runs[v.Run] = true
		}
	}
	switch {
	case len(byRun) < 2: // some run has vessels of several groups, and they hang together
		return c.crossing("run", runOf)
	case !slices.ContainsFunc(byRun, func(p apart) bool { return len(p.of) > 1 }):
		c.Confounded = append(c.Confounded, "run")
		return []string{"Run and group can not be told apart: " + c.tellApart(byRun, "in") +
			". A difference may come of what was varied, or of the day, the hands and the bench of that run. Put every group into every run."}
	case len(runs) < counted:
		return []string{"No run has vessels of all groups: those of one run share its day and its hands, so they may scatter less than vessels" +
			" of different runs, and a difference looks surer than it is."}
	}
	byDay := c.apart(dayOf)
	if len(byDay) < 2 {
		return c.crossing("day", dayOf)
	}
	if !slices.ContainsFunc(byDay, func(p apart) bool { return len(p.of) > 1 }) {
		c.Confounded = append(c.Confounded, "day")
		return []string{"Day and group can not be told apart: " + c.tellApart(byDay, "on") + ". Mix the groups over the days."}
	}
	return nil
}

// crossing takes the run, or the day, for a block, where there are several: every difference of groups can be had
// within them.
func (c *Comparison) crossing(what string, of map[int]string) []string {
	c.blockOf = map[int]int{}
	var names []string
	for _, v := range c.Vessels {
		if !v.Counted {
			continue
		}
		if !slices.Contains(names, of[v.Run]) {
			names = append(names, of[v.Run])
		}
		c.blockOf[v.Run] = slices.Index(names, of[v.Run])
	}
	if len(names) < 2 {
		return nil
	}
	c.Blocks = what
	return []string{fmt.Sprintf("Groups and %ss cross: the %s is a block. What the vessels of one %s have in common is taken out of the scatter, and what is"+
		" shown rests on that test; the one without blocks stands beside it.", what, what, what)}
}

// day is the date on which a run was begun, at its place; one without a date has its own.
func day(s Source) string {
	at := s.State.Begun.At
	if at.Year() <= 1 {
		return "run " + s.Name
	}
	if zone, err := time.Parse("-07:00", s.State.Zone); err == nil {
		at = at.In(zone.Location())
	}
	return at.Format("2006-01-02")
}

// apart is a part of the groups that shares no run, or day, with the others.
type apart struct {
	groups []int
	of     []string // its runs or days
}

// apart divides the groups into parts that have no run, or day, in common.
func (c *Comparison) apart(of map[int]string) []apart {
	var parts []apart
	for _, v := range c.Vessels {
		if !v.Counted {
			continue
		}
		merged := apart{[]int{v.group}, []string{of[v.Run]}}
		rest := parts[:0:0]
		for _, p := range parts {
			if !slices.Contains(p.groups, v.group) && !slices.Contains(p.of, of[v.Run]) {
				rest = append(rest, p)
				continue
			}
			merged.groups = append(merged.groups, p.groups...)
			merged.of = append(merged.of, p.of...)
		}
		slices.Sort(merged.groups)
		slices.Sort(merged.of)
		merged.groups, merged.of = slices.Compact(merged.groups), slices.Compact(merged.of)
		parts = append(rest, merged)
	}
	slices.SortFunc(parts, func(a, b apart) int { return slices.Compare(a.groups, b.groups) })
	return parts
}

// mostNamed bounds a list in a sentence.
const mostNamed = 6

// tellApart names the parts: "ethanol in run 1, ester in run 2".
func (c *Comparison) tellApart(parts []apart, where string) string {
	var said []string
	for i, p := range parts {
		if i == mostNamed {
			said = append(said, "and so on")
			break
		}
		var names []string
		for _, g := range p.groups {
			names = append(names, c.Groups[g].Name)
		}
		said = append(said, strings.Join(names, "; ")+" "+where+" "+strings.Join(p.of, "; "))
	}
	return strings.Join(said, ", ")
}
