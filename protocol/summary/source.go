package summary

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// aspects are what a source of uncertainty is of its instrument or reading.
var aspects = map[string]string{"step": "smallest step", "tolerance": "tolerance", "u": "repeatability", "offset": "shared offset",
	"gain": "shared gain", "graduation": "graduation error"}

// A cause is a source of uncertainty as a person sees it.
type cause struct {
	title string // "smallest step of Flask, empty in B"
	group string // the same for sources with one remedy: an instrument's steps in all its readings
	what  string // the group in words: "the 0.5 mL step of the cylinder"
	mend  string // what would make it smaller
}

// sourceOf tells what the name of a source stands for.
func sourceOf(name string, p *protocol.Protocol) cause {
	kind, rest, ok := strings.Cut(name, ":")
	id, aspect, _ := strings.Cut(rest, "/")
	id, vessel, ofVessel := strings.Cut(id, "@")
	switch {
	case !ok:
		return cause{name, name, name, "find a better value for it"}
	case kind == "reading" || kind == "instrument":
		c := ofInstrument(kind, id, aspect, p)
		if ofVessel {
			c.title += " in " + vessel
		}
		return c
	case kind == "given":
		said := id
		if g := p.Given(id); g != nil {
			said = title(g.Title, g.ID)
		}
		where := said
		if ofVessel {
			where += " in " + vessel
		}
		return cause{where, kind + id, "the given “" + said + "”", "find a better value for it, by a certificate or by measuring it"}
	case kind == "profile":
		return composition(id, aspect)
	case kind == "table" && id == "oil":
		oil, acid, _ := strings.Cut(aspect, "/")
		return composition(oil, acid)
	}
	return observed(kind, rest)
}

// composition tells of one acid of an oil; they have one remedy.
func composition(oil, acid string) cause {
	said := strings.ReplaceAll(oil, "_", " ")
	return cause{acid + " in " + said, "composition:" + oil, "the composition of " + said, "have the fatty acids of this very oil analysed"}
}

// observed tells of the sources that calculations bring with them.
func observed(kind, rest string) cause {
	said := strings.NewReplacer("_", " ", ":", " ", "/", " ").Replace(rest)
	of, _, _ := strings.Cut(rest, "/")
	of = strings.ReplaceAll(of, "_", " ")
	switch kind + ":" {
	case quantity.Fits:
		return cause{"scatter about the fit of " + of, kind + of, "the scatter about the fit", "take more readings, over a longer time"}
	case quantity.Repeats:
		return cause{"scatter of repeated " + of, kind + of, "the scatter of the repeated readings", "take more of them; a better instrument would change little"}
	case quantity.Replicates:
		return cause{"scatter between the replicates of " + of, kind + of, "the scatter between the replicates", "repeat the experiment; a better instrument would change little"}
	}
	return cause{kind + " value, " + said, kind + rest, "the " + kind + " value “" + said + "”", "find a better value, or measure it on this material"}
}

func ofInstrument(kind, id, aspect string, p *protocol.Protocol) cause {
	said, in := id, (*protocol.Instrument)(nil)
	if kind == "reading" {
		base, n, many := strings.Cut(id, ".")
		if r := p.Reading(base); r != nil {
			said, in = title(r.Title, r.ID), r.Instrument
		}
		if many {
			said += " " + n
		}
	} else {
		for _, one := range p.Instruments {
			if one.ID == id {
				said, in = title(one.Title, one.ID), one
			}
		}
	}
	aspect, mark, ofMark := strings.Cut(aspect, "/")
	word, known := aspects[aspect]
	if !known {
		word = aspect
	}
	c := cause{title: strings.TrimPrefix(word+" of "+said, " of "), group: kind + id + aspect}
	if ofMark {
		c.title += " at " + mark
	}
	c.what, c.mend = "the "+c.title, "take it with a better instrument"
	if in != nil {
		c.group = in.ID + "/" + aspect
		name, _, _ := strings.Cut(title(in.Title, in.ID), ",") // "Cylinder, 1 mL divisions" is the cylinder
		if name = strings.TrimSpace(name); name == "" {
			name = in.ID
		}
		c.what = fmt.Sprintf("the %s of the %s", strings.TrimLeft(width(in, aspect)+" "+strings.TrimPrefix(word, "smallest "), " "), lower(name))
		c.mend = mend(in, aspect)
	}
	return c
}

