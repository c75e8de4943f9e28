package protocols_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/run"
)

// A course gives a value of a series anew, by its value in the demo and the minutes since the first of the series.
type course func(value, minutes float64) float64

// doubted works a demo's vessel A up with other givens, and other courses, and returns the values of these series that would
// have been asked about.
func doubted(t *testing.T, id string, givens map[string]string, courses map[string]course) []string {
	t.Helper()
	rows := [][]string{demoRows(t, id)[0]}
	for given, value := range givens {
		number, unit, _ := strings.Cut(value, " ")
		rows = append(rows, []string{"A", given, number, unit, ""})
	}
	first := map[string]time.Time{}
	for _, row := range demoRows(t, id)[1:] {
		if row[0] != "A" || givens[row[1]] != "" {
			continue
		}
		if f := courses[row[1]]; f != nil {
			at, err := time.Parse(time.RFC3339Nano, row[4])
			if err != nil {
				t.Fatal(err)
			}
			if _, met := first[row[1]]; !met {
				first[row[1]] = at
			}
			was, err := strconv.ParseFloat(row[2], 64)
			if err != nil {
				t.Fatal(err)
			}
			row = slices.Clone(row)
			row[2] = strconv.FormatFloat(f(was, at.Sub(first[row[1]]).Minutes()), 'f', 1, 64)
		}
		rows = append(rows, row)
	}
	var text bytes.Buffer
	if err := csv.NewWriter(&text).WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	events, err := paper.Read(&text, load(t, id), "readings.csv", paper.Options{Run: "paper", Program: "test"})
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range events {
		if f, ok := e.What.(run.ReadingTaken); ok && f.Unlikely && courses[f.Reading] != nil {
			out = append(out, f.Reading+" "+f.Typed+", "+f.Planned)
		}
	}
	return out
}

// TestUsualPace: what less and more water, or less and more oil, does at the usual pace is not asked about. The heat of one
// flame is spread over the water; the layer grows with the oil; what is in a flask of the same shape is warmed the more
// slowly, by its size.
func TestUsualPace(t *testing.T) {
	for _, grams := range []float64{100, 250} {
		heated := func(value, _ float64) float64 { return 14.8 + (value-14.8)*180/grams }
		for _, asked := range doubted(t, burn, map[string]string{"water_mass": fmt.Sprintf("%g g", grams)},
			map[string]course{"pre_temperature": heated, "burn_temperature": heated, "post_temperature": heated}) {
			t.Errorf("%g g of water: %s", grams, asked)
		}
	}
	for _, grams := range []float64{20, 50, 150} {
		tau := 4.1 * math.Cbrt(grams/50) // min; 4.1 is the demo's own
		warmed := func(_, minutes float64) float64 { return 55 - 35.4*math.Exp(-(minutes+2)/tau) }
		settled := func(value, _ float64) float64 { return math.Round(2*value*grams/50) / 2 }
		for _, asked := range doubted(t, ester, map[string]string{"oil_mass": fmt.Sprintf("%g g", grams), "cylinder_size": "250 mL"},
			map[string]course{"oil_temperature": warmed, "interface": settled}) {
			t.Errorf("%g g of oil: %s", grams, asked)
		}
	}
}

// TestUnusualPace: beyond it is.
func TestUnusualPace(t *testing.T) {
	tooFast := func(value, minutes float64) float64 { return value + 5*minutes }
	if got := doubted(t, burn, map[string]string{"water_mass": "250 g"}, map[string]course{"burn_temperature": tooFast}); len(got) == 0 {
		t.Error("9 K/min of 250 g of water are not asked about")
	}
	if got := doubted(t, ester, map[string]string{"oil_mass": "20 g"}, map[string]course{"interface": func(value, _ float64) float64 { return value }}); len(got) == 0 {
		t.Error("2 mL/min of 20 g of oil are not asked about")
	}
}
