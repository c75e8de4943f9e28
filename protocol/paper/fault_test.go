package paper_test

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/run"
)

func TestFaultsAreToldAtOnceAndByLine(t *testing.T) {
	tests := []struct {
		name, text, want string
	}{
		{"nothing", "", `r.csv:1: the file is empty, the header is missing; write vessel,reading,value,unit,at`},
		{"no header", "A,empty,1,,\n", `r.csv:1: the first row is not the header; write vessel,reading,value,unit,at`},
		{"no rows", paper.Header + "\n\n", `r.csv:1: there is no reading below the header; write a row for each reading`},
		{"several", paper.Header + `
A,emtpy,112.36,,0
A,full,heavy,,1
A,full,12 mL,,1
A,full,12,mL,1
A,full,12 g,g,1
A,titre,"1,234",,2
A,look,muddy,,3
A,capped,perhaps,,3
A,temperature,,,4
A,temperature,20,,yesterday
A,temperature,20,,9:30
A,empty,112.36,,5
A,empty,112.37,,6
A,full,-3,,7
A,temperature,-500,,8
A,temperature,-460,[degF],9
`, `r.csv:2: weighings has no reading "emtpy"; write empty
r.csv:3: full: "heavy" is no number; type digits such as 12.5
r.csv:4: full: mL is no unit for a reading in g
r.csv:5: full: mL is no unit for a reading in g
r.csv:6: full: "12 g" is no bare number, and the unit column has "g"; write the number alone beside its unit
r.csv:7: titre: "1,234" may be 1.234 or 1234; type it without the mark or with a point
r.csv:8: look: "muddy" is none of its choices; write clear or cloudy
r.csv:9: capped: "perhaps" is neither yes nor no; write yes or no
r.csv:10: temperature has no value; write a number in Cel, or leave the row out
r.csv:11: "yesterday" is no time; write 2026-03-02T09:30:00Z, 9:30, or minutes since the start such as 12.5
r.csv:12: "9:30" is a clock time, but line 2 has minutes since the start; write one kind of time in the whole file
r.csv:14: empty is one reading, this is number 2 of vessel A; write only the one that counts
r.csv:15: full: -3 g cannot be less than nothing
r.csv:16: temperature: -500 °C is below absolute zero
r.csv:17: temperature: -273.333 °C is below absolute zero`},
		{"too many", paper.Header + "\nA,titre,1,,0\nA,titre,2,,1\nA,titre,3,,2\nA,titre,4,,3\n",
			`r.csv:5: titre has a value for each of 3 portions, this is number 4`},
		{"backwards", paper.Header + "\nA,temperature,20,,5\nA,temperature,21,,4\n",
			`r.csv:3: temperature goes back in time; write its rows in the order of their times`},
		{"mark", paper.Header + "\nA,standing_since,,,\n",
			`r.csv:2: the mark standing_since has no time; write at = 2026-03-02T09:30:00Z, 9:30, or minutes since the start such as 12.5`},
		{"mark with two times", paper.Header + "\nA,standing_since,3,min,5\nA,empty,112,,6\n",
			`r.csv:2: the mark standing_since has at = 5 and the value 3: a mark has one time; write the time in one of them`},
		{"given twice", paper.Header + "\nA,wanted,10,,\nB,wanted,11,,\nA,fuel,ester,,\nA,fuel,ester,,\n",
			`r.csv:3: the given wanted of all vessels stands in line 2 already; write it once
r.csv:5: the given fuel of vessel A stands in line 4 already; write it once`},
		{"cells", paper.Header + "\nA,empty,112,36,,0\n", `r.csv:2: found 6 cells, expected 5; write a comma inside a cell in quotes: "12,5"`},
		{"quotes", paper.Header + "\nA,empty,\"112,,0\n", `r.csv:2: the quotes do not close or stand inside a cell; write a text with quotes as "so ""called"""`},
		{"unseen", paper.Header + "\nA,empty,1\x0012,,0\nA\x07,empty,112,,0\n",
			`r.csv:2: empty: "1\x0012" has a sign in it that cannot be seen; write the number anew
r.csv:3: "A\a" is no label of a vessel; write A, B, C, …`},
		{"label", paper.Header + "\nvessel one,empty,112,,0\n", `r.csv:2: "vessel one" is no label of a vessel; write A, B, C, …`},
		{"bytes", paper.Header + "\nA,empty,112,,0\nA,lot,\xff,,0\n", `r.csv:3: this is no UTF-8 text: save the table as CSV with UTF-8`},
	}
	p := weighings(t)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := paper.Read(strings.NewReader(tt.text), p, "r.csv", paper.Options{})
			if err == nil {
				t.Fatal("no error")
			}
			var faults paper.Faults
			if !errors.As(err, &faults) {
				t.Errorf("the error is a %T, want paper.Faults", err)
			}
			if err.Error() != tt.want {
				t.Errorf("got\n%v\nwant\n%s", err, tt.want)
			}
		})
	}
}

func TestGivensOutOfBoundsAreToldAtTheirLine(t *testing.T) {
	_, err := paper.Read(strings.NewReader(paper.Header+"\nA,empty,112,,0\nA,wanted,500,g,\nB,fuel,coal,,\n"), weighings(t), "r.csv", paper.Options{})
	if err == nil {
		t.Fatal("no error")
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != 2 || !strings.HasPrefix(lines[0], "r.csv:3: ") || !strings.Contains(lines[0], "50 g") ||
		!strings.HasPrefix(lines[1], "r.csv:4: ") || !strings.Contains(lines[1], "ethanol") {
		t.Errorf("got %v: want line 3 with the bound 50 g and line 4 with the choice ethanol", err)
	}
}

func TestSizeIsBounded(t *testing.T) {
	p := weighings(t)
	long := strings.NewReader(paper.Header + "\n" + strings.Repeat(" ", paper.MaxBytes))
	if _, err := paper.Read(long, p, "r.csv", paper.Options{}); err == nil || err.Error() != "r.csv: longer than 10 MB: split it, one run a file" {
		t.Errorf("a long file: %v", err)
	}
	many := strings.NewReader(paper.Header + "\n" + strings.Repeat("A,temperature,20,,\n", paper.MaxRows+1))
	want := fmt.Sprintf("r.csv:%d: more than 100000 rows: split the file, one run each", paper.MaxRows+2)
	if _, err := paper.Read(many, p, "r.csv", paper.Options{}); err == nil || err.Error() != want {
		t.Errorf("a file of many rows: %v, want %s", err, want)
	}
}

// FuzzRead wants an error or a run that can be replayed, and never a panic.
func FuzzRead(f *testing.F) {
	text, err := os.ReadFile(folder + "weighings.csv")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(text))
	f.Add(paper.Header + "\nA,temperature,1e300,,-9999999\nB,standing_since,2,min,\n")
	f.Add("vessel;reading;value;unit;at\nA;efflux;1:02:03;;\nA;lot;'=1;;0001-01-01T00:00:00Z")
	p := weighings(f)
	f.Fuzz(func(t *testing.T, text string) {
		events, err := paper.Read(strings.NewReader(text), p, "r.csv", paper.Options{})
		if err != nil {
			if events != nil {
				t.Errorf("events beside the error %v", err)
			}
			return
		}
		if _, err := run.Fold(events); err != nil {
			t.Errorf("the run cannot be replayed: %v", err)
		}
	})
}
