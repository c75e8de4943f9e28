package reference

import (
	"embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/meniscus/calc/quantity"
)

//go:embed *.csv
var files embed.FS

// A Provenance says where a row comes from and how it was seen: "document", "memory" or "computed".
type Provenance struct {
	Source  string
	HowSeen string
}

func (p Provenance) String() string {
	if p.HowSeen == "memory" {
		return p.Source + " (from memory)"
	}
	return p.Source
}

// A row is one line of a table by column name.
type row map[string]string

// read returns the rows of an embedded table in file order. The tables are part of the program; a test sees to it that
// each can be read.
func read(name string) []row {
	text, err := files.ReadFile(name + ".csv")
	if err != nil {
		return nil
	}
	lines, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil || len(lines) == 0 {
		return nil
	}
	rows := make([]row, 0, len(lines)-1)
	for _, line := range lines[1:] {
		r := make(row, len(line))
		for i, column := range lines[0] {
			r[column] = line[i]
		}
		rows = append(rows, r)
	}
	return rows
}

func (r row) provenance() Provenance { return Provenance{r["source"], r["how_seen"]} }

// number returns a column's number, NaN when the column is empty.
func (r row) number(column string) float64 {
	x, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		return math.NaN()
	}
	return x
}

// quantity returns a column's number in the unit, with the row's half-width as the source "table:" + name.
func (r row) quantity(column, unit, name string) quantity.Quantity {
	return tabled(r.number(column), r.number("half_width"), unit, name)
}

func tabled(value, halfWidth float64, unit, name string) quantity.Quantity {
	s := quantity.Source{Name: "table:" + name, Shape: quantity.Rectangular, DoF: quantity.Known()}
	return quantity.Exact(value, quantity.MustUnit(unit)).With(s, s.Shape.HalfWidth(halfWidth))
}

// An UnknownError says that a table has no such row, and which rows it has.
type UnknownError struct {
	What  string // "substance", "oil", ...
	Name  string
	Known []string
}

func (e *UnknownError) Error() string {
	return fmt.Sprintf("no %s %q in the tables; write one of %s", e.What, e.Name, strings.Join(e.Known, ", "))
}
