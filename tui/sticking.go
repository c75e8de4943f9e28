package tui

import "time"

// Guard is how soon after an Enter another one, with nothing typed, does nothing where hands type. A person who strikes
// the key twice within it has not read what the first has led to; a key that is held down repeats itself far faster,
// and begins with it after a quarter of a second to two thirds. Each one that is set aside counts anew.
const Guard = settling

// byItself is how soon after an Enter only the key or a foot switch itself sends another one: nobody is told of that.
const byItself = 250 * time.Millisecond

// Strike notes an Enter, and returns how long the last one lies back; ok is false for the first, and for the first
// after a vessel was chosen by its letter.
func (o *Operator) Strike() (since time.Duration, ok bool) {
	now, last := o.Engine.Now().Elapsed, o.struck
	if o.struck = &now; last == nil {
		return 0, false
	}
	return now - *last, true
}

// TooSoon notes an Enter with nothing typed. It tells whether that came so soon after the one before it that it must do
// nothing, and what to say to that; guard is how soon that is. A face on which hands type asks it before each, and not
// one that a script is played to.
func (o *Operator) TooSoon(guard time.Duration) (say string, is bool) {
	since, struck := o.Strike()
	switch {
	case o.open != nil && (o.Engine.Now().Elapsed-o.open.since < settling || struck && since < settling):
		return "Read the question first, then Enter again.", true
	case o.open == nil && o.withdrawn != nil && o.Engine.Now().Elapsed-*o.withdrawn < settling:
		return "Nothing done: the question was withdrawn a moment ago. Enter again.", true
	case !struck || since >= guard:
		return "", false
	case since < byItself:
		return "", true
	}
	return "Enter came too soon after the last one: nothing done.", true
}
