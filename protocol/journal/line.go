package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"time"

	"example.org/meniscus/protocol/run"
)

// Format is the version of the journal's lines.
const Format = 1

// timeLayout is RFC 3339 with milliseconds, always in UTC.
const timeLayout = "2006-01-02T15:04:05.000Z"

// link is the chain value of a line: 64 hex digits.
type link [2 * sha256.Size]byte

// origin is the chain value before the first line.
var origin = func() (l link) {
	copy(l[:], bytes.Repeat([]byte{'0'}, len(l)))
	return l
}()

// next returns the chain value of a line whose text up to its own chain is body.
func (l link) next(body []byte) (out link) {
	h := sha256.New()
	h.Write(l[:])
	h.Write([]byte{'\n'})
	h.Write(body)
	var sum [sha256.Size]byte
	hex.Encode(out[:], h.Sum(sum[:0]))
	return out
}

// chainMark stands between a line's text and its chain value.
const chainMark = `,"chain":"`

// tail is how many bytes follow a line's text: the mark, the value, a quote and a brace.
const tail = len(chainMark) + len(link{}) + 2

// mostAct is how many lines one act may have.
const mostAct = 10_000

// encode appends the line of an event to to, with its newline, and returns the chain value after it. more is how many
// lines of the same act follow.
func encode(to []byte, e run.Event, more int, before link) (lines []byte, after link, err error) {
	kind, data, err := run.EncodeFact(e.What)
	if err != nil {
		return to, before, err
	}
	begin := len(to)
	to = append(to, '{')
	if e.N == 1 {
		to = append(strconv.AppendInt(append(to, `"format":`...), Format, 10), ',')
	}
	to = strconv.AppendInt(append(to, `"n":`...), int64(e.N), 10)
	to = e.At.UTC().AppendFormat(append(to, `,"at":"`...), timeLayout)
	to = strconv.AppendFloat(append(to, `","elapsed":`...), e.Elapsed.Seconds(), 'f', 3, 64)
	if more > 0 {
		to = strconv.AppendInt(append(to, `,"more":`...), int64(more), 10)
	}
	if e.Vessel != "" {
		label, err := json.Marshal(e.Vessel)
		if err != nil {
			return to[:begin], before, err
		}
		to = append(append(to, `,"vessel":`...), label...)
	}
	to = append(append(append(to, `,"fact":"`...), kind...), `","data":`...)
	to = append(to, data...)
	after = before.next(to[begin:])
	to = append(append(append(to, chainMark...), after[:]...), "\"}\n"...)
	return to, after, nil
}

// split parts a line, without its newline, into its text and its chain value.
func split(line []byte) (body []byte, chain link, ok bool) {
	at := len(line) - tail
	if at <= 0 || !bytes.HasPrefix(line[at:], []byte(chainMark)) || !bytes.HasSuffix(line, []byte(`"}`)) {
		return nil, chain, false
	}
	copy(chain[:], line[at+len(chainMark):])
	return line[:at], chain, true
}

var (
	errNoLine  = errors.New("this is no line of a journal")
	errNoMatch = errors.New("the line was altered, moved or follows a line that was: its checksum does not match")
)

// A read is one line as it was read.
type read struct {
	event run.Event
	more  int  // lines of the same act that follow
	chain link // after it
}

// decode reads a line without its newline and checks it against the chain. The error says what is wrong with it.
func decode(line []byte, n int, before link) (read, error) {
	if n == 1 {
		if err := newer(line); err != nil {
			return read{}, err
		}
	}
	body, chain, ok := split(line)
	if !ok {
		return read{}, errNoLine
	}
	if before.next(body) != chain {
		return read{}, errNoMatch
	}
	r, ok := parse(body)
	if !ok {
		return read{}, errNoLine
	}
	if r.n != n || r.format != 0 != (n == 1) {
		return read{}, fmt.Errorf("the line says that it is number %d", r.n)
	}
	fact, err := run.DecodeFact(r.fact, r.data)
	if err != nil {
		return read{}, err
	}
	e := run.Event{N: r.n, Moment: run.Moment{At: r.at, Elapsed: r.elapsed}, Vessel: r.vessel, What: fact}
	return read{e, r.more, chain}, nil
}

