package journal

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"

	"example.org/meniscus/protocol/run"
)

// maxLine bounds one line, in bytes: the first one holds a protocol's whole text.
const maxLine = 8 << 20

// Content is what a journal holds.
type Content struct {
	Events []run.Event
	Torn   string // an unfinished last line, which was never confirmed; "" when there is none
	Hash   string // the chain value of the last whole line

	size int64 // of the whole lines, in bytes
	last link
}

// Read reads a journal. A *DamageError comes with the content before the damage; a *NewerError comes alone.
func Read(path string) (*Content, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return readFrom(f, path)
}

func readFrom(r io.Reader, name string) (*Content, error) {
	c := &Content{last: origin}
	in := bufio.NewReaderSize(r, 1<<16)
	for n := 1; ; n++ {
		line, whole, err := readLine(in)
		if err != nil {
			return c, &DamageError{name, n, err.Error()}
		}
		if !whole {
			c.Torn = string(line)
			break
		}
		e, after, err := decode(line, n, c.last)
		var later *NewerError
		if errors.As(err, &later) {
			later.File = name
			return nil, later
		}
		if err != nil {
			return c, &DamageError{name, n, err.Error()}
		}
		c.Events, c.last, c.size = append(c.Events, e), after, c.size+int64(len(line))+1
		c.Hash = string(after[:])
	}
	if len(c.Events) == 0 {
		return nil, &DamageError{name, 1, "there is no run in this file"}
	}
	return c, nil
}

// readLine returns the next line without its newline; whole is false for what stands after the last newline.
func readLine(in *bufio.Reader) (line []byte, whole bool, err error) {
	for {
		part, err := in.ReadSlice('\n')
		line = append(line, part...)
		switch {
		case len(line) > maxLine:
			return nil, false, fmt.Errorf("the line is longer than %d bytes", maxLine)
		case err == nil:
			return line[:len(line)-1], true, nil
		case err == io.EOF:
			return line, false, nil
		case err != bufio.ErrBufferFull:
			return nil, false, err
		}
	}
}
