package journal

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/protocol/run"
)

const demo = "../../testdata/journal/rehearsal-burn-test.journal"

// batches are the events of a recorded run as they were appended: what one act led to together.
func batches(t testing.TB) (out [][]run.Event) {
	t.Helper()
	c, err := Read(demo)
	if err != nil {
		t.Fatal(err)
	}
	for i, e := range c.Events {
		if i > 1 && e.Elapsed == c.Events[i-1].Elapsed {
			out[len(out)-1] = append(out[len(out)-1], e)
			continue
		}
		out = append(out, []run.Event{e})
	}
	return out
}

const place = "/runs/r.journal"

// A story is a recorded run that is written to a disk with faults, and what the writer confirmed of it.
type story struct {
	disk  *fakeDisk
	place string // another one where the first is left occupied
	all   [][]run.Event
	whole []byte // the journal that never stopped
	sure  int    // batches that were confirmed
}

// write writes what is not confirmed yet, each batch up to five times. It ends early when the disk is dead.
func (s *story) write(w *Writer) error {
	var err error
	for tries := 0; s.sure < len(s.all) && tries < 5 && !s.disk.dead; tries++ {
		if w == nil {
			if s.disk.files[s.place] != nil {
				s.place += "-2"
			}
			w, err = create(s.disk, s.place, s.all[0][0])
		} else {
			err = w.Append(s.all[s.sure]...)
		}
		if err == nil {
			s.sure, tries = s.sure+1, -1
		}
	}
	return err
}

func (s *story) events(batches int) (out []run.Event) {
	for _, b := range s.all[:min(batches, len(s.all))] {
		out = append(out, b...)
	}
	return out
}

// check looks at what is found again, goes on with it, and holds the whole against the run that never stopped.
func (s *story) check(found *fakeDisk) error {
	_, there := found.files[s.place]
	w, c, err := open(found, s.place)
	if s.sure == 0 && (!there || err != nil) {
		return nil // nothing was confirmed, and what there is does not pass for a run
	}
	if err != nil {
		return err
	}
	n := len(c.Events)
	done := s.sure
	if n != len(s.events(done)) {
		if done++; n != len(s.events(done)) {
			return fmt.Errorf("%d events are there, %d were confirmed, %d were under way", n, len(s.events(s.sure)), len(s.events(done)))
		}
	}
	for _, batch := range s.all[done:] {
		if err := w.Append(batch...); err != nil {
			return err
		}
	}
	if !bytes.Equal(found.files[s.place].durable, s.whole) {
		return errors.New("after going on it is not the journal that never stopped")
	}
	return nil
}

// checkAll checks what may be found after the power failed, and, where it failed on the way, after the program alone died.
func (s *story) checkAll(draw func(int) int) error {
	rounds := 1
	if s.disk.dead {
		rounds = 3
	}
	for round := range rounds {
		if err := s.check(s.disk.after(round == 2, draw)); err != nil {
			return err
		}
	}
	return nil
}

// TestEveryCallFails lets each call of a whole run fail in turn, in every way, and each call after it too.
func TestEveryCallFails(t *testing.T) {
	all := batches(t)
	smooth := &story{disk: newFakeDisk(), place: place, all: all}
	if err := smooth.write(nil); err != nil {
		t.Fatal(err)
	}
	calls := smooth.disk.calls
	if want := 2*len(all) + 3; calls != want { // write and sync of each, and the folder made, the file made, the folder synced
		t.Fatalf("%d calls, want %d", calls, want)
	}
	whole := smooth.disk.files[place].durable
	r := rand.New(rand.NewPCG(1, 2))
	stories := 0
	play := func(planned map[int]fault) {
		s := &story{disk: newFakeDisk(), place: place, all: all, whole: whole}
		s.disk.faults = planned
		err := s.write(nil)
		if !s.disk.dead && (s.sure != len(all) || err != nil) {
			t.Fatalf("faults %v: %d of %d confirmed: %v", planned, s.sure, len(all), err)
		}
		if err := s.checkAll(r.IntN); err != nil {
			t.Fatalf("faults %v, %d of %d confirmed: %v", planned, s.sure, len(all), err)
		}
		stories++
	}
	for call := 1; call <= calls; call++ {
		for f := short; f < faults; f++ {
			play(map[int]fault{call: f})
		}
		if call > 8 && call < calls-4 { // pairs where a journal begins, and where it ends
			continue
		}
		for next := call + 1; next <= call+3; next++ {
			for f := short; f < faults; f++ {
				play(map[int]fault{call: short, next: f})
				play(map[int]fault{call: fails, next: f})
			}
		}
	}
	if stories < 1000 {
		t.Errorf("only %d stories were played", stories)
	}
}

