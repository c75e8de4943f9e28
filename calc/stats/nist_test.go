package stats

import (
	"bufio"
	"math"
	"os"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"testing"
)

// A dataset is one of the NIST Statistical Reference Datasets, with the certified values of its comments by name.
type dataset struct {
	name      string
	certified map[string]float64 // "mean", "residual sd", "B0", "B0 sd", …
	starts    [2][]float64
	columns   [2][]float64 // x or group, then y; only the first for one column
}

var (
	plainValue = regexp.MustCompile(`^# certified (mean|sd|lag-1|F|residual sd|residual SS|between|within|B\d+)[^:]*: (.*)$`)
	parameter  = regexp.MustCompile(`^# (b\d): start1 (\S+), start2 (\S+), certified (\S+) sd (\S+)`)
	numberIn   = regexp.MustCompile(`-?\d[\d.]*(?:E[+-]\d+)?`)
)

func load(t *testing.T, name string) dataset {
	t.Helper()
	f, err := os.Open("../../testdata/nist/" + name + ".csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	d := dataset{name: name, certified: map[string]float64{}}
	header := false
	for lines := bufio.NewScanner(f); lines.Scan(); {
		switch line := lines.Text(); {
		case strings.HasPrefix(line, "#"):
			d.comment(t, line)
		case !header:
			header = true
		default:
			for i, cell := range strings.Split(line, ",") {
				d.columns[i] = append(d.columns[i], number(t, cell))
			}
		}
	}
	return d
}

func (d *dataset) comment(t *testing.T, line string) {
	if m := parameter.FindStringSubmatch(line); m != nil {
		for i := range d.starts {
			d.starts[i] = append(d.starts[i], number(t, strings.TrimSuffix(m[2+i], ",")))
		}
		d.certified[m[1]], d.certified[m[1]+" sd"] = number(t, m[4]), number(t, m[5])
		return
	}
	m := plainValue.FindStringSubmatch(line)
	if m == nil {
		return
	}
	values := numberIn.FindAllString(m[2], -1)
	switch m[1] {
	case "between", "within": // df, SS, MS
		for i, what := range []string{" df", " SS", " MS"} {
			d.certified[m[1]+what] = number(t, values[i])
		}
	default:
		d.certified[m[1]] = number(t, values[0])
		if strings.HasPrefix(m[1], "B") {
			d.certified[m[1]+" sd"] = number(t, values[1])
		}
	}
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// digits checks that got agrees with the certified value of that name in at least the given number of digits.
func (d dataset) digits(t *testing.T, name string, got, least float64) {
	t.Helper()
	want, ok := d.certified[name]
	if !ok {
		t.Fatalf("%s has no certified %s", d.name, name)
	}
	lre := -math.Log10(math.Abs(got - want))
	if want != 0 {
		lre = -math.Log10(math.Abs(got-want) / math.Abs(want))
	}
	if !(lre >= least) {
		t.Errorf("%s: %s = %.15g, certified %.15g: %.1f digits, want %g (NIST StRD)", d.name, name, got, want, lre, least)
	}
}

// The values of NumAcc3, SmLs04 and SiRstv differ only in their last digits: 1000000.2 is known to a double to 1e-10,
// which leaves nine digits of a standard deviation of 0.1.
func TestUnivariate(t *testing.T) {
	for _, tt := range []struct {
		name     string
		mean, sd float64 // digits
	}{{"Michelso", 14, 13}, {"Mavro", 14, 12}, {"NumAcc1", 15, 15}, {"NumAcc2", 14, 14}, {"NumAcc3", 14, 9}} {
		d := load(t, tt.name)
		m, err := MeanOf(d.columns[0])
		if err != nil {
			t.Fatal(err)
		}
		d.digits(t, "mean", m.Mean, tt.mean)
		d.digits(t, "sd", m.SD, tt.sd)
	}
}

func TestAnalysisOfVariance(t *testing.T) {
	for _, tt := range []struct {
		name   string
		digits float64
	}{{"SiRstv", 12}, {"SmLs01", 13}, {"SmLs04", 9}} {
		d := load(t, tt.name)
		groups := map[float64][]float64{}
		for i, g := range d.columns[0] {
			groups[g] = append(groups[g], d.columns[1][i])
		}
		var labels []float64
		for g := range groups {
			labels = append(labels, g)
		}
		sort.Float64s(labels)
		var in [][]float64
		for _, g := range labels {
			in = append(in, groups[g])
		}
		v, err := ANOVA(in, nil)
		if err != nil {
			t.Fatal(err)
		}
		d.digits(t, "between df", float64(v.Between.DoF), 15)
		d.digits(t, "within df", float64(v.Within.DoF), 15)
		d.digits(t, "between SS", v.Between.SS, tt.digits)
		d.digits(t, "within SS", v.Within.SS, tt.digits)
		d.digits(t, "between MS", v.Between.MS, tt.digits)
		d.digits(t, "within MS", v.Within.MS, tt.digits)
		d.digits(t, "F", v.F, tt.digits)
	}
}

func powers(from, to int) (out []int) {
	for i := from; i <= to; i++ {
		out = append(out, i)
	}
	return out
}

// Filip is as good as its x, which no double holds exactly, lets it be: their last bit, times a condition of 1e10 or so.
func TestLinear(t *testing.T) {
	for _, tt := range []struct {
		name      string
		powers    []int
		b, others float64 // digits of the parameters; of the deviations
	}{
		{"Norris", powers(0, 1), 12, 12}, {"Pontius", powers(0, 2), 12, 12}, {"NoInt1", powers(1, 1), 14, 14}, {"Filip", powers(0, 10), 7, 7},
		{"Wampler1", powers(0, 5), 9, 0}, {"Wampler2", powers(0, 5), 12, 0}, {"Wampler3", powers(0, 5), 9, 9}, {"Wampler5", powers(0, 5), 9, 9},
	} {
		d := load(t, tt.name)
		fit, err := Polynomial(d.columns[0], d.columns[1], tt.powers...)
		if err != nil {
			t.Errorf("%s: %v", tt.name, err)
			continue
		}
		for i, power := range tt.powers {
			name := "B" + strconv.Itoa(power)
			d.digits(t, name, fit.B[i], tt.b)
			if tt.others > 0 {
				d.digits(t, name+" sd", fit.U[i], tt.others)
			}
		}
		if tt.others > 0 {
			d.digits(t, "residual sd", fit.S, tt.others)
		} else if fit.S > 1e-6 {
			t.Errorf("%s: residual sd %g, certified 0 (NIST StRD)", tt.name, fit.S)
		}
	}
}

func TestNonlinear(t *testing.T) {
	for name, f := range map[string]func(x float64, b []float64) float64{
		"BoxBOD":     func(x float64, b []float64) float64 { return b[0] * (1 - math.Exp(-b[1]*x)) },
		"Chwirut2":   func(x float64, b []float64) float64 { return math.Exp(-b[0]*x) / (b[1] + b[2]*x) },
		"DanielWood": func(x float64, b []float64) float64 { return b[0] * math.Pow(x, b[1]) },
		"MGH17":      func(x float64, b []float64) float64 { return b[0] + b[1]*math.Exp(-x*b[3]) + b[2]*math.Exp(-x*b[4]) },
	} {
		d := load(t, name)
		x, y := d.columns[0], d.columns[1]
		for i, start := range d.starts {
			fit, err := Curve(f, x, y, start)
			if err != nil {
				t.Errorf("%s from start %d: %v", name, i+1, err)
				continue
			}
			for j := range start {
				b := "b" + strconv.Itoa(j+1)
				d.digits(t, b, fit.B[j], 7)
				d.digits(t, b+" sd", fit.U[j], 6)
			}
			d.digits(t, "residual sd", fit.S, 9)
		}
	}
}
