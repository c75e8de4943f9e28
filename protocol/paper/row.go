package paper

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// What a file may hold.
const (
	MaxBytes = 10 << 20
	MaxRows  = 100_000

	maxCell    = 2000 // bytes
	maxLabel   = 20   // bytes
	maxVessels = 100
)

// Header is the first row of the file.
const Header = "vessel,reading,value,unit,at"

// row is one line of the file, its cells trimmed.
type row struct {
	line                             int
	vessel, reading, value, unit, at string
	portion                          int // as the name says it: titre.2; 0 where it does not
}

// rows reads the file's cells; false when it is no table at all.
func (r *reader) rows(in io.Reader) ([]row, bool) {
	text, err := io.ReadAll(io.LimitReader(in, MaxBytes+1))
	switch {
	case err != nil:
		r.fault(0, "", "cannot be read: %v", err)
		return nil, false
	case len(text) > MaxBytes:
		r.fault(0, "", "longer than %d MB: split it, one run a file", MaxBytes>>20)
		return nil, false
	case !utf8.Valid(text):
		r.fault(1+bytes.Count(text[:firstInvalid(text)], []byte("\n")), "", "this is no UTF-8 text: save the table as CSV with UTF-8")
		return nil, false
	}
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	table := csv.NewReader(bytes.NewReader(text))
	table.FieldsPerRecord, table.ReuseRecord = -1, true
	first, _, _ := strings.Cut(string(text), "\n")
	if strings.Contains(first, ";") && !strings.Contains(first, ",") {
		table.Comma = ';'
	}
	if !r.header(table) {
		return nil, false
	}
	return r.body(table)
}

func (r *reader) header(table *csv.Reader) bool {
	cells, err := table.Read()
	if err == nil {
		for i := range cells {
			cells[i] = strings.ToLower(strings.TrimSpace(cells[i]))
		}
		if strings.Join(cells, ",") == Header {
			return true
		}
	}
	if errors.Is(err, io.EOF) {
		r.fault(1, Header, "the file is empty, the header is missing")
	} else {
		r.fault(1, Header, "the first row is not the header")
	}
	return false
}

func (r *reader) body(table *csv.Reader) ([]row, bool) {
	var rows []row
	for {
		cells, err := table.Read()
		if errors.Is(err, io.EOF) {
			return rows, true
		}
		if err != nil {
			var at *csv.ParseError
			if !errors.As(err, &at) {
				r.fault(0, "", "cannot be read: %v", err)
				return rows, false
			}
			r.fault(at.StartLine, `a text with quotes as "so ""called"""`, "the quotes do not close or stand inside a cell")
			return rows, false
		}
		line, _ := table.FieldPos(0)
		if strings.TrimSpace(strings.Join(cells, "")) == "" {
			continue
		}
		if len(rows) == MaxRows {
			r.fault(line, "", "more than %d rows: split the file, one run each", MaxRows)
			return rows, false
		}
		if one, ok := r.row(line, cells); ok {
			rows = append(rows, one)
		}
	}
}

func (r *reader) row(line int, cells []string) (row, bool) {
	if len(cells) > 5 {
		r.fault(line, fmt.Sprintf("a comma inside a cell in quotes: %q", "12,5"), "found %d cells, expected 5", len(cells))
		return row{}, false
	}
	var c [5]string
	for i, cell := range cells {
		if len(cell) > maxCell {
			r.fault(line, "", "a cell of %d characters: at most %d", len(cell), maxCell)
			return row{}, false
		}
		c[i] = arm(strings.TrimSpace(strings.ReplaceAll(cell, "\u00a0", " ")))
	}
	if c[0] == "" {
		c[0] = "A"
	}
	if len(c[0]) > maxLabel || strings.ContainsAny(c[0], " .=\t") || strings.ContainsFunc(c[0], unicode.IsControl) {
		r.fault(line, "A, B, C, …", "%q is no label of a vessel", c[0])
		return row{}, false
	}
	if c[1] == "" {
		r.fault(line, "the id of a reading or a given", "no reading is named")
		return row{}, false
	}
	return row{line: line, vessel: c[0], reading: c[1], value: c[2], unit: c[3], at: c[4]}, true
}

// arm takes away the apostrophe that keeps a spreadsheet from taking a text for a formula.
func arm(cell string) string {
	rest := strings.TrimLeft(cell, "' ")
	if strings.HasPrefix(cell, "'") && rest != "" && strings.ContainsRune("=+-@\t\r", rune(rest[0])) {
		return cell[1:]
	}
	return cell
}

func firstInvalid(text []byte) int {
	for i := 0; i < len(text); {
		c, n := utf8.DecodeRune(text[i:])
		if c == utf8.RuneError && n <= 1 {
			return i
		}
		i += n
	}
	return len(text)
}