// A write that is not saved says what the disk has, in words.
func TestErrorsOfTheDisk(t *testing.T) {
	for _, tt := range []struct {
		err  error
		want string
	}{
		{syscall.ENOSPC, "the disk is full"},
		{syscall.EDQUOT, "this user's share of the disk is used up"},
		{syscall.EIO, "the disk reports a fault"},
		{syscall.EROFS, "the disk is read-only"},
		{syscall.EACCES, "this user may not write there"},
		{syscall.ENOENT, "the folder is not there"},
		{io.ErrShortWrite, "the disk took only a part of it"},
		{errRemoved, "the file or its folder was removed while the run went on"},
	} {
		d := newFakeDisk()
		w, err := create(d, place, sample()[0])
		if err != nil {
			t.Fatal(err)
		}
		w.file = &refusing{w.file, tt.err}
		err = w.Append(sample()[1])
		var e *SaveError
		if !errors.As(err, &e) || !errors.Is(err, tt.err) || err.Error() != place+": "+tt.want {
			t.Errorf("%v: told as %v, want %s", tt.err, err, tt.want)
		}
	}
}

// refusing is a file that takes no write.
type refusing struct {
	file
	err error
}

func (r *refusing) Write([]byte) (int, error) { return 0, r.err }

// A file that is full can be left behind: the whole lines go along, and the run goes on in another folder.
func TestMoveTo(t *testing.T) {
	all := sample()
	path := write(t, all[:3])
	w, _, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	w.file = &refusing{w.file, syscall.ENOSPC}
	if err := w.Append(all[3]); !errors.Is(err, syscall.ENOSPC) {
		t.Fatal(err)
	}
	elsewhere := filepath.Join(t.TempDir(), "other", "r.journal")
	if err := w.MoveTo(elsewhere); err != nil {
		t.Fatal(err)
	}
	if err := w.Append(all[3:]...); err != nil {
		t.Fatal(err)
	}
	if !strings.HasSuffix(w.Path(), filepath.Join("other", "r.journal")) {
		t.Errorf("the journal is at %s", w.Path())
	}
	if to := MovedTo(path); to != w.Path() {
		t.Errorf("the old one says that it went on in %q, want %s", to, w.Path())
	}
	if err := w.MoveTo(path); !strings.Contains(fmt.Sprint(err), "there is a file of that name already") {
		t.Errorf("moved onto a journal: %v", err)
	}
	w.Close()
	if c, err := Read(elsewhere); err != nil || cmp.Diff(all, c.Events) != "" {
		t.Errorf("the new one: %v %s", err, cmp.Diff(all, c.Events))
	}
	if c, err := Read(path); err != nil || len(c.Events) != 3 || c.Torn != "" {
		t.Errorf("the old one: %v, %+v", err, c)
	}
	old, _, err := Open(path)
	if err != nil {
		t.Fatal(err)
	}
	old.Close()
	if to := MovedTo(path); to != "" {
		t.Errorf("taken up again, the old one still says that it went on in %s", to)
	}
}

// A move whose disk fails, too, leaves the writer where it was, and nothing behind.
func TestAMoveThatFails(t *testing.T) {
	const elsewhere = "/other/r.journal"
	for call := 1; ; call++ {
		d := newFakeDisk()
		w, err := create(d, place, sample()[0])
		if err != nil {
			t.Fatal(err)
		}
		d.faults[d.calls+call] = short
		if err := w.MoveTo(elsewhere); err == nil {
			if call < 5 {
				t.Errorf("the fault of call %d was not told", call)
			}
			return
		}
		if d.files[elsewhere] != nil || w.Path() != place {
			t.Errorf("call %d: something is left behind", call)
		}
		if err := w.Append(sample()[1]); err != nil {
			t.Errorf("call %d: it does not go on at the old place: %v", call, err)
		}
	}
}

// TestNotSavedIsGone: what was told as not saved does not turn up when the run is taken up again.
func TestNotSavedIsGone(t *testing.T) {
	d, all := newFakeDisk(), sample()
	w, err := create(d, place, all[0])
	if err != nil {
		t.Fatal(err)
	}
	d.faults[d.calls+2] = fails // the sync after the write
	if err := w.Append(all[1]); err == nil {
		t.Fatal("it is saved, and the sync failed")
	}
	if _, c, err := open(d.after(true, nil), place); err != nil || len(c.Events) != 1 || c.Torn != "" {
		t.Errorf("there are %+v (%v), want the first event alone", c, err)
	}
}
