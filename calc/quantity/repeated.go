package quantity

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"
)

// Repeated tells whether repeated readings or a fit lie behind q, so that their scatter was looked at.
func (q Quantity) Repeated() bool { return q.Alone != nil }

// InstrumentsAlone returns q as uncertain as its instruments, givens and tables alone make it, without any observed
// scatter.
func (q Quantity) InstrumentsAlone() Quantity {
	q.By, q.Alone = q.alone(), nil
	return q
}

// Sampled returns q with the standard uncertainty u of one source in place of all its others, which Alone keeps: for a
// standard deviation, which is uncertain because the sample is small.
func Sampled(q Quantity, s Source, u float64) Quantity {
	return Quantity{Value: q.Value, Unit: q.Unit, By: []Effect{{s, u}}, Alone: present(q.alone())}
}

// Deviation returns q, the standard deviation of the inputs' scatter with what they make of its uncertainty, as
// uncertain as so small a sample leaves it where that is more: σ/sqrt(2 DoF) (JCGM 100:2008, E.4.3), where σ is q or,
// if that is more, what the inputs' own sources let them scatter: readings that are alike by chance do not scatter by
// exactly nothing. One unit of the inputs is scale units of q.
func (sc Scatter) Deviation(q Quantity, inputs []Quantity, scale float64) Quantity {
	if q.Drawn {
		return q
	}
	s := math.Max(q.Value, scale*sc.own(inputs, sharedSources(inputs)))
	if u := s / math.Sqrt(2*sc.DoF); u > q.U() {
		return Sampled(q, Source{Name: sc.Name + "/s", DoF: sc.DoF}, u)
	}
	return q
}

// AsOneOf returns q, a reading that is none of those that scatter by sc or the mean of p such readings, no surer than
// they are: S/√p, whose degrees of freedom are sc's. The own scatter of so few readings would often be too small by
// chance; it counts as far as it is more than chance makes of S: the 97.5 % point of F. What else makes q uncertain
// stays.
func (sc Scatter) AsOneOf(q Quantity) Quantity {
	if q.Drawn {
		return q
	}
	const chance = 0.975
	p, seen, rest := 1.0, 0.0, 0.0
	for _, e := range q.By {
		switch {
		case !isRepeats(e.Source):
			rest += e.Amount * e.Amount
		case seen == 0 || e.Source.DoF+1 < p:
			p = e.Source.DoF + 1
			fallthrough
		default:
			seen += e.Amount * e.Amount
		}
	}
	short := sc.S*sc.S/p - rest
	if !(short > 0) || !(sc.DoF > 0) {
		return q
	}
	more := 0.0
	if seen > 0 {
		more = math.Sqrt(math.Max(0, 1-short*distuv.F{D1: p - 1, D2: sc.DoF}.Quantile(chance)/seen))
	}
	by := make([]Effect, 0, len(q.By)+1)
	for _, e := range q.By {
		if isRepeats(e.Source) {
			e.Amount *= more
		}
		if e.Amount != 0 {
			by = append(by, e)
		}
	}
	by = merge(1, by, 1, []Effect{{Source{Name: sc.Name, DoF: sc.DoF}, math.Sqrt(short)}})
	return Quantity{Value: q.Value, Unit: q.Unit, By: by, Alone: present(q.alone())}
}

func isRepeats(s Source) bool {
	return strings.HasPrefix(s.Name, Repeats) || strings.HasPrefix(s.Name, Replicates)
}

// From returns the standard uncertainty that q has from the sources whose names begin with prefix, in q's unit.
func (q Quantity) From(prefix string) float64 {
	var sum float64
	for _, e := range q.By {
		if strings.HasPrefix(e.Source.Name, prefix) {
			sum += e.Amount * e.Amount
		}
	}
	return math.Sqrt(sum)
}

// SeriesOf names the readings of one series, "layer.2-12@A" for its second to twelfth in vessel A; it is "" when they
// are not of one series, or exact.
func SeriesOf(readings []Quantity) string {
	var of label
	first := ""
	for i, q := range readings {
		l := labelOf(q)
		switch {
		case l.number == "" || i > 0 && (l.id != of.id || l.vessel != of.vessel):
			return ""
		case i == 0:
			first = l.number
		}
		of = l
	}
	if of.number == "" {
		return ""
	}
	if of.vessel != "" {
		of.vessel = "@" + of.vessel
	}
	return of.id + "." + first + "-" + of.number + of.vessel
}

// A label is what a source "reading:layer.3@A/step" says of the reading.
type label struct{ id, number, vessel string }

// labelOf returns the label of the one reading that q is made of; none when it is made of several, or of none.
func labelOf(q Quantity) (l label) {
	for _, e := range q.By {
		name, ok := strings.CutPrefix(e.Source.Name, "reading:")
		if !ok {
			continue
		}
		name, aspect, _ := strings.Cut(name, "/")
		if strings.HasPrefix(aspect, "graduation/") { // of a mark, which values of the reading may share
			continue
		}
		id, vessel, _ := strings.Cut(name, "@")
		dot := strings.LastIndexByte(id, '.')
		if dot < 0 {
			return label{}
		}
		m := label{id[:dot], id[dot+1:], vessel}
		if l.number != "" && l != m {
			return label{}
		}
		l = m
	}
	return l
}

// Digest returns six hexadecimal digits made of the readings' values, units and sources (FNV-1a): the same for the same
// readings; nothing for those of a trial.
func Digest(readings []Quantity) string {
	if anyDrawn(readings) {
		return "" // no source will have it in its name
	}
	h := uint32(2166136261)
	write := func(s string) {
		for i := 0; i < len(s); i++ {
			h = (h ^ uint32(s[i])) * 16777619
		}
		h = (h ^ '\n') * 16777619
	}
	for _, q := range readings {
		for bits := math.Float64bits(q.Value); bits > 0; bits >>= 8 {
			h = (h ^ uint32(bits&0xff)) * 16777619
		}
		write(q.Unit.String())
		for _, e := range q.By {
			write(e.Source.Name)
		}
	}
	return fmt.Sprintf("%06x", (h>>24^h)&0xffffff)
}
