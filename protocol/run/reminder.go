package run

import (
	"time"

	"example.org/meniscus/protocol"
)

// due returns the reminder that has been due longest and is not answered, with how often it fell due; 0 when none is.
func (v *Vessel) due(st *protocol.Stage, now time.Duration) (index, n int) {
	if v.Phase != protocol.WaitPhase {
		return 0, 0
	}
	var oldest time.Duration
	for i, r := range st.Reminders {
		times := fallen(r, now-v.Since)
		if times <= v.reminders[i].upTo {
			continue
		}
		if since := r.From + time.Duration(v.reminders[i].upTo+1)*r.Every; n == 0 || since < oldest {
			index, n, oldest = i, times, since
		}
	}
	return index, n
}

// isPast tells whether the running wait is past its latest end: nothing it still reminds of is worth staying for.
func (v *Vessel) isPast(st *protocol.Stage, now time.Duration) bool {
	most := v.window(st).AtMost
	return v.Phase == protocol.WaitPhase && most > 0 && now-v.Since > most
}

func (d *decision) answer(st *protocol.Stage, i int) {
	n := fallen(st.Reminders[i], d.now.Elapsed-d.v.Since)
	d.add(ReminderAnswered{st.ID, d.v.Portion, i, n, n - d.v.reminders[i].upTo - 1})
}

// fallen returns how often a reminder has fallen due by the given time of a wait.
func fallen(r protocol.Reminder, t time.Duration) int {
	if r.Until > 0 && t > r.Until {
		t = r.Until
	}
	if r.Every <= 0 || t < r.From {
		return 0
	}
	return int((t - r.From) / r.Every)
}
