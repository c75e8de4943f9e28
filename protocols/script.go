package protocols

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// A Script is a run on invented readings, act by act, as an operator would type it.
//
// Its file has a head and then one act a line, with tabs between:
//
//	protocol = ester-batch            the procedure that it plays
//	title = One batch …
//	vessels = 2                       labelled A, B, C, …; 1 when not said
//	given surplus = 2 %               for every vessel
//	given B.fuel = ester              for vessel B
//
//	0:12:40	A	53.9                 time since the run began, vessel, what is typed; nothing typed is Enter alone
//
// A vessel "-" stands for the whole run, a line that begins with # is a remark. The acts stand in order of time.
type Script struct {
	Protocol, Title string
	Vessels         []string
	Givens          map[string]map[string]string // label -> id -> as typed; label "" is every vessel
	Lines           []Line
}

// A Line is one act. Vessel is "" when it is of the whole run.
type Line struct {
	At            time.Duration
	Vessel, Typed string
	Number        int  // line of the file, from 1
	Answer        bool // to a question, as far as a rehearsal has found out; the file does not say it
}

// GivensOf returns the givens of a vessel: those of every vessel, with its own put over them.
func (s Script) GivensOf(vessel string) map[string]string {
	out := map[string]string{}
	for _, label := range []string{"", vessel} {
		for id, typed := range s.Givens[label] {
			out[id] = typed
		}
	}
	return out
}

// MaxVessels is how many vessels a script may have: one for each letter from A.
const MaxVessels = 12

// ParseScript reads a script. The error names every faulty line as file:line: what is wrong.
func ParseScript(file string, text []byte) (Script, error) {
	r := reader{file: file, s: Script{Vessels: labels(1), Givens: map[string]map[string]string{}}}
	if !utf8.Valid(text) {
		return r.s, fmt.Errorf("%s:1: the file is not UTF-8", file)
	}
	for i, line := range strings.Split(strings.TrimPrefix(string(text), "\ufeff"), "\n") {
		r.number = i + 1
		r.line(strings.TrimSuffix(line, "\r"))
	}
	r.number = 1
	if r.s.Protocol == "" {
		r.fault("no protocol is named; write protocol = ID")
	}
	if len(r.s.Lines) == 0 {
		r.fault("there is no act; write 0:00:00, a tab, -, a tab")
	}
	r.vesselsKnown()
	return r.s, errors.Join(r.faults...)
}

type reader struct {
	file   string
	number int
	s      Script
	faults []error
}

func (r *reader) fault(format string, args ...any) {
	r.faults = append(r.faults, fmt.Errorf("%s:%d: %s", r.file, r.number, fmt.Sprintf(format, args...)))
}

func (r *reader) line(line string) {
	switch {
	case strings.TrimSpace(line) == "" || strings.HasPrefix(line, "#"):
	case line[0] >= '0' && line[0] <= '9':
		r.act(line)
	default:
		r.head(line)
	}
}

func (r *reader) head(line string) {
	key, value, ok := strings.Cut(line, "=")
	key, value = strings.TrimSpace(key), strings.TrimSpace(value)
	switch given, isGiven := strings.CutPrefix(key, "given "); {
	case !ok:
		r.fault("%q is neither an act nor a line of the head; write 0:12:40, a tab, A, a tab, what is typed", line)
	case len(r.s.Lines) > 0:
		r.fault("%s stands below the first act; write it above", key)
	case value == "":
		r.fault("%s has no value", key)
	case isGiven:
		r.given(strings.TrimSpace(given), value)
	case key == "protocol":
		r.s.Protocol = value
	case key == "title":
		r.s.Title = value
	case key == "vessels":
		n, err := strconv.Atoi(value)
		if err != nil || n < 1 || n > MaxVessels {
			r.fault("vessels = %s; write a number from 1 to %d", value, MaxVessels)
			return
		}
		r.s.Vessels = labels(n)
	default:
		r.fault("%q is not known; write protocol, title, vessels or given ID", key)
	}
}

func (r *reader) given(name, value string) {
	label, id, one := strings.Cut(name, ".")
	if !one {
		label, id = "", name
	}
	if id == "" {
		r.fault("given %s has no id; write given ID or given A.ID", name)
		return
	}
	if r.s.Givens[label] == nil {
		r.s.Givens[label] = map[string]string{}
	}
	if _, twice := r.s.Givens[label][id]; twice {
		r.fault("given %s is set twice", name)
	}
	r.s.Givens[label][id] = value
}

func (r *reader) act(line string) {
	fields := strings.SplitN(line, "\t", 3)
	if len(fields) < 2 {
		r.fault("%q has no tab; write 0:12:40, a tab, A, a tab, what is typed", line)
		return
	}
	at, err := elapsed(fields[0])
	if err != nil {
		r.fault("%v", err)
		return
	}
	if n := len(r.s.Lines); n > 0 && at < r.s.Lines[n-1].At {
		r.fault("%s is earlier than the act before it", fields[0])
	}
	act := Line{At: at, Vessel: fields[1], Number: r.number}
	if act.Vessel == "-" {
		act.Vessel = ""
	}
	if len(fields) == 3 {
		act.Typed = strings.TrimSpace(fields[2])
	}
	r.s.Lines = append(r.s.Lines, act)
}

// vesselsKnown reports acts and givens of vessels that the script does not have.
func (r *reader) vesselsKnown() {
	known := map[string]bool{"": true}
	for _, v := range r.s.Vessels {
		known[v] = true
	}
	for _, label := range slices.Sorted(maps.Keys(r.s.Givens)) {
		if !known[label] {
			r.fault("a given is set for vessel %s, which the run does not have; write vessels = N", label)
		}
	}
	for _, l := range r.s.Lines {
		if !known[l.Vessel] {
			r.number = l.Number
			r.fault("there is no vessel %q; write one of %s, or - for the whole run", l.Vessel, strings.Join(r.s.Vessels, " "))
		}
	}
}

func labels(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = string(rune('A' + i))
	}
	return out
}

// elapsed reads H:MM:SS.
func elapsed(text string) (time.Duration, error) {
	parts := strings.Split(text, ":")
	wrong := fmt.Errorf("%q is no time since the run began; write H:MM:SS, such as 1:05:30", text)
	if len(parts) != 3 {
		return 0, wrong
	}
	var n [3]int
	for i, p := range parts {
		v, err := strconv.ParseUint(p, 10, 16)
		if err != nil || (i > 0 && (len(p) != 2 || v > 59)) {
			return 0, wrong
		}
		n[i] = int(v)
	}
	return time.Duration(n[0])*time.Hour + time.Duration(n[1])*time.Minute + time.Duration(n[2])*time.Second, nil
}
