package tui

import (
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// command reads a typed line, which is not empty of meaning to the face itself; refused says why it means nothing.
func (o *Operator) command(line string, typedAt time.Duration) (c run.Command, refused string) {
	c.Vessel = o.About(line)
	why, isYes := strings.CutPrefix(line, "y ")
	switch {
	case !o.Engine.State.Acknowledged && (line == "" || isYes):
		return run.Command{Do: run.Acknowledge{Why: why}}, ""
	case line == "":
		c.Do = run.Forward{}
		return c, ""
	}
	if after, ok := strings.CutPrefix(line, "@"); ok {
		return o.late(c, after)
	}
	first, size := utf8.DecodeRuneInString(line)
	rest := strings.TrimSpace(line[size:])
	if !unicode.IsLetter(first) || !standsAlone(line, size) {
		if Printable(first) && !StartsReading(first) {
			return c, "“" + shorten(line) + "” means nothing here: begin with a digit for a reading, with n and a blank for a note, or type ? for help."
		}
		c.Do = run.Take{Typed: line, TypedAt: typedAt}
		return c, ""
	}
	switch first {
	case 't':
		c.Do = run.Take{Typed: rest, TypedAt: typedAt}
	case 'n':
		c.Do = run.Note{Text: rest}
	case 'x':
		c.Do = run.LeaveOut{Why: rest}
	case 's':
		c.Do = run.Skip{Why: rest}
	case 'y':
		c.Do = run.EndWait{Why: rest}
	case 'd':
		c.Do = run.EndVessel{Why: rest}
	case 'z':
		c = run.Command{Do: run.End{Why: rest}}
	case 'c':
		return o.correction(c, rest)
	case 'u':
		if rest == "" {
			c.Do = run.Undo{}
			break
		}
		name, why := o.named(rest)
		c.Do = run.TakeBack{Reading: name, Why: why}
	case 'g':
		value, why := parted(rest)
		c.Do = run.Again{Typed: value, Why: why}
	case 'e':
		return o.extension(c, rest)
	case 'v':
		return o.another(rest)
	case 'a':
		c = run.Command{Do: run.GoAway{}}
		if o.Engine.State.Away != nil {
			c.Do = run.ComeBack{}
		}
	default:
		return c, "“" + string(first) + "” is no key here: type ? for help."
	}
	return c, ""
}

// standsAlone tells whether a command letter is followed by a blank, a digit or nothing, so that a word is not taken
// for a command.
func standsAlone(line string, size int) bool {
	if len(line) == size {
		return true
	}
	r, _ := utf8.DecodeRuneInString(line[size:])
	return unicode.IsSpace(r) || unicode.IsDigit(r)
}

func (o *Operator) extension(c run.Command, rest string) (run.Command, string) {
	by, why, _ := strings.Cut(rest, " ")
	m, err := strconv.ParseFloat(strings.Replace(by, ",", ".", 1), 64)
	if err != nil || m <= 0 || m > 24*60 {
		return c, "Say by how many minutes: e 5, then why."
	}
	c.Do = run.Extend{By: time.Duration(m * float64(time.Minute)).Truncate(time.Second), Why: strings.TrimSpace(why)}
	return c, ""
}

func shorten(line string) string {
	if r := []rune(line); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return line
}

// another reads "id=value id2=value2": a vessel that joins the run. A value may hold blanks. What is the same for all
// vessels is so for this one.
func (o *Operator) another(rest string) (c run.Command, refused string) {
	s := o.Engine.State
	givens := map[string]string{}
	for _, g := range s.Protocol.Givens {
		if set := s.Vessels[0].Set[g.ID]; !g.PerVessel && set != "" {
			givens[g.ID] = set
		}
	}
	id := ""
	for _, word := range strings.Fields(rest) {
		name, value, set := strings.Cut(word, "=")
		if !set && id != "" && Clean(word) == word {
			givens[id] = strings.TrimSpace(givens[id] + " " + word)
			continue
		}
		g := s.Protocol.Given(name)
		switch {
		case Clean(word) != word:
			return c, "“" + shorten(Clean(word)) + "” came with a sign that cannot be seen: type it again."
		case !set:
			return c, "Say what is given to the new vessel as v id=value, found “" + shorten(word) + "”; v alone takes what the protocol gives."
		case g == nil:
			return c, "The protocol has no given “" + shorten(name) + "”; it has " + strings.Join(givenIDs(s.Protocol), ", ") + "."
		case !g.PerVessel:
			return c, g.Title + " is the same for all vessels."
		}
		id = name
		givens[id] = value
	}
	return run.Command{Do: run.AddVessel{Givens: givens}}, ""
}

// givenIDs lists what can be given to one vessel.
func givenIDs(p *protocol.Protocol) []string {
	var ids []string
	for _, g := range p.Givens {
		if g.PerVessel {
			ids = append(ids, g.ID)
		}
	}
	return ids
}
