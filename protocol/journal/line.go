package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
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
	hex.Encode(out[:], h.Sum(nil))
	return out
}

// chainMark stands between a line's text and its chain value.
const chainMark = `,"chain":"`

// tail is how many bytes follow a line's text: the mark, the value, a quote and a brace.
const tail = len(chainMark) + len(link{}) + 2

// encode returns the line of an event, with its newline, and the chain value after it.
func encode(e run.Event, before link) (line []byte, after link, err error) {
	kind, data, err := run.EncodeFact(e.What)
	if err != nil {
		return nil, before, err
	}
	var b bytes.Buffer
	b.WriteByte('{')
	if e.N == 1 {
		fmt.Fprintf(&b, `"format":%d,`, Format)
	}
	fmt.Fprintf(&b, `"n":%d,"at":%q,"elapsed":%.3f,`, e.N, e.At.UTC().Format(timeLayout), e.Elapsed.Seconds())
	if e.Vessel != "" {
		label, _ := json.Marshal(e.Vessel)
		fmt.Fprintf(&b, `"vessel":%s,`, label)
	}
	fmt.Fprintf(&b, `"fact":%q,"data":%s`, kind, data)
	after = before.next(b.Bytes())
	b.WriteString(chainMark)
	b.Write(after[:])
	b.WriteString("\"}\n")
	return b.Bytes(), after, nil
}

// record is a line as JSON sees it.
type record struct {
	Format  int             `json:"format"`
	N       int             `json:"n"`
	At      time.Time       `json:"at"`
	Elapsed run.Span        `json:"elapsed"`
	Vessel  string          `json:"vessel"`
	Fact    string          `json:"fact"`
	Data    json.RawMessage `json:"data"`
	Chain   string          `json:"chain"`
}

// decode reads a line without its newline and checks it against the chain. The error says what is wrong with it.
func decode(line []byte, n int, before link) (run.Event, link, error) {
	if n == 1 {
		if err := newer(line); err != nil {
			return run.Event{}, before, err
		}
	}
	if len(line) <= tail || !bytes.HasPrefix(line[len(line)-tail:], []byte(chainMark)) || !bytes.HasSuffix(line, []byte(`"}`)) {
		return run.Event{}, before, fmt.Errorf("this is no line of a journal")
	}
	body := line[:len(line)-tail]
	after := before.next(body)
	if !bytes.Equal(after[:], line[len(line)-tail+len(chainMark):len(line)-2]) {
		return run.Event{}, before, fmt.Errorf("the line was altered, moved or follows a line that was: its checksum does not match")
	}
	var r record
	d := json.NewDecoder(bytes.NewReader(line))
	d.DisallowUnknownFields()
	if err := d.Decode(&r); err != nil {
		return run.Event{}, before, fmt.Errorf("the line cannot be read: %w", err)
	}
	if r.N != n || (r.Format != 0) != (n == 1) {
		return run.Event{}, before, fmt.Errorf("the line says that it is number %d", r.N)
	}
	fact, err := run.DecodeFact(r.Fact, r.Data)
	if err != nil {
		return run.Event{}, before, err
	}
	return run.Event{N: r.N, Moment: run.Moment{At: r.At.UTC(), Elapsed: time.Duration(r.Elapsed)}, Vessel: r.Vessel, What: fact}, after, nil
}

// newer returns a *NewerError when a first line is of a format later than this one.
func newer(line []byte) error {
	var f struct {
		Format int `json:"format"`
	}
	if json.Unmarshal(line, &f) == nil && f.Format > Format {
		return &NewerError{Format: f.Format}
	}
	return nil
}
