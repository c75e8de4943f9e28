package plan

import (
	"slices"
	"strconv"
	"time"

	"example.org/meniscus/protocol"
)

// A Charge is a vessel with the protocol that it goes through.
type Charge struct {
	Label    string
	Protocol *protocol.Protocol
}

// Options say how a protocol is read.
type Options struct {
	Operators int // 0: one
	Places    []Place
	Breaks    []Interval
	Brisk     bool // waits may end as early as the protocol allows, not only at their aims
}

// grain is how finely times of a protocol are planned.
const grain = 5 * time.Second

// FromProtocol makes a problem of vessels and their protocols.
func FromProtocol(charges []Charge, o Options) *Problem {
	p := &Problem{Operators: max(o.Operators, 1), Places: slices.Clone(o.Places), Breaks: o.Breaks}
	for _, c := range charges {
		for _, r := range c.Protocol.Resources { // the first that names a resource counts: what was asked for, then the file
			p.Places = append(p.Places, Place{r.ID, r.Places})
		}
		v := derive(c.Protocol, o.Brisk)
		v.Label = c.Label
		p.Vessels = append(p.Vessels, v)
	}
	p.stretch(charges)
	return p
}

// A deriver walks through a protocol's stages and makes steps and waits of them.
type deriver struct {
	v      Vessel
	brisk  bool
	gap    Wait  // what lies between the last step and the next one
	timed  bool  // a clock runs in the gap
	strict bool  // the last step was attended to its end: the next one follows at once if it is attended too
	from   []int // by stage: the step at which what it uses is taken
	until  []int // and that with which it is given back
}

func derive(p *protocol.Protocol, brisk bool) Vessel {
	d := &deriver{brisk: brisk}
	d.clear()
	for _, st := range p.Stages {
		d.stage(st)
	}
	if d.timed {
		d.step(Step{ID: "end", Title: "End"}, false)
	}
	d.places(p)
	return d.v
}

func (d *deriver) clear() {
	d.gap, d.timed = Wait{AtMost: Forever, Aim: Forever}, false
}

func (d *deriver) stage(st *protocol.Stage) {
	waits := false
	for portion := 1; portion <= st.Portions; portion++ {
		waits = st.WaitsAfter(portion)
		switch {
		case st.HasHands() || st.Attended:
			d.step(stepOf(st, portion, waits), st.Attended)
			waits = waits && !st.Attended
		case waits && d.timed: // the hands end one wait and begin another
			s := stepOf(st, portion, false)
			s.Hands = grain
			d.step(s, false)
		}
		if portion == 1 {
			d.from = append(d.from, max(len(d.v.Steps)-1, 0))
		}
		if waits {
			d.wait(st)
		}
	}
	last := max(len(d.v.Steps)-1, 0)
	if waits {
		last++ // the step that ends the wait is still to come
	}
	d.until = append(d.until, last)
}

func stepOf(st *protocol.Stage, portion int, waits bool) Step {
	s := Step{ID: st.ID, Title: st.Title, Operators: 1, Uses: st.Uses, Hands: whole(st.Hands.Planned())}
	if st.Portions > 1 {
		s.ID += "." + strconv.Itoa(portion)
	}
	if st.Attended && waits {
		s.Hands += whole(st.Clock.Planned())
	}
	return s
}

// whole rounds a time up to what plans are made of.
func whole(t time.Duration) time.Duration { return (t + grain - 1) / grain * grain }

// step adds a step and the wait before it.
func (d *deriver) step(s Step, attended bool) {
	to := len(d.v.Steps)
	switch {
	case to == 0 && d.timed: // a clock runs before any hands are needed but those that begin it
		d.v.Steps = append(d.v.Steps, Step{ID: "begin", Title: "Begin", Operators: 1, Hands: grain})
		d.step(s, attended)
		return
	case to > 0:
		w := d.gap
		if !d.timed && d.strict && attended {
			w.Aim, w.AtMost = 0, 0
		}
		w.From, w.To = to-1, to
		d.v.Waits = append(d.v.Waits, w)
	}
	d.v.Steps = append(d.v.Steps, s)
	d.clear()
	d.strict = attended
}

// wait adds a stage's clock to the gap. Where the work may rest, neither its aim nor its latest end counts.
func (d *deriver) wait(st *protocol.Stage) {
	c := *st.Clock
	least := c.Planned()
	if d.brisk && c.AtLeast > 0 {
		least = c.AtLeast
	}
	aim, most := whole(c.Planned()), Forever
	if c.AtMost > 0 {
		most = max(c.AtMost/grain*grain, aim)
	}
	if !st.Pause.IsEmpty() {
		aim, most = Forever, Forever
	}
	if !d.timed {
		d.gap.Aim, d.gap.AtMost, d.timed = 0, 0, true
	}
	d.gap.AtLeast += whole(least)
	d.gap.Aim, d.gap.AtMost = plus(d.gap.Aim, aim), plus(d.gap.AtMost, most)
}

func plus(a, b time.Duration) time.Duration {
	if a == Forever || b == Forever {
		return Forever
	}
	return a + b
}

// places makes holds of the resources that are held for whole stages: such a place is taken through all stages in a row
// that use it, to the end of the last one's wait. What is held with the hands alone is a tool, in use while they are busy.
func (d *deriver) places(p *protocol.Protocol) {
	for _, resource := range placesOf(p) {
		for i := 0; i < len(p.Stages); i++ {
			if !slices.Contains(p.Stages[i].Uses, resource) {
				continue
			}
			from := i
			for i+1 < len(p.Stages) && slices.Contains(p.Stages[i+1].Uses, resource) {
				i++
			}
			d.v.Holds = append(d.v.Holds, Hold{resource, d.from[from], d.until[i]})
		}
	}
}

// placesOf lists the resources that are held for whole stages, in the order of their mention.
func placesOf(p *protocol.Protocol) []string {
	var out []string
	for _, st := range p.Stages {
		for _, r := range st.Uses {
			if !p.Resource(r).WithHands && !slices.Contains(out, r) {
				out = append(out, r)
			}
		}
	}
	return out
}

// slack is what the hands' planned times leave for small things: a share of reminders below it changes nothing (common
// practice, no source).
const slack = 0.1

// stretch makes the steps of each vessel longer by what the reminders of the others take of the hands: of a minute of
// work, the share that falls due in the mean.
func (p *Problem) stretch(charges []Charge) {
	r := &reminders{}
	for v, c := range charges {
		r.shares = append(r.shares, background(c.Protocol))
		r.hands = append(r.hands, p.handsOf(v))
	}
	p.reminders = r
	p.lengthen()
}

// background is the share of the operator's time that a vessel's reminders take, over its planned time.
func background(p *protocol.Protocol) float64 {
	var busy time.Duration
	for _, st := range p.Stages {
		if st.Clock == nil || st.Attended {
			continue
		}
		rounds := 0
		for portion := 1; portion <= st.Portions; portion++ {
			if st.WaitsAfter(portion) {
				rounds++
			}
		}
		for _, r := range st.Reminders {
			until := st.Clock.Planned()
			if r.Until > 0 {
				until = min(until, r.Until)
			}
			if r.Every > 0 && until > r.From {
				busy += time.Duration(rounds) * r.Takes * time.Duration((until-r.From)/r.Every)
			}
		}
	}
	if planned := p.Planned(); planned > 0 {
		return float64(busy) / float64(planned)
	}
	return 0
}
