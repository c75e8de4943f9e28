package quantity

import (
	"fmt"
	"strings"
)

// MaxUnitLength is the longest unit code that is read, in bytes.
const MaxUnitLength = 80

// MustUnit is ParseUnit for the codes that stand in this program's own source, where a wrong one is a mistake of the
// programmer: it panics. A code from outside goes through ParseUnit.
func MustUnit(code string) Unit {
	u, err := ParseUnit(code)
	if err != nil {
		panic("quantity: " + err.Error())
	}
	return u
}

// ParseUnit reads a UCUM code in its case-sensitive form: "g", "kJ/g", "kg/m3", "J/(g.K)", "mm2/s", "Cel", "%", "1".
// Brackets do not nest. An error is a *UnitError and names the code that was probably meant.
func ParseUnit(code string) (Unit, error) {
	if d, ok := interned.load(code); ok {
		return Unit{d}, nil
	}
	if len(code) > MaxUnitLength {
		return One, &UnitError{Msg: fmt.Sprintf("a unit code of %d characters is too long: at most %d", len(code), MaxUnitLength)}
	}
	u, err := parseStrict(code)
	if err != nil {
		if name := isElsewhere(code); name != "" {
			err = &UnitError{Msg: fmt.Sprintf("the unit %q is the %s, which is not known here", code, name)}
		} else if better, ok := labelForm(code); ok {
			err = &UnitError{Msg: fmt.Sprintf("the unit %q is not a UCUM code: write %q", code, better)}
		}
		return One, err
	}
	if u.def != nil {
		interned.keep(code, u.def)
	}
	return u, nil
}

// parseStrict reads a code without looking for what else might be meant.
func parseStrict(code string) (Unit, error) {
	if code == "" || code == "1" {
		return One, nil
	}
	fs, rest, err := parseTerms(code, code, false)
	if err != nil {
		return One, err
	}
	if rest != "" {
		return One, &UnitError{Msg: fmt.Sprintf("the unit %q has a \")\" without a \"(\" before it", code)}
	}
	return build(fs)
}

// parseTerms reads terms joined by "." and "/" up to the end, or up to ")" inside a bracket, and returns what follows.
func parseTerms(code, rest string, inside bool) (fs []factor, after string, err error) {
	sign := 1
	if strings.HasPrefix(rest, "/") { // a code may begin with it
		sign, rest = -1, rest[1:]
	}
	for {
		var part []factor
		if strings.HasPrefix(rest, "(") && !inside {
			if part, rest, err = parseTerms(code, rest[1:], true); err != nil {
				return nil, "", err
			}
			if !strings.HasPrefix(rest, ")") {
				return nil, "", &UnitError{Msg: fmt.Sprintf("the unit %q has a \"(\" that is not closed", code)}
			}
			rest = rest[1:]
		} else {
			end := strings.IndexAny(rest, "./()")
			if end < 0 {
				end = len(rest)
			}
			if part, err = parseTerm(code, rest[:end]); err != nil {
				return nil, "", err
			}
			rest = rest[end:]
		}
		fs = append(fs, raised(part, sign)...)
		if rest == "" || rest[0] == ')' {
			return fs, rest, nil
		}
		if rest[0] == '(' {
			return nil, "", &UnitError{Msg: fmt.Sprintf("the unit %q has a bracket without \".\" or \"/\" before it, or one inside another", code)}
		}
		sign = 1
		if rest[0] == '/' {
			sign = -1
		}
		rest = rest[1:]
	}
}

// parseTerm reads one atom with its exponent: "m3", "s-2", "1".
func parseTerm(code, term string) ([]factor, error) {
	if term == "1" {
		return nil, nil
	}
	atom, digits := cutExponent(term)
	exp := 1
	minus := strings.HasPrefix(digits, "-")
	if digits != "" {
		n := strings.TrimPrefix(digits, "-")
		if len(n) != 1 || n == "0" {
			return nil, &UnitError{Msg: fmt.Sprintf("the unit %q has an exponent in %q that is not from 1 to 9", code, term)}
		}
		exp = int(n[0] - '0')
	}
	if minus {
		exp = -exp
	}
	if atom == "" {
		return nil, &UnitError{Msg: fmt.Sprintf("the unit %q has a sign with nothing beside it", code)}
	}
	prefix, e, ok := lookup(atom)
	if !ok {
		return nil, &UnitError{Msg: fmt.Sprintf("the unit %q is not a UCUM code that is known here: see the list of units", code)}
	}
	if e.Code == "l" { // two codes for the litre are one unit
		atom = prefix + "L"
	}
	return []factor{{atom, exp}}, nil
}

// cutExponent parts "m-3" into "m" and "-3"; digits inside square brackets belong to the atom.
func cutExponent(term string) (atom, digits string) {
	atom = strings.TrimRight(term, "0123456789")
	if len(atom) < len(term) {
		atom = strings.TrimSuffix(atom, "-")
	}
	return atom, term[len(atom):]
}
