package material

import (
	"math"
	"sort"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Property is a value of a material with the range of published values and
// its source. The zero Property is "not known".
type Property[T quantity.Of] struct {
	Value, Low, High T
	Source           string
}

// Known reports whether there is a value.
func (p Property[T]) Known() bool { return p.Source != "" }

// Ratio is a plain number of a material, as Property.
type Ratio struct {
	Value, Low, High float64
	Source           string
}

// Known reports whether there is a value.
func (r Ratio) Known() bool { return r.Source != "" }

// Material is what a calculation needs to know of one material.
type Material struct {
	ID      string   // stable, lower case with hyphens
	Name    string   // as a person calls it
	Aliases []string // other names
	Brittle bool     // breaks without yielding: carbon, ceramics, grey iron

	YoungsModulus Property[quantity.Stress]
	Poisson       Ratio
	Expansion     Property[quantity.Expansion]

	// CompressiveStrength is the stress in compression at which the part
	// crushes (brittle) or yields.
	CompressiveStrength Property[quantity.Stress]
	// TensileStrength is the stress in tension at which the part breaks
	// (brittle) or yields.
	TensileStrength Property[quantity.Stress]
	// PVLimit is the limit of projected pressure times sliding speed of a
	// bearing of this material.
	PVLimit Property[quantity.PressureVelocity]
	// ContactLimit is the highest projected pressure of a bearing.
	ContactLimit Property[quantity.Stress]
}

var (
	msgUnknown      = say.Define("material.unknown", "there is no material “{name}”")
	msgDidYouMean   = say.Define("material.did_you_mean", "did you mean {names}?")
	msgAmbiguous    = say.Define("material.ambiguous", "“{name}” can be several materials")
	msgWriteOne     = say.Define("material.write_one", "write one of {names}")
	msgMaterialsAre = say.Define("material.materials_are", "the materials are {names}; or give your own as youngs_modulus, poisson, expansion")
	msgModulus      = say.Define("material.modulus", "the modulus of elasticity must be positive")
	msgPoisson      = say.Define("material.poisson", "Poisson's ratio must be at least 0 and below 0.5")
	msgExpansion    = say.Define("material.expansion", "a thermal expansion of {expansion:thermal expansion} is no material of this trade")
	msgStrength     = say.Define("material.strength", "a strength must be positive")
	msgNotKnown     = say.Define("material.not_known", "for {name} there is no published {property} here")
	msgGiveOwn      = say.Define("material.give_own", "give your own material with this value, from the maker's data sheet")
)

// All lists the materials that ship, in a fixed order.
func All() []Material {
	list := make([]Material, len(table))
	copy(list, table)
	return list
}

// Names lists the names of All.
func Names() []string {
	names := make([]string, len(table))
	for i, m := range table {
		names[i] = m.Name
	}
	return names
}

// Find returns the material of a name. Capitals, spaces and punctuation do not
// matter. A name that is not known, or that several materials share, is a
// say.Problem naming the nearest.
func Find(name string) (Material, error) {
	key := normalise(name)
	if key == "" {
		return Material{}, say.Refuse("", name, msgUnknown.With(name), msgMaterialsAre.With(Names()))
	}
	for _, m := range table {
		if matches(m, key) {
			return m, nil
		}
	}
	for _, s := range shared {
		if normalise(s.name) == key {
			return Material{}, say.Refuse("", name, msgAmbiguous.With(name), msgWriteOne.With(s.of))
		}
	}
	if near := nearest(key); len(near) > 0 {
		return Material{}, say.Refuse("", name, msgUnknown.With(name), msgDidYouMean.With(near))
	}
	return Material{}, say.Refuse("", name, msgUnknown.With(name), msgMaterialsAre.With(Names()))
}

func matches(m Material, key string) bool {
	if normalise(m.ID) == key || normalise(m.Name) == key {
		return true
	}
	for _, alias := range m.Aliases {
		if normalise(alias) == key {
			return true
		}
	}
	return false
}

var spellings = strings.NewReplacer("gray", "grey", "aluminum", "aluminium")

// normalise keeps letters and digits, lower case, and writes gray as grey.
func normalise(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		if (r >= 'a' && r <= 'z') || (r >= '0' && r <= '9') {
			b.WriteRune(r)
		}
	}
	return spellings.Replace(b.String())
}

