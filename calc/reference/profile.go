package reference

import (
	"fmt"
	"regexp"
	"sort"
	"strconv"

	"example.org/meniscus/calc/quantity"
)

// An Acid is a fatty acid with Carbons carbon atoms and Bonds carbon-carbon double bonds: C18:1 is oleic acid.
type Acid struct{ Carbons, Bonds int }

func (a Acid) String() string { return fmt.Sprintf("%d:%d", a.Carbons, a.Bonds) }

// composition returns the atoms of C(n)H(2n-2d)O2.
func (a Acid) composition() []Count {
	return []Count{{"C", float64(a.Carbons)}, {"H", float64(2*a.Carbons - 2*a.Bonds)}, {"O", 2}}
}

var acidName = regexp.MustCompile(`^C?([0-9]{1,2}):([0-9])$`)

// ParseAcid reads "18:1" or "C18:1". Chains have 4 to 30 carbon atoms.
func ParseAcid(text string) (Acid, error) {
	m := acidName.FindStringSubmatch(text)
	if m == nil {
		return Acid{}, fmt.Errorf("%q is no fatty acid; write carbon atoms, a colon and double bonds, as in \"18:1\"", text)
	}
	var a Acid
	a.Carbons, _ = strconv.Atoi(m[1])
	a.Bonds, _ = strconv.Atoi(m[2])
	if a.Carbons < 4 || a.Carbons > 30 || 3*a.Bonds >= a.Carbons {
		return Acid{}, fmt.Errorf("%q is no fatty acid of an oil; write 4 to 30 carbon atoms and fewer double bonds than a third of them", text)
	}
	return a, nil
}

// A Fraction is one fatty acid's part of an oil, in percent by mass of all fatty acids, with its standard uncertainty.
type Fraction struct {
	Acid
	Percent float64
	U       float64 // of Percent before all are scaled to 100 %; 0 when it is taken as exact
}

// A Profile is the composition of an oil, seen as pure triglyceride: free acid and unsaponifiable matter are left out.
// Fractions are in the order of chain length and double bonds and add up to 100 %. Make one with NewProfile or FindOil;
// the zero Profile has no acids and its masses are no numbers.
type Profile struct {
	Name      string
	Fractions []Fraction
	Provenance

	of string // begins the names of its sources of uncertainty
	// acid, oil, carbons and bonds are what FattyAcid, Triglyceride, Carbons and DoubleBonds return, once settled.
	settled                   bool
	acid, oil, carbons, bonds quantity.Quantity
}

// The sums of percentages that a profile may have before it is scaled to 100 %: published profiles leave out minor
// acids.
const (
	leastSum = 90
	mostSum  = 101
)

