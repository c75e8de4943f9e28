package reference

import (
	"fmt"
	"sync"

	"example.org/meniscus/calc/quantity"
)

// A Substance is a pure compound. ID is how formulas name it and is case-sensitive: ethanol, KOH, KHP.
type Substance struct {
	ID      string
	Name    string
	Formula string
	Role    string // "alcohol", "alkali", "standard" (a monobasic acid to standardise with) or ""
	Density *Density
	Heat    *Heat
}

// A Density is that of a liquid near room temperature.
type Density struct {
	At20      quantity.Quantity // kg/m3 at 20 °C
	Expansion quantity.Quantity // relative fall of the density per kelvin, 1/K
	Provenance
}

// A Heat is the gross heat of combustion: at 25 °C, liquid water formed; positive when heat is given off.
type Heat struct {
	Molar quantity.Quantity // kJ/mol
	Provenance
}

var substances = sync.OnceValue(func() []Substance {
	var out []Substance
	for _, r := range read("substances") {
		out = append(out, Substance{ID: r["id"], Name: r["name"], Formula: r["formula"], Role: r["role"]})
	}
	const expansionDoubt = 0.05 // the expansions are from memory: taken as good to 5 % of themselves
	for _, r := range read("densities") {
		id := r["id"]
		d := &Density{r.quantity("kg_per_m3_at_20_Cel", "kg/m3", "density/"+id),
			tabled(r.number("expansion_per_K"), expansionDoubt*r.number("expansion_per_K"), "K-1", "expansion/"+id), r.provenance()}
		for i := range out {
			if out[i].ID == id {
				out[i].Density = d
			}
		}
	}
	for _, r := range read("combustion") {
		id := r["id"]
		for i := range out {
			if out[i].ID == id {
				out[i].Heat = &Heat{r.quantity("kJ_per_mol", "kJ/mol", "heat_of_combustion/"+id), r.provenance()}
			}
		}
	}
	return out
})

// FindSubstance returns the substance with the given id, or an *UnknownError.
func FindSubstance(id string) (Substance, error) {
	for _, s := range substances() {
		if s.ID == id {
			return s, nil
		}
	}
	return Substance{}, &UnknownError{"substance", id, SubstanceIDs(nil)}
}

// SubstanceIDs returns the ids of the substances that fit, in the table's order; nil fits all.
func SubstanceIDs(fits func(Substance) bool) []string {
	var out []string
	for _, s := range substances() {
		if fits == nil || fits(s) {
			out = append(out, s.ID)
		}
	}
	return out
}

// MolarMass returns the molar mass in g/mol.
func (s Substance) MolarMass() quantity.Quantity {
	q, _ := MolarMass(s.Formula) // a test reads every formula of the table
	return q
}

// DensityAt returns the density in kg/m3 at a temperature in °C: that of water by its formula, of others by the value
// at 20 °C and a constant expansion, which holds from 0 to 40 °C.
func (s Substance) DensityAt(t quantity.Quantity) (quantity.Quantity, error) {
	if s.ID == "water" {
		return WaterDensity(t)
	}
	if s.Density == nil {
		return quantity.Quantity{}, &UnknownError{"density of", s.ID, append(SubstanceIDs(hasDensity), "water")}
	}
	if !(t.Value >= 0 && t.Value <= 40) {
		return quantity.Quantity{}, &quantity.RangeError{Msg: fmt.Sprintf("the density of %s is known from 0 to 40 °C, not at %g °C", s.ID, t.Value)}
	}
	r, a, dT := s.Density.At20, s.Density.Expansion, t.Value-20
	return quantity.Combine(r.Value*(1-a.Value*dT), r.Unit, []quantity.Quantity{r, a, t},
		[]float64{1 - a.Value*dT, -r.Value * dT, -r.Value * a.Value}), nil
}

func hasDensity(s Substance) bool { return s.Density != nil }

// HeatPerGram returns the gross heat of combustion in kJ/g.
func (s Substance) HeatPerGram() (quantity.Quantity, error) {
	if s.Heat == nil {
		return quantity.Quantity{}, &UnknownError{"heat of combustion of", s.ID, SubstanceIDs(func(s Substance) bool { return s.Heat != nil })}
	}
	return quantity.Div(s.Heat.Molar, s.MolarMass())
}

// WaterDensity returns the density in kg/m3 of air-free water at a temperature in °C, from 0 to 40 °C: Recommended table
// for the density of water, Metrologia 38 (2001) 301-309, equation 1; the formula's uncertainty there is at most
// 0.0009 kg/m3 (k = 2).
func WaterDensity(t quantity.Quantity) (quantity.Quantity, error) {
	if !(t.Value >= 0 && t.Value <= 40) {
		return quantity.Quantity{}, &quantity.RangeError{Msg: fmt.Sprintf("the density of water is known from 0 to 40 °C, not at %g °C", t.Value)}
	}
	const a1, a2, a3, a4, a5 = -3.983035, 301.797, 522528.9, 69.34881, 999.974950
	q, err := t.Map(quantity.MustUnit("kg/m3"), func(x float64) (float64, float64) {
		n, m, d := x+a1, x+a2, a3*(x+a4)
		return a5 * (1 - n*n*m/d), -a5 * ((2*n*m+n*n)/d - n*n*m*a3/(d*d))
	})
	if err != nil {
		return quantity.Quantity{}, err
	}
	return q.With(quantity.Source{Name: "table:density/water", DoF: quantity.Known()}, 0.0009/2), nil
}

// A Material is what takes up heat.
type Material struct {
	ID           string
	HeatCapacity quantity.Quantity // J/(g.K), near room temperature
	Provenance
}

// Materials returns the table of specific heat capacities.
var Materials = sync.OnceValue(func() []Material {
	var out []Material
	for _, r := range read("heat_capacities") {
		out = append(out, Material{r["id"], r.quantity("J_per_gK", "J/K/g", "heat_capacity/"+r["id"]), r.provenance()})
	}
	return out
})

// MaterialIDs returns the ids of the table of heat capacities, in its order.
func MaterialIDs() []string {
	var out []string
	for _, m := range Materials() {
		out = append(out, m.ID)
	}
	return out
}

// FindMaterial returns the material with the given id, or an *UnknownError.
func FindMaterial(id string) (Material, error) {
	for _, m := range Materials() {
		if m.ID == id {
			return m, nil
		}
	}
	return Material{}, &UnknownError{"heat capacity of", id, MaterialIDs()}
}
