package journal

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"

	"example.org/meniscus/protocol/regular"
	"example.org/meniscus/protocol/run"
)

// A Writer appends events to one journal. It is not safe for concurrent use.
type Writer struct {
	disk   disk
	path   string
	file   file
	size   int64 // of the lines that are known to be whole
	ragged bool  // bytes may stand behind size that were never confirmed
	n      int
	last   link
}

// Create begins a journal with its first event; the folder is made if it is not there, and the file must not be. After
// an error no journal is left behind.
func Create(path string, first run.Event) (*Writer, error) { return create(onDisk{}, path, first) }

func create(d disk, path string, first run.Event) (*Writer, error) {
	w, err := begin(d, path)
	if err != nil {
		return nil, err
	}
	if err := w.Append(first); err != nil {
		w.discard()
		return nil, err
	}
	if err := d.syncFolder(filepath.Dir(w.path)); err != nil {
		w.discard()
		return nil, &SaveError{w.path, err}
	}
	return w, nil
}

// begin makes an empty file and holds it.
func begin(d disk, path string) (*Writer, error) {
	dir := filepath.Dir(path)
	if err := d.makeFolder(dir); err != nil {
		return nil, &SaveError{dir, err}
	}
	if real, err := filepath.EvalSymlinks(dir); err == nil {
		path = filepath.Join(real, filepath.Base(path))
	}
	f, err := d.create(path)
	if err != nil {
		return nil, &SaveError{path, err}
	}
	w := &Writer{disk: d, path: path, file: f, last: origin}
	if err := w.hold(); err != nil {
		w.discard()
		return nil, err
	}
	return w, nil
}

// hold takes the lock of the journal's own file.
func (w *Writer) hold() error {
	switch ok, err := w.file.lock(); {
	case err != nil:
		return &SaveError{w.path, err}
	case !ok:
		return heldBy(w.file, w.path)
	}
	return nil
}

// heldBy tells what the journal itself says of the program that has it.
func heldBy(f file, path string) *HeldError {
	e := &HeldError{File: path}
	_, _ = scan(io.NewSectionReader(f, 0, 1<<62), path, func(event run.Event) error {
		e.Last = event.At
		return nil
	})
	return e
}

// discard removes a journal that nothing was confirmed of.
func (w *Writer) discard() { _ = w.erase() }

// erase removes the file while it is held, where a file that is open can be removed.
func (w *Writer) erase() error {
	if removesOpen {
		return errors.Join(w.disk.remove(w.path), w.file.Close())
	}
	return errors.Join(w.file.Close(), w.disk.remove(w.path))
}

// Open takes up a journal to go on with it, and returns what it holds. An unfinished last line is cut off with the next
// Append; what it said is in Content.Torn. A damaged journal is not opened for writing.
func Open(path string) (*Writer, *Content, error) {
	if real, err := filepath.EvalSymlinks(filepath.Dir(path)); err == nil {
		path = filepath.Join(real, filepath.Base(path))
	}
	w, c, err := open(onDisk{}, path)
	if err == nil {
		forgetWord(path) // it goes on here
	}
	return w, c, err
}

// open reads how the file begins, then takes its lock, then reads it all: what is no journal is left alone, and nobody
// writes any more to what was read.
func open(d disk, path string) (*Writer, *Content, error) {
	f, err := d.open(path)
	var odd *regular.Refusal
	switch {
	case errors.As(err, &odd), errors.Is(err, fs.ErrNotExist):
		return nil, nil, err
	case err != nil:
		return nil, nil, &SaveError{path, err}
	}
	w := &Writer{disk: d, path: path, file: f}
	c, err := w.takeUp()
	if err != nil {
		f.Close()
		return nil, c, err
	}
	return w, c, nil
}

func (w *Writer) takeUp() (*Content, error) {
	whole := io.NewSectionReader(w.file, 0, 1<<62)
	if s := newScanner(whole, w.path); !s.next() {
		return nil, s.err
	}
	if err := w.hold(); err != nil {
		return nil, err
	}
	if _, err := w.file.standing(); err != nil { // it was removed before it could be held
		return nil, &SaveError{w.path, err}
	}
	if _, err := whole.Seek(0, io.SeekStart); err != nil {
		return nil, err
	}
	c, err := readFrom(whole, w.path)
	if err != nil {
		return c, err
	}
	w.size, w.ragged, w.n, w.last = c.size, c.Torn != "", c.Lines, c.last
	return c, nil
}

