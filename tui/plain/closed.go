package plain

// closed tells the summary of a run that is over, and takes notes, corrections and readings that were missed until it
// is left: a slip may be seen only there. The summary that stands last is always that of the whole record.
func (f *face) closed(lines *reader) error {
	if f.opts.Summary == nil {
		return f.err
	}
	told := f.sumUp()
	if !f.opts.Echo {
		f.say("", "This run is closed; Enter leaves. A reading that was mistyped: c 12.6 WHY corrects the last one, c NAME 12.6 WHY the newest of NAME. One that was missed: @13:39 NAME 10.02 WHY enters it. n TEXT adds a note; ? lists the names.")
	}
	for f.err == nil {
		line, ok := f.wait(lines)
		switch {
		case !ok:
			if line.text != "" {
				f.say("", "The last line has no end, so it was not entered: "+line.text)
			}
			f.sumUpAfter(told)
			return f.left(line.err)
		case line.text == "" && !line.long && f.o.Open() == nil && !f.unsaved:
			if f.isLost() || f.isTooSoon() {
				continue
			}
			if told == f.state().Last.N {
				return f.err
			}
			told = f.sumUp()
			if !f.opts.Echo {
				f.say("", "Enter leaves.")
			}
		case f.take(line):
			f.sumUpAfter(told)
			return f.err
		}
		if f.state().Ended == nil { // what closed it was undone
			return f.err
		}
	}
	return f.err
}

// sumUp writes the summary and returns the number of the event that it goes up to.
func (f *face) sumUp() int {
	f.write(f.endOfPrompt())
	if f.err == nil {
		f.err = f.opts.Summary()
	}
	return f.state().Last.N
}

// sumUpAfter writes the summary once more where something came behind event n.
func (f *face) sumUpAfter(n int) {
	if f.state().Last.N != n {
		f.sumUp()
	}
}

// endOfPrompt ends the line of a prompt that stands.
func (f *face) endOfPrompt() string {
	if !f.prompted {
		return ""
	}
	f.prompted = false
	return "\n"
}
