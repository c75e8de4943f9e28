package journal

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"

	"example.org/meniscus/protocol/regular"
	"example.org/meniscus/protocol/run"
)

// maxLine bounds one line, in bytes: the first one holds a protocol's whole text.
const maxLine = 8 << 20

// mostTorn is how much of an unfinished act is kept for the record, in bytes.
const mostTorn = 4000

// Content is what a journal holds.
type Content struct {
	Events []run.Event
	End
}

// An End is how a journal ends.
type End struct {
	Lines int    // of whole acts, one for each event
	Torn  string // the beginning of an act that was never finished and never confirmed; "" when there is none
	Hash  string // the chain value of the last whole line

	size int64 // of these lines, in bytes
	last link
}

// Read reads a journal. A *DamageError comes with the content before the damage; a *NewerError comes alone. Reading
// asks for no lock and writes nothing, so it works on a run that is held, and on a read-only disk.
func Read(path string) (*Content, error) {
	f, err := regular.OpenOwn(path, os.O_RDONLY)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return readFrom(f, path)
}

func readFrom(r io.Reader, name string) (*Content, error) {
	var events []run.Event
	end, err := scan(r, name, func(e run.Event) error {
		events = append(events, e)
		return nil
	})
	var later *NewerError
	if errors.As(err, &later) {
		return nil, err
	}
	return &Content{events, end}, err
}

// Scan reads a journal event by event and keeps none of them, so that its memory does not grow with the journal. An
// error of each ends it.
func Scan(path string, each func(run.Event) error) (End, error) {
	f, err := regular.OpenOwn(path, os.O_RDONLY)
	if err != nil {
		return End{}, err
	}
	defer f.Close()
	return scan(f, path, each)
}

func scan(r io.Reader, name string, each func(run.Event) error) (End, error) {
	s := newScanner(r, name)
	for s.next() {
		if err := each(s.event); err != nil {
			return s.end(), err
		}
	}
	return s.end(), s.err
}

// A scanner reads act by act and holds each line against the chain.
type scanner struct {
	name string
	in   *bufio.Reader
	long []byte // a line that is longer than the buffer of in

	line  []byte // the last one read, without its newline; valid until the next
	lines int    // read so far
	size  int64
	last  link
	open  []byte // the text of an act that is not complete, or its beginning

	whole End    // as far as acts are complete
	act   []read // the act that is handed out
	given int    // of them
	read         // the last one given
	err   error  // *DamageError, *NewerError
}

func newScanner(r io.Reader, name string) *scanner {
	return &scanner{name: name, in: bufio.NewReaderSize(r, 1<<16), last: origin}
}

// next takes the next line whose act is complete; false at the end and at damage.
func (s *scanner) next() bool {
	if s.given == len(s.act) && !s.readAct() {
		return false
	}
	s.read = s.act[s.given]
	s.given++
	return true
}

// readAct reads the lines of one act. What lacks its last lines was never confirmed: it counts as torn.
func (s *scanner) readAct() bool {
	s.act, s.given, s.open = s.act[:0], 0, s.open[:0]
	for {
		if !s.readNext() {
			s.act = s.act[:0]
			return false
		}
		n := len(s.act)
		if n > 1 && s.act[n-1].more != s.act[n-2].more-1 {
			s.lines--
			s.act = s.act[:0]
			return s.damaged(Altered, errors.New("the line does not go on with the act that the line before it began"))
		}
		if s.act[n-1].more == 0 {
			s.whole = End{Lines: s.lines, size: s.size, last: s.last}
			return true
		}
		s.keepOpen()
	}
}

// keepOpen keeps the text of a line whose act is not complete.
func (s *scanner) keepOpen() {
	if len(s.open) < mostTorn {
		s.open = append(append(s.open, s.line...), '\n')
	}
}

// readNext adds the next line to the act.
func (s *scanner) readNext() bool {
	whole, err := s.readLine()
	switch {
	case err != nil:
		return s.damaged(Unreadable, err)
	case !whole:
		s.open = append(s.open, s.line[:min(len(s.line), mostTorn)]...)
		s.whole.Torn = string(s.open[:min(len(s.open), mostTorn)])
		if s.whole.Lines == 0 {
			return s.damaged(Unreadable, errors.New("there is no run in this file"))
		}
		return false
	}
	r, err := decode(s.line, s.lines+1, s.last)
	var later *NewerError
	switch {
	case errors.As(err, &later):
		later.File, s.err = s.name, later
		return false
	case errors.Is(err, errNoLine):
		return s.damaged(Unreadable, err)
	case err != nil:
		return s.damaged(Altered, err)
	}
	s.act = append(s.act, r)
	s.lines, s.last, s.size = s.lines+1, r.chain, s.size+int64(len(s.line))+1
	return true
}

func (s *scanner) damaged(kind Damage, err error) bool {
	s.err = &DamageError{s.name, s.lines + 1, kind, err.Error()}
	return false
}

func (s *scanner) end() End {
	e := s.whole
	if e.Lines > 0 {
		e.Hash = string(e.last[:])
	}
	return e
}

// readLine takes the next line without its newline; whole is false for what stands after the last newline.
func (s *scanner) readLine() (whole bool, err error) {
	s.line, err = s.in.ReadSlice('\n')
	if err == nil {
		s.line = s.line[:len(s.line)-1]
		return true, nil
	}
	s.long = append(s.long[:0], s.line...)
	for {
		switch {
		case len(s.long) > maxLine:
			return false, fmt.Errorf("the line is longer than %d bytes", maxLine)
		case err == nil:
			s.line = s.long[:len(s.long)-1]
			return true, nil
		case err == io.EOF:
			s.line = s.long
			return false, nil
		case err != bufio.ErrBufferFull:
			return false, fmt.Errorf("the file cannot be read on: %s", reason(err))
		}
		var part []byte
		part, err = s.in.ReadSlice('\n')
		s.long = append(s.long, part...)
	}
}