// NewProfile returns the profile with the given percentages by mass, scaled to 100 % and taken as exact (see Within).
// Acids are written "18:1" or "C18:1"; the percentages must add up to 90 to 101 %.
func NewProfile(name string, acids map[string]float64) (Profile, error) {
	p := Profile{Name: name, Provenance: Provenance{Source: "given with the protocol"}, of: "profile:" + name}
	keys := make([]string, 0, len(acids))
	for k := range acids {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	seen := map[Acid]bool{}
	for _, k := range keys {
		a, err := ParseAcid(k)
		if err != nil {
			return Profile{}, fmt.Errorf("profile %s: %w", name, err)
		}
		if seen[a] {
			return Profile{}, fmt.Errorf("profile %s: the fatty acid %s stands there twice; write it once", name, a)
		}
		seen[a] = true
		if x := acids[k]; !(x >= 0 && x <= 100) {
			return Profile{}, fmt.Errorf("profile %s: %s = %g is no percentage; write 0 to 100", name, k, x)
		}
		if acids[k] > 0 {
			p.Fractions = append(p.Fractions, Fraction{Acid: a, Percent: acids[k]})
		}
	}
	return p.scaled()
}

// scaled returns p with its fractions in order and scaled to 100 %.
func (p Profile) scaled() (Profile, error) {
	sort.Slice(p.Fractions, func(i, j int) bool {
		a, b := p.Fractions[i].Acid, p.Fractions[j].Acid
		return a.Carbons < b.Carbons || a.Carbons == b.Carbons && a.Bonds < b.Bonds
	})
	var sum float64
	for _, f := range p.Fractions {
		sum += f.Percent
	}
	if sum < leastSum-1e-9 || sum > mostSum+1e-9 {
		return Profile{}, fmt.Errorf("profile %s: the fatty acids add up to %.4g %%; write percentages that add up to %d to %d %%", p.Name, sum, leastSum, mostSum)
	}
	for i := range p.Fractions {
		p.Fractions[i].Percent *= 100 / sum
		p.Fractions[i].U *= 100 / sum
	}
	return p.settle(), nil
}

// settle returns p with what is asked of it again and again worked out.
func (p Profile) settle() Profile {
	p.acid = p.doubt(p.fattyAcid(), Profile.meanMass)
	p.carbons = p.doubt(quantity.Ratio(p.meanCarbons()), Profile.meanCarbons)
	p.bonds = p.doubt(quantity.Ratio(p.meanBonds()), Profile.meanBonds)
	p.settled = true
	p.oil = p.triglyceride()
	return p
}

// FattyAcid returns the mean molar mass of the fatty acids in g/mol: 1 over the sum of w/M.
func (p Profile) FattyAcid() quantity.Quantity {
	if !p.settled {
		return p.fattyAcid()
	}
	return p.acid
}

// Drawn returns p for a trial: what is made of its means has no effects.
func (p Profile) Drawn() Profile {
	for _, q := range []*quantity.Quantity{&p.acid, &p.oil, &p.carbons, &p.bonds} {
		*q = quantity.Quantity{Value: q.Value, Unit: q.Unit, Drawn: true}
	}
	return p
}

// Carbons and DoubleBonds return the mean number of carbon atoms and of double bonds in a fatty acid, per mole of acid.
func (p Profile) Carbons() quantity.Quantity     { return p.carbons }
func (p Profile) DoubleBonds() quantity.Quantity { return p.bonds }

// fattyAcid is FattyAcid for an exact composition.
func (p Profile) fattyAcid() quantity.Quantity {
	var moles float64 // in 1 g of acids
	by := map[string]float64{"C": 0, "H": 0, "O": 0}
	for _, f := range p.Fractions {
		atoms := f.composition()
		m := massValue(atoms)
		moles += f.Percent / 100 / m
		for _, c := range atoms {
			by[c.Symbol] += f.Percent / 100 * c.Atoms / (m * m)
		}
	}
	mean := 1 / moles
	var inputs []quantity.Quantity
	var derivatives []float64
	for _, symbol := range []string{"C", "H", "O"} {
		a, _ := AtomicMass(symbol)
		inputs = append(inputs, a)
		derivatives = append(derivatives, by[symbol]*mean*mean)
	}
	return quantity.Combine(mean, quantity.MustUnit("g/mol"), inputs, derivatives)
}

// MeanAcid returns the atoms of the mean fatty acid, per mole of acid.
func (p Profile) MeanAcid() []Count {
	counts := []Count{{"C", 0}, {"H", 0}, {"O", 0}}
	for i, x := range p.moleFractions() {
		for j, c := range p.Fractions[i].composition() {
			counts[j].Atoms += x * c.Atoms
		}
	}
	return counts
}

func (p Profile) moleFractions() []float64 {
	out := make([]float64, len(p.Fractions))
	var sum float64
	for i, f := range p.Fractions {
		out[i] = f.Percent / massValue(f.composition())
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}

// Triglyceride returns the mean molar mass of the oil in g/mol: three fatty acids and glycerol less three waters.
func (p Profile) Triglyceride() quantity.Quantity {
	if p.settled {
		return p.oil
	}
	return p.triglyceride()
}

func (p Profile) triglyceride() quantity.Quantity {
	return linear(mass{3, p.FattyAcid()}, mass{1, known("C3H8O3")}, mass{-3, known("H2O")})
}

// Ester returns the mean molar mass in g/mol of the esters with an alcohol.
func (p Profile) Ester(alcohol Substance) quantity.Quantity {
	return linear(mass{1, p.FattyAcid()}, mass{1, alcohol.MolarMass()}, mass{-1, known("H2O")})
}

type mass struct {
	n float64
	m quantity.Quantity
}

// linear returns the sum of n*m in g/mol.
func linear(terms ...mass) quantity.Quantity {
	var sum float64
	var inputs []quantity.Quantity
	var derivatives []float64
	for _, t := range terms {
		sum += t.n * t.m.Value
		inputs, derivatives = append(inputs, t.m), append(derivatives, t.n)
	}
	return quantity.Combine(sum, quantity.MustUnit("g/mol"), inputs, derivatives)
}

// known returns the molar mass of a formula written in this program's own source.
func known(formula string) quantity.Quantity {
	q, _ := MolarMass(formula)
	return q
}

// EsterAtoms returns the atoms of the mean ester with an alcohol, TriglycerideAtoms those of the mean triglyceride.
func (p Profile) EsterAtoms(alcohol Substance) []Count {
	counts := p.MeanAcid()
	atoms, _ := Composition(alcohol.Formula)
	for _, c := range atoms {
		counts = addCount(counts, c.Symbol, c.Atoms)
	}
	return addCount(addCount(counts, "H", -2), "O", -1)
}

// TriglycerideAtoms returns the atoms of the mean triglyceride.
func (p Profile) TriglycerideAtoms() []Count {
	counts := p.MeanAcid()
	for i := range counts {
		counts[i].Atoms *= 3
	}
	return addCount(addCount(counts, "C", 3), "H", 2) // C3H8O3 less three H2O
}
