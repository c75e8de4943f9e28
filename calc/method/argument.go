package method

import (
	"fmt"
	"slices"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/reference"
)

// number, optional, readings and row describe parameters in the tables of functions.
func number(name, unit, says string) formula.Param {
	return formula.Param{Name: name, Kind: formula.Number, Unit: quantity.MustUnit(unit), Says: says}
}

func optional(p formula.Param) formula.Param {
	p.Optional = true
	return p
}

func readings(name, unit, says string) formula.Param {
	return formula.Param{Name: name, Kind: formula.Series, Unit: quantity.MustUnit(unit), Says: says}
}

func row(name string, rows func() []string, says string) formula.Param {
	return formula.Param{Name: name, Kind: formula.Text, Rows: rows, Says: says}
}

func oilRow() formula.Param {
	return row("oil", reference.OilIDs, "an oil of the table or a profile of the protocol")
}

func alcoholRow() formula.Param { return row("alcohol", inRole("alcohol"), "the alcohol of the ester") }
func alkaliRow() formula.Param  { return row("alkali", inRole("alkali"), "the alkali of the catalyst") }

func inRole(role string) func() []string {
	return func() []string {
		return reference.SubstanceIDs(func(s reference.Substance) bool { return s.Role == role })
	}
}

// arguments reads the values that a function was called with; a value that is not there reads as nothing.
type arguments []formula.Value

func (a arguments) has(i int) bool { return i < len(a) }

func (a arguments) number(i int) quantity.Quantity {
	if !a.has(i) {
		return quantity.Quantity{}
	}
	return a[i].Number
}

// positive returns argument i, which must be more than zero.
func (c *chain) positive(a arguments, i int, name string) quantity.Quantity {
	q := a.number(i)
	if !(q.Value > 0) || !finite(q.Value) {
		c.refuse(false, fmt.Sprintf("%s is %g %s: it must be more than zero", name, q.Value, q.Unit.Shown()))
	}
	return q
}

// counted returns argument i, which must not be negative.
func (c *chain) counted(a arguments, i int, name string) quantity.Quantity {
	q := a.number(i)
	if !(q.Value >= 0) || !finite(q.Value) {
		c.refuse(false, fmt.Sprintf("%s is %g %s: it must not be negative", name, q.Value, q.Unit.Shown()))
	}
	return q
}

// known returns argument i, which may be any finite number: a blank near zero may come out a little below it.
func (c *chain) known(a arguments, i int, name string) quantity.Quantity {
	q := a.number(i)
	if !finite(q.Value) {
		c.refuse(false, fmt.Sprintf("%s is no number", name))
	}
	return q
}

// profile returns the oil that argument i names: the protocol's own profile or a row of the table.
func (c *chain) profile(a arguments, i int) reference.Profile {
	var p reference.Profile
	var err error
	if a.has(i) {
		own, ok := a[i].Row.(reference.Profile)
		if p = own; !ok {
			p, err = reference.FindOil(a[i].Text)
		}
	}
	if err == nil && len(p.Fractions) == 0 {
		err = &quantity.RangeError{Msg: "the oil has no fatty acids"}
	}
	c.keep(quantity.Quantity{}, err)
	if slices.ContainsFunc(a, func(v formula.Value) bool { return v.Number.Drawn }) {
		return p.Drawn()
	}
	return p
}

// substance returns the substance that argument i names; a role other than "" is required of it.
func (c *chain) substance(a arguments, i int, role string) reference.Substance {
	id := ""
	if a.has(i) {
		id = a[i].Text
	}
	s, err := reference.FindSubstance(id)
	if err == nil && role != "" && s.Role != role {
		err = &reference.UnknownError{What: role, Name: id, Known: inRole(role)()}
	}
	c.keep(quantity.Quantity{}, err)
	return s
}

// molarMass returns the molar mass in g/mol of a substance named in this program's own source.
func molarMass(id string) quantity.Quantity {
	s, _ := reference.FindSubstance(id)
	return s.MolarMass()
}

// times returns n·q for an exact n.
func times(n float64, q quantity.Quantity) quantity.Quantity {
	return quantity.Combine(n*q.Value, q.Unit, []quantity.Quantity{q}, []float64{n})
}
