package plan

import (
	"slices"
)

// A job is an activity as a lower bound sees it: not before head, so long, and tail more until the end.
type job struct{ head, length, tail int }

// away is the tail of a break: the end need not wait for it.
const away = never

// jobs returns the activities of a pool with what the network knows of them.
func (m *model) jobs(p *pool, w *network, out []job) []job {
	out = out[:0]
	for _, a := range p.acts {
		if length := w.after(a.from, a.to) + m.d[a.to]; length > 0 {
			tail := max(0, w.after(a.to, m.end)-m.d[a.to])
			if a.from > m.end {
				tail = away
			}
			out = append(out, job{w.after(0, a.from), length * a.amount, tail})
		}
	}
	return out
}

// bound returns a time before which the end cannot be: the longest path, or a pool that has to do all its work.
func (m *model) bound(w *network) int {
	low := w.after(0, m.end)
	for i := range m.pools {
		p := &m.pools[i]
		if jobs := m.jobs(p, w, nil); p.places == 1 {
			low = max(low, oneByOne(jobs))
		} else {
			low = max(low, together(jobs, p.places))
		}
	}
	return low
}

// oneByOne is the end of jobs that share one place, were they to be interrupted at will: breaks first, then the one with
// the longest tail. No plan ends earlier (Jackson's preemptive schedule).
func oneByOne(jobs []job) int {
	slices.SortFunc(jobs, func(a, b job) int { return a.head - b.head })
	var waiting []job // a heap would do; there are few
	now, low, next := 0, 0, 0
	for next < len(jobs) || len(waiting) > 0 {
		if len(waiting) == 0 {
			now = max(now, jobs[next].head)
		}
		for next < len(jobs) && jobs[next].head <= now {
			waiting = append(waiting, jobs[next])
			next++
		}
		k := 0
		for i := range waiting {
			if waiting[k].tail != away && (waiting[i].tail == away || waiting[i].tail > waiting[k].tail) {
				k = i
			}
		}
		work := waiting[k].length
		if next < len(jobs) {
			work = min(work, jobs[next].head-now)
		}
		now += work
		if waiting[k].length -= work; waiting[k].length == 0 {
			low = max(low, now+waiting[k].tail)
			waiting = slices.Delete(waiting, k, k+1)
		}
	}
	return low
}

// together is a bound for jobs that share several places: of those with at least such a head and such a tail, the work is
// divided among the places.
func together(jobs []job, places int) int {
	low := 0
	for _, a := range jobs {
		for _, b := range jobs {
			work, any := 0, false
			for _, j := range jobs {
				if j.head >= a.head && j.tail >= b.tail {
					work += j.length
					any = true
				}
			}
			if any {
				low = max(low, a.head+(work+places-1)/places+b.tail)
			}
		}
	}
	return low
}
