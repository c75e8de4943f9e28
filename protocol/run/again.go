package run

import "fmt"

// again adds a second pour to the newest portion. It happened and cannot be undone, so the sum and the deviation are
// what counts; both pours stay in the record.
func (d *decision) again(act Again) error {
	t := d.v.newestPortion()
	if t == nil {
		return &Refusal{fmt.Sprintf("Vessel %s has no portion yet that something could be added to: a remark is kept as a note.", d.v.Label)}
	}
	typed, err := legible(act.Typed)
	if err != nil {
		return err
	}
	typed, why := withUnit(t.Reading, typed, clean(act.Why))
	if typed == "" {
		return &Refusal{fmt.Sprintf("Say how much was given once more to %s, beside the %s: g, then the value.", d.v.Label, t.Shown())}
	}
	p, err := parse(t.Reading, typed)
	switch {
	case err != nil:
		return err
	case p.value <= 0:
		return &Refusal{"What was given once more is more than nothing: c corrects a value."}
	case !d.confirmed:
		return &Question{fmt.Sprintf("%s of %s had %s. %s more makes %s: recorded as given again?", t.Title(), d.v.Label, t.Shown(),
			shownIn(t.Reading, p.value), shownIn(t.Reading, t.Value+p.value)), "it was poured"}
	}
	both := parsed{value: t.Value + p.value}
	because := shownIn(t.Reading, p.value) + " given again"
	if why != "" {
		because += ", " + why
	}
	d.add(ReadingCorrected{Of: t.Event, Reading: t.Reading.ID, Typed: Figure(both.value, t.Reading), Value: both.value, Unlikely: true,
		Planned: t.Shown() + ", given once", Why: because, Again: &Pour{typed, p.value}})
	d.correctedGuards(t, both)
	return nil
}

// newestPortion is the newest reading that its stage adds up, such as the volume that was poured; nil where there is
// none.
func (v *Vessel) newestPortion() *Taken {
	for i := len(v.Taken) - 1; i >= 0; i-- {
		if _, ok := dosed(v.Taken[i].Reading); ok && !v.Taken[i].NotTaken {
			return &v.Taken[i]
		}
	}
	return nil
}