// Append writes the events of one act and returns when all of them are on disk. After an error, a *SaveError where the
// disk is to blame, none of them counts, and they may be appended again. They belong together: after a crash either all
// of them are there or none counts.
func (w *Writer) Append(events ...run.Event) error {
	lines, after, err := w.lines(events)
	if err != nil || len(lines) == 0 {
		return err
	}
	if err := w.tidy(); err != nil {
		return &SaveError{w.path, err}
	}
	w.ragged = true
	if err := w.put(lines); err != nil {
		_ = w.file.Truncate(w.size) // what was told as not saved had better not turn up again
		return &SaveError{w.path, err}
	}
	w.ragged, w.n, w.last, w.size = false, w.n+len(events), after, w.size+int64(len(lines))
	return nil
}

// lines are the events as they will stand, and the chain value after them.
func (w *Writer) lines(events []run.Event) (lines []byte, after link, err error) {
	after = w.last
	if len(events) > mostAct {
		return nil, after, fmt.Errorf("%d events at once: want at most %d", len(events), mostAct)
	}
	for i, e := range events {
		if e.N != w.n+1+i {
			return nil, after, fmt.Errorf("event %d follows event %d: want event %d", e.N, w.n+i, w.n+1+i)
		}
		begin := len(lines)
		if lines, after, err = encode(lines, e, len(events)-1-i, after); err != nil {
			return nil, after, err
		}
		if len(lines)-begin > maxLine {
			return nil, after, fmt.Errorf("event %d is longer than %d bytes", e.N, maxLine)
		}
	}
	return lines, after, nil
}

// tidy makes sure that the file ends with the last confirmed line, and that nobody else was at it.
func (w *Writer) tidy() error {
	size, err := w.file.standing()
	switch {
	case err != nil:
		return err
	case size == w.size:
		return nil
	case size < w.size || !w.ragged:
		return errChanged
	}
	return w.file.Truncate(w.size)
}

// put writes lines, waits until they are on disk, and looks whether the file can still be found: one that was removed
// takes every write and keeps none.
func (w *Writer) put(lines []byte) error {
	n, err := w.file.Write(lines)
	switch {
	case err != nil:
		return err
	case n < len(lines):
		return io.ErrShortWrite
	}
	if err := w.file.Sync(); err != nil {
		return err
	}
	_, err = w.file.standing()
	return err
}

// MoveTo copies what is confirmed to a new journal at path and goes on there, for when the disk of this one fails. The
// old file stays as far as it came, and word is left beside it, which tells MovedTo where it went. After an error the
// writer is where it was.
func (w *Writer) MoveTo(path string) error {
	to, err := begin(w.disk, path)
	if err != nil {
		return err
	}
	if err := to.take(w); err != nil {
		to.discard()
		return &SaveError{to.path, err}
	}
	w.disk.leaveWord(w.path, to.path)
	_ = w.Close() // it is given up, with whatever it still has to say
	*w = *to
	return nil
}

// take copies the confirmed lines of from, and reads the copy back.
func (w *Writer) take(from *Writer) error {
	if _, err := io.Copy(w.file, io.NewSectionReader(from.file, 0, from.size)); err != nil {
		return err
	}
	if err := errors.Join(w.file.Sync(), w.disk.syncFolder(filepath.Dir(w.path))); err != nil {
		return err
	}
	end, err := scan(io.NewSectionReader(w.file, 0, from.size), w.path, func(run.Event) error { return nil })
	if err != nil {
		return err
	}
	if end.last != from.last || end.size != from.size {
		return errors.New("the copy differs from what was confirmed")
	}
	w.size, w.n, w.last = from.size, from.n, from.last
	return nil
}

// Path returns where the journal is.
func (w *Writer) Path() string { return w.path }

// Hash returns the chain value of the last line.
func (w *Writer) Hash() string { return string(w.last[:]) }

// Discard removes the journal of a run in which nothing was done, and lets go of it. A file that is not the one that
// was written stays.
func (w *Writer) Discard() error {
	if _, err := w.file.standing(); err != nil {
		return w.Close()
	}
	return w.erase()
}

// Close lets go of the journal; another program may take it up then.
func (w *Writer) Close() error { return w.file.Close() }