// nearest lists the names whose spelling is near, or that contain the key,
// nearest first, at most four.
func nearest(key string) []string {
	type candidate struct {
		name     string
		distance int
		place    int
	}
	var list []candidate
	for place, m := range table {
		best := len(key)
		for _, name := range append([]string{m.ID, m.Name}, m.Aliases...) {
			other := normalise(name)
			d := editDistance(key, other)
			if len(key) >= 3 && (strings.Contains(other, key) || strings.Contains(key, other)) {
				d = min(d, 2)
			}
			best = min(best, d)
		}
		if best <= max(2, len(key)/4) {
			list = append(list, candidate{m.Name, best, place})
		}
	}
	sort.Slice(list, func(i, j int) bool {
		if list[i].distance != list[j].distance {
			return list[i].distance < list[j].distance
		}
		return list[i].place < list[j].place
	})
	var names []string
	for _, c := range list[:min(4, len(list))] {
		names = append(names, c.name)
	}
	return names
}

// editDistance counts the letters to add, drop or change between two words.
func editDistance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := diagonal
			if a[i-1] != b[j-1] {
				change++
			}
			diagonal = row[j]
			row[j] = min(change, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}

// Given is what a person states of a material of their own. A nil field is
// not known.
type Given struct {
	Name                string
	YoungsModulus       *quantity.Stress
	Poisson             *float64
	Expansion           *quantity.Expansion
	CompressiveStrength *quantity.Stress
	TensileStrength     *quantity.Stress
	PVLimit             *quantity.PressureVelocity
}

// sourceOwn marks the values that a person stated.
const sourceOwn = "stated by the person who asked"

// Own makes a material of stated values. Errors name the field: a modulus or
// strength that is not positive, a Poisson's ratio outside 0 … 0.5, an
// expansion outside −10 … 500 µm/m/K (beyond any solid that is built into a
// pump).
func Own(g Given) (Material, error) {
	m := Material{ID: "own", Name: g.Name}
	if m.Name == "" {
		m.Name = "own material"
	}
	if g.YoungsModulus != nil {
		if !positive(float64(*g.YoungsModulus)) {
			return Material{}, say.Refuse("youngs_modulus", g.YoungsModulus.String(), msgModulus.With(), say.Message{})
		}
		m.YoungsModulus = stated(*g.YoungsModulus)
	}
	if g.Poisson != nil {
		if v := *g.Poisson; !(v >= 0 && v < 0.5) {
			return Material{}, say.Refuse("poisson", say.Plain(quantity.Show(quantity.NoDimension, v, say.Style{})).String(), msgPoisson.With(), say.Message{})
		}
		m.Poisson = Ratio{*g.Poisson, *g.Poisson, *g.Poisson, sourceOwn}
	}
	if g.Expansion != nil {
		if v := float64(*g.Expansion); !(v > -10e-6 && v < 500e-6) {
			return Material{}, say.Refuse("expansion", g.Expansion.String(), msgExpansion.With(*g.Expansion), say.Message{})
		}
		m.Expansion = stated(*g.Expansion)
	}
	for _, s := range []struct {
		field string
		from  *quantity.Stress
		to    *Property[quantity.Stress]
	}{
		{"compressive_strength", g.CompressiveStrength, &m.CompressiveStrength},
		{"tensile_strength", g.TensileStrength, &m.TensileStrength},
	} {
		if s.from == nil {
			continue
		}
		if !positive(float64(*s.from)) {
			return Material{}, say.Refuse(s.field, s.from.String(), msgStrength.With(), say.Message{})
		}
		*s.to = stated(*s.from)
	}
	if g.PVLimit != nil {
		if !positive(float64(*g.PVLimit)) {
			return Material{}, say.Refuse("pv_limit", g.PVLimit.String(), msgStrength.With(), say.Message{})
		}
		m.PVLimit = stated(*g.PVLimit)
	}
	return m, nil
}

func stated[T quantity.Of](v T) Property[T] { return Property[T]{v, v, v, sourceOwn} }

func positive(v float64) bool { return v > 0 && !math.IsInf(v, 1) }

// Elastic returns modulus and Poisson's ratio, or a Problem naming which of
// them is not known.
func (m Material) Elastic() (youngsModulus quantity.Stress, poisson float64, err error) {
	if !m.YoungsModulus.Known() {
		return 0, 0, m.lacks("youngs_modulus", "modulus of elasticity")
	}
	if !m.Poisson.Known() {
		return 0, 0, m.lacks("poisson", "Poisson's ratio")
	}
	return m.YoungsModulus.Value, m.Poisson.Value, nil
}

// ThermalExpansion returns the coefficient of linear expansion, or a Problem.
func (m Material) ThermalExpansion() (quantity.Expansion, error) {
	if !m.Expansion.Known() {
		return 0, m.lacks("expansion", "thermal expansion")
	}
	return m.Expansion.Value, nil
}

func (m Material) lacks(field, property string) error {
	return say.Refuse(field, "", msgNotKnown.With(m.Name, property), msgGiveOwn.With())
}
