package journal

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"example.org/meniscus/protocol/run"
)

// A Writer appends events to one journal. It is not safe for concurrent use.
type Writer struct {
	disk   disk
	path   string
	file   file
	held   io.Closer
	size   int64 // of the lines that are known to be whole
	ragged bool  // bytes may stand behind size that were never confirmed
	n      int
	last   link
}

// Create begins a journal with its first event; the folder is made if it is not there, and the file must not be. After an
// error no journal is left behind.
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
	held, err := d.hold(path)
	if err != nil {
		return nil, err
	}
	f, err := d.create(path)
	if err != nil {
		held.Close()
		return nil, &SaveError{path, err}
	}
	return &Writer{disk: d, path: path, file: f, held: held, last: origin}, nil
}

// discard removes a journal that nothing was confirmed of.
func (w *Writer) discard() {
	_ = w.file.Close()
	_ = w.disk.remove(w.path)
	_ = w.held.Close()
}

// Open takes up a journal to go on with it, and returns what it holds. An unfinished last line is cut off with the next
// Append; what it said is in Content.Torn. A damaged journal is not opened for writing.
func Open(path string) (*Writer, *Content, error) {
	path, err := filepath.EvalSymlinks(path) // one lock, whatever name it is called by
	if err != nil {
		return nil, nil, err
	}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return nil, nil, fmt.Errorf("%s: this is no file but a folder or a device; name the run's .journal file", path)
	}
	return open(onDisk{}, path)
}

func open(d disk, path string) (*Writer, *Content, error) {
	held, err := d.hold(path)
	if err != nil {
		return nil, nil, err
	}
	f, err := d.open(path)
	if err != nil {
		held.Close()
		return nil, nil, &SaveError{path, err}
	}
	c, err := readFrom(io.NewSectionReader(f, 0, 1<<62), path)
	if err != nil {
		f.Close()
		held.Close()
		return nil, c, err
	}
	return &Writer{disk: d, path: path, file: f, held: held, size: c.size, ragged: c.Torn != "", n: c.Lines, last: c.last}, c, nil
}

// Append writes the events of one act and returns when all of them are on disk. After an error, a *SaveError where the disk
// is to blame, none of them counts, and they may be appended again. They belong together: after a crash either all of them
// are there or none counts.
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

// MoveTo copies what is confirmed to a new journal at path and goes on there, for when the disk of this one fails. The old
// file stays as far as it came, and where its lock can be written, that tells MovedTo where it went. After an error the
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

// Discard removes the journal of a run in which nothing was done, and lets go of it. A file that is not the one that was
// written stays.
func (w *Writer) Discard() error {
	if _, err := w.file.standing(); err != nil {
		return w.Close()
	}
	return errors.Join(w.file.Close(), w.disk.remove(w.path), w.held.Close())
}

// Close lets go of the journal; another program may take it up then.
func (w *Writer) Close() error { return errors.Join(w.file.Close(), w.held.Close()) }
