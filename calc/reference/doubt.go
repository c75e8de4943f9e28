package reference

import (
	"slices"

	"example.org/meniscus/calc/quantity"
)

// Within returns p with each acid's percentage uncertain by a rectangular half-width in percent of all acids, or by the
// percentage itself where that is less. Its sources are named profile:NAME/ACID.
func (p Profile) Within(halfWidth float64) Profile {
	p.Fractions = slices.Clone(p.Fractions)
	for i := range p.Fractions {
		f := &p.Fractions[i]
		f.U = quantity.Rectangular.HalfWidth(min(halfWidth, f.Percent))
	}
	return p.settle()
}

// doubt returns q with what the doubt about the composition does to it, where f gives q's value for a composition. The
// acids' percentages are independent before they are scaled to 100 %, so more of one is less of all the others.
func (p Profile) doubt(q quantity.Quantity, f func(Profile) float64) quantity.Quantity {
	for i, x := range p.Fractions {
		if x.U == 0 {
			continue
		}
		s := quantity.Source{Name: p.of + "/" + x.Acid.String(), Shape: quantity.Rectangular}
		q = q.With(s, (f(p.moved(i, x.U))-f(p.moved(i, -x.U)))/2)
	}
	return q
}

// moved returns an exact composition with one acid more by so many percent.
func (p Profile) moved(i int, percent float64) Profile {
	out := make([]Fraction, len(p.Fractions))
	for k, f := range p.Fractions {
		if k == i {
			f.Percent += percent
		}
		out[k] = Fraction{Acid: f.Acid, Percent: f.Percent * 100 / (100 + percent)}
	}
	return Profile{Name: p.Name, Fractions: out}
}

// meanMass returns the mean molar mass of the fatty acids in g/mol.
func (p Profile) meanMass() float64 {
	var moles float64
	for _, f := range p.Fractions {
		moles += f.Percent / 100 / massValue(f.composition())
	}
	return 1 / moles
}

func (p Profile) meanCarbons() (sum float64) {
	for i, x := range p.moleFractions() {
		sum += x * float64(p.Fractions[i].Carbons)
	}
	return sum
}

func (p Profile) meanBonds() (sum float64) {
	for i, x := range p.moleFractions() {
		sum += x * float64(p.Fractions[i].Bonds)
	}
	return sum
}
