package command

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"sort"
	"strings"
	"time"

	"example.org/meniscus/protocol/journal"
	"example.org/meniscus/protocol/regular"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui/rehearsal"
)

// unfinished is a run that can be taken up again, or could if its journal were sound.
type unfinished struct {
	id    string
	title string // of the protocol; "" when that is not known
	where string // the stage that a vessel stands in
	last  time.Time

	rehearsed bool // on invented readings; last is invented too
	wrong     error
}

// unfinished lists the runs that are not closed, the one that was worked on last first, and after them the rehearsals
// that were kept. One that cannot be taken up is among them: else readings would go to an older run in its place.
func (e *env) unfinished() []unfinished {
	var out []unfinished
	ids := e.runIDs()
	for i := len(ids) - 1; i >= 0; i-- {
		if u, ok := e.lookAt(ids[i]); ok {
			out = append(out, u)
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].rehearsed != out[j].rehearsed {
			return !out[i].rehearsed
		}
		return out[i].last.After(out[j].last)
	})
	return out
}

// lookAt tells how a run stands; false when it is closed or is none of this user's.
func (e *env) lookAt(id string) (u unfinished, ok bool) {
	if strings.HasPrefix(id, ".") { // a companion that some systems put beside each file
		return u, false
	}
	path, _, err := e.newest(e.journalPath(id), true)
	if err != nil {
		return u, false
	}
	u.id, u.rehearsed = id, rehearsal.IsName(id)
	content, err := journal.Read(path)
	if content != nil && len(content.Events) > 0 {
		if slices.ContainsFunc(content.Events, ends) { // a note or a correction may stand behind the end
			return u, false
		}
		u.last = content.Events[len(content.Events)-1].At
		state, folding := run.Fold(content.Events)
		if folding == nil {
			u.title, u.where, u.rehearsed = state.Protocol.Title, standing(state), rehearsal.IsName(state.ID)
		} else if err == nil {
			err = fmt.Errorf("%s: %w", path, folding)
		}
	}
	if err == nil {
		return u, true
	}
	return e.unsound(u, path, err)
}

// unsound tells of a run that cannot be taken up. How far it went is not known, so it was worked on when its file was
// last written. What another user keeps from this one, and what was removed meanwhile, is left out.
func (e *env) unsound(u unfinished, path string, err error) (unfinished, bool) {
	info, failed := os.Lstat(path)
	if failed != nil || errors.Is(err, fs.ErrPermission) && regular.OfAnother(info) {
		return u, false
	}
	if at := info.ModTime(); at.After(u.last) {
		u.last = at
	}
	u.wrong = e.whatIsWrong(path, err)
	return u, true
}

// whatIsWrong says why a journal cannot be taken up, and what to do.
func (e *env) whatIsWrong(path string, err error) error {
	var odd *regular.Refusal
	var damage *journal.DamageError
	var newer *journal.NewerError
	switch {
	case errors.As(err, &odd):
		return fmt.Errorf("%s: it is no journal but something else; move it out of the folder of runs (%w)", path, odd.Err)
	case errors.As(err, &damage):
		return e.notOpened(path, err)
	case errors.As(err, &newer):
		return err
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%w; make it readable again", told("journal", path, err))
	}
	return fmt.Errorf("%w; keep it as it is, and go on with a copy that was made before", err)
}

func ends(e run.Event) bool {
	_, over := e.What.(run.Ended)
	return over
}

// lastWorkedOn returns the unfinished run that was worked on last, and tells of the others. One that cannot be taken up
// is an error, and no reason to take an older one unasked.
func (e *env) lastWorkedOn() (id string, err error) {
	open := e.unfinished()
	if len(open) == 0 {
		return "", fmt.Errorf("no unfinished run is kept in %s; meniscus run PROTOCOL begins one", e.runs)
	}
	for _, u := range open[1:] {
		if u.wrong != nil {
			e.remark("meniscus: the unfinished run %s cannot be taken up: %v", u.id, u.wrong)
		}
	}
	if open[0].wrong == nil {
		if len(open) > 1 {
			e.remark("%d runs are unfinished; going on with the last one, %s.", len(open), open[0].id)
		}
		return open[0].id, nil
	}
	sound := slices.IndexFunc(open, func(u unfinished) bool { return u.wrong == nil })
	if sound < 0 {
		return "", fmt.Errorf("the unfinished run %s cannot be taken up: %w", open[0].id, open[0].wrong)
	}
	return "", fmt.Errorf("the run that was worked on last, %s, cannot be taken up: %w. An older one is unfinished too, and is gone on with only"+
		" when it is named: %s resume %s", open[0].id, open[0].wrong, e.call(), e.nameOf(e.journalPath(open[sound].id)))
}
