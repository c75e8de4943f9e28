package quantity

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// MaxTextLength is the longest text that is read as a number with a unit.
const MaxTextLength = 120

var numeral = regexp.MustCompile(`^([+-]?)([0-9]*)(?:([.,])([0-9]*))?([eE][+-]?[0-9]+)?$`)

// split cuts a text such as "0.35mL" or "12,5 mL" into its numeral and its unit. An e followed by digits belongs to
// the numeral.
var split = regexp.MustCompile(`^([+-]?[0-9]*(?:[.,][0-9]*)*(?:[eE][+-]?[0-9]+)?)\s*(.*)$`)

// spellings turns signs that a phone or a word processor writes into plain ones: minus signs, and the spaces that do
// not break.
var spellings = strings.NewReplacer("−", "-", "–", "-", "\u00a0", " ", "\u202f", " ", "\u2009", " ", "\ufeff", "")

// An AmbiguousError says that a typed number can be read in two ways: "1,234".
type AmbiguousError struct {
	Text  string
	A, B  float64
	Write [2]string
}

func (e *AmbiguousError) Error() string {
	return fmt.Sprintf("%q may be %s or %s; type it without the mark or with a point", e.Text, e.Write[0], e.Write[1])
}

// A TextError says why a text is no reading, and what to type.
type TextError struct{ Msg string }

func (e *TextError) Error() string { return e.Msg }

// farthest is how many times the unit that is asked for a typed unit may be: from µg to g and from mg to kg is a
// million, and the rest is for dust.
const farthest = 1.000001e6

// ParseReading reads a number as it is typed at the bench and returns it in the unit that is asked for. Point and comma
// are both decimal marks ("12,5"), a unit may follow with or without a space ("500 uL", "0.35mL", "142.86 g") and is
// converted, unless it is more than a million times smaller or larger ("6.84 gg" for a mass in g is no gigagram);
// without one the number is in unit. A comma followed by just three digits could be a thousands mark, so "1,234"
// returns an *AmbiguousError; "0,123" does not.
func ParseReading(text string, unit Unit) (Quantity, error) {
	num, code, err := cut(text)
	if err != nil {
		return Quantity{}, err
	}
	value, err := parseNumeral(num)
	if err != nil {
		return Quantity{}, err
	}
	if code == "" {
		return Exact(value, unit), nil
	}
	u, err := parseTypedUnit(code, unit)
	if err != nil {
		return Quantity{}, &TextError{fmt.Sprintf("%v; a bare number is in %s", err, unit.named())}
	}
	if u == unit {
		return Exact(value, unit), nil
	}
	q, err := Exact(value, u).To(unit)
	if err != nil {
		return Quantity{}, &TextError{fmt.Sprintf("%s is no unit for a reading in %s", code, unit.named())}
	}
	if f := u.factorTo(unit); f > farthest || f < 1/farthest {
		return Quantity{}, &TextError{fmt.Sprintf("%s (%s) is 10^%.0f times %s: that is taken for a slip; type the number in %s", code, u.Shown(), math.Log10(f), unit.named(), unit.named())}
	}
	if math.IsInf(q.Value, 0) {
		return Quantity{}, &TextError{fmt.Sprintf("%q is too large a number", num)}
	}
	return Exact(tidy(q.Value), unit), nil
}

// named is the unit as it is shown, or its code where nothing is.
func (u Unit) named() string {
	return cmp.Or(u.Shown(), u.String())
}

// ParseQuantity reads a number with its unit as a protocol file writes it: "30 mL", "0.02 g", "1". A number without a
// unit is a ratio.
func ParseQuantity(text string) (Quantity, error) {
	num, code, err := cut(text)
	if err != nil {
		return Quantity{}, err
	}
	if strings.Contains(num, ",") {
		return Quantity{}, &TextError{fmt.Sprintf("%q has a comma: a file writes a decimal point", text)}
	}
	value, err := parseNumeral(num)
	if err != nil {
		return Quantity{}, err
	}
	u, err := ParseUnit(code)
	if err != nil {
		return Quantity{}, err
	}
	return Exact(value, u), nil
}

// cut parts a text into its numeral and its unit, with plain signs and no spaces about them.
func cut(text string) (num, code string, err error) {
	if len(text) > MaxTextLength {
		return "", "", &TextError{fmt.Sprintf("a number of %d characters is too long", len(text))}
	}
	plain := strings.TrimSpace(spellings.Replace(text))
	m := split.FindStringSubmatch(plain)
	if m == nil || !strings.ContainsAny(m[1], "0123456789") || strings.ContainsAny(m[1][:1], "eE") {
		return "", "", &TextError{fmt.Sprintf("%q is no number; type digits such as 12.5", text)}
	}
	if m[2] != "" && !strings.HasPrefix(m[2], "1/") && strings.ContainsAny(m[2][:1], "0123456789+-.,") {
		return "", "", &TextError{fmt.Sprintf("%q is more than one number; type digits without a space, such as 12.5", text)}
	}
	return m[1], m[2], nil
}

func parseNumeral(num string) (float64, error) {
	m := numeral.FindStringSubmatch(num)
	if m == nil || m[2]+m[4] == "" {
		return 0, &TextError{fmt.Sprintf("%q has more than one decimal mark; type digits and one mark such as 12.5", num)}
	}
	sign, whole, mark, decimals, power := m[1], m[2], m[3], m[4], m[5]
	if mark == "," && len(decimals) == 3 && power == "" && len(whole) <= 3 && strings.Trim(whole, "0") != "" {
		return 0, ambiguous(num, sign+whole+"."+decimals, sign+whole+decimals)
	}
	v, err := strconv.ParseFloat(strings.Replace(num, ",", ".", 1), 64)
	if err != nil {
		return 0, &TextError{fmt.Sprintf("%q is too large a number", num)}
	}
	return v, nil
}

// ambiguous says that num is one of two numbers, each written out.
func ambiguous(num, small, large string) error {
	a, err := strconv.ParseFloat(small, 64)
	if err != nil {
		return err
	}
	b, err := strconv.ParseFloat(large, 64)
	if err != nil {
		return err
	}
	return &AmbiguousError{num, a, b, [2]string{small, large}}
}

// parseTypedUnit takes a UCUM code and the common ways to write one on a label. For a temperature a bare C is no
// coulomb.
func parseTypedUnit(code string, asked Unit) (Unit, error) {
	if asked.IsTemperature() && (code == "C" || code == "c" || code == "°") {
		return ParseUnit("Cel")
	}
	if code == "S" && asked.Fits(MustUnit("s")) { // no siemens where a time is asked for
		return ParseUnit("s")
	}
	if meant, ok := slips[code]; ok { // also where the slip is a code of its own: ML is no megalitre at the bench
		return ParseUnit(meant)
	}
	if meant, ok := labelForm(code); ok {
		code = meant
	}
	return ParseUnit(code)
}

// tidy removes the last-bit dust of a conversion by a power of ten: 500 uL is 0.5 mL.
func tidy(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 15, 64), 64)
	if err != nil {
		return x
	}
	return y
}