// width shows how wide an aspect of an instrument is: "0.5 mL".
func width(in *protocol.Instrument, aspect string) string {
	x := map[string]float64{"step": in.Step, "tolerance": in.Tolerance, "u": in.U, "offset": in.Offset, "graduation": in.Graduation}[aspect]
	if aspect == "gain" {
		return quantity.Plain(in.Gain*100, 4) + " %"
	}
	if x == 0 {
		return ""
	}
	return strings.TrimRight(quantity.Plain(x, 4)+" "+in.Unit.Interval().Shown(), " ")
}

var litre = quantity.MustUnit("L")

// mend tells what the hands can do about an aspect of an instrument.
func mend(in *protocol.Instrument, aspect string) string {
	said, known := mends[aspect]
	if glass, ok := mendsOfVolume[aspect]; ok && in.Unit.Fits(litre) {
		return glass
	}
	if !known {
		return "take it with a better instrument"
	}
	return said
}

var mends = map[string]string{
	"step":       "read on a finer scale",
	"tolerance":  "take a better instrument, or the mean of several readings",
	"u":          "practise the reading, take the mean of several, or a better instrument",
	"offset":     "calibrate it, or take a difference of two readings on it",
	"gain":       "calibrate it against a known value",
	"graduation": "take one of a better class",
}

// A volume that is read off glass gets no better by reading it again, nor by a difference: every mark has its own
// error.
var mendsOfVolume = map[string]string{
	"step":       "take a narrower vessel with finer marks, or weigh instead",
	"tolerance":  "take a smaller or a better one, or weigh instead",
	"u":          "practise the reading, take the mean of several, or measure a larger volume",
	"offset":     "calibrate it by weighing water, or weigh instead",
	"gain":       "calibrate it by weighing water, or weigh instead",
	"graduation": "take a smaller vessel or one of a better class, or weigh instead",
}

// causesOf returns what lies behind an uncertainty, sources with one remedy taken together, the largest first; advice
// names the one instrument or habit whose improvement would help most.
func causesOf(q quantity.Quantity, p *protocol.Protocol) (causes []Cause, advice string) {
	var said []cause
	number := map[string]int{}
	for _, b := range q.Budget() {
		c := sourceOf(b.Source, p)
		n, known := number[c.group]
		if !known {
			n = len(causes)
			number[c.group] = n
			causes, said = append(causes, Cause{Title: c.what}), append(said, c)
		}
		causes[n].Share += b.Share
	}
	if len(causes) == 0 {
		return []Cause{}, ""
	}
	most := 0
	for i := range causes {
		if causes[i].Share > causes[most].Share {
			most = i
		}
	}
	c := said[most]
	advice = fmt.Sprintf("%s is %s of the variance: %s.", capital(c.what), percent(causes[most].Share), c.mend)
	slices.SortStableFunc(causes, func(a, b Cause) int { return cmp.Compare(b.Share, a.Share) })
	return causes, advice
}

func percent(share float64) string {
	if n := int(math.Round(share * 100)); n < 100 {
		return strconv.Itoa(n) + " %"
	}
	return "all"
}

func capital(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// lower begins a title with a small letter, unless it is an abbreviation such as "pH paper" or "KOH".
func lower(s string) string {
	r := []rune(s)
	if len(r) == 0 || len(r) > 1 && strings.ToUpper(string(r[1])) == string(r[1]) {
		return s
	}
	return strings.ToLower(string(r[:1])) + string(r[1:])
}