// record is a line's text in its parts.
type record struct {
	format, n int
	at        time.Time
	elapsed   time.Duration
	more      int
	vessel    string
	fact      string
	data      []byte // of the line
}

// parse takes a line's text apart. Its members stand in one order only, the one in which they are written.
func parse(body []byte) (r record, ok bool) {
	p := parser{rest: body, ok: true}
	p.skip("{")
	if p.has(`"format":`) {
		r.format = p.number()
		p.skip(",")
	}
	p.skip(`"n":`)
	r.n = p.number()
	p.skip(`,"at":"`)
	at := p.upTo('"')
	p.skip(`,"elapsed":`)
	elapsed := p.upTo(',')
	if p.has(`"more":`) {
		r.more = p.number()
		p.skip(",")
	}
	if p.has(`"vessel":`) {
		r.vessel = p.text()
		p.skip(",")
	}
	p.skip(`"fact":"`)
	r.fact = string(p.upTo('"'))
	p.skip(`,"data":`)
	r.data = p.rest
	var err error
	if r.at, err = time.Parse(time.RFC3339, string(at)); err != nil || len(at) != len(timeLayout) {
		return r, false
	}
	r.at = r.at.UTC()
	var span run.Span
	if span.UnmarshalJSON(elapsed) != nil {
		return r, false
	}
	r.elapsed = time.Duration(span)
	return r, p.ok && r.more < mostAct
}

// number is the number that a line's text says it has; 0 when it says none.
func number(body []byte) int {
	p := parser{rest: body, ok: true}
	p.skip("{")
	if p.has(`"format":`) {
		p.number()
		p.skip(",")
	}
	p.skip(`"n":`)
	if n := p.number(); p.ok {
		return n
	}
	return 0
}

// parser goes through a line's text; once something is not as it should be, ok stays false.
type parser struct {
	rest []byte
	ok   bool
}

func (p *parser) has(text string) bool {
	if !p.ok || len(p.rest) < len(text) || string(p.rest[:len(text)]) != text {
		return false
	}
	p.rest = p.rest[len(text):]
	return true
}

func (p *parser) skip(text string) { p.ok = p.has(text) }

// upTo returns what stands before the next end, and passes over both.
func (p *parser) upTo(end byte) []byte {
	i := bytes.IndexByte(p.rest, end)
	if i < 0 {
		p.ok = false
		return nil
	}
	text := p.rest[:i]
	p.rest = p.rest[i+1:]
	return text
}

// number takes a whole number of at most 15 digits.
func (p *parser) number() (n int) {
	i := 0
	for ; i < len(p.rest) && i < 15 && '0' <= p.rest[i] && p.rest[i] <= '9'; i++ {
		n = 10*n + int(p.rest[i]-'0')
	}
	p.ok = p.ok && i > 0
	p.rest = p.rest[i:]
	return n
}

// text takes a string of JSON.
func (p *parser) text() (s string) {
	begin := p.rest
	for i := 1; i < len(begin); i++ {
		switch {
		case begin[i] == '\\':
			i++
		case begin[i] == '"':
			p.rest = begin[i+1:]
			p.ok = p.ok && json.Unmarshal(begin[:i+1], &s) == nil
			return s
		}
	}
	p.ok = false
	return ""
}

// newer returns a *NewerError when a first line is of a format later than this one.
func newer(line []byte) error {
	p := parser{rest: line, ok: true}
	p.skip("{")
	p.skip(`"format":`)
	if format := p.number(); p.ok && format > Format {
		return &NewerError{Format: format}
	}
	return nil
}
