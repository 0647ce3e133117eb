package bushing

import (
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Material is a bushing material with the published limits of its rubbing or
// boundary-lubricated running. A zero limit is not published here.
type Material struct {
	Name     string
	PV       quantity.PressureVelocity // highest product of projected pressure and speed
	ShortPV  quantity.PressureVelocity // for a short life, where published
	Pressure quantity.Stress           // highest projected pressure
	Hottest  quantity.Temperature
	Friction float64 // usual coefficient of friction without a film
	Scatter  float64 // spread of the published figure, as a fraction
	Source   string
	Rubbing  bool // the limit is for dry running; the others want a lubricant
}

const (
	mottTable  = "Mott, Machine Elements in Mechanical Design, Table 16-1, as quoted on a question page"
	tribology  = "The Tribology Handbook, rubbing bearing materials table"
	fromMemory = "bearing tables, from memory"

	megapascal            = 1e6
	psi                   = 4.4482216152605 / (0.0254 * 0.0254)
	psiFootPerMinute      = psi * 0.3048 / 60
	boundaryFrictionOfOil = 0.1 // usual for oiled metals at a start; common practice, no source
)

// The limits as printed: Mott gives both psi·ft/min and MPa·m/s, The Tribology
// Handbook the ranges; of a range the lower end counts.
var materials = []Material{
	{Name: "manganese bronze", PV: 5.250e6, Friction: boundaryFrictionOfOil, Source: mottTable + ", C86200"},
	{Name: "leaded tin bronze", PV: 2.625e6, Friction: boundaryFrictionOfOil, Source: mottTable + ", SAE 660 line"},
	{Name: "porous bronze", PV: 1.750e6, Friction: boundaryFrictionOfOil, Source: mottTable},
	{Name: "metallized graphite", PV: 0.525e6, Friction: 0.15, Source: mottTable, Rubbing: true},
	{Name: "carbon graphite", PV: 0.11e6, ShortPV: 0.18e6, Pressure: 1.4 * megapascal, Hottest: 350 + quantity.ZeroCelsius, Friction: 0.18, Source: tribology, Rubbing: true},
	{Name: "metal-impregnated graphite", PV: 0.28e6, ShortPV: 0.35e6, Pressure: 70 * megapascal, Hottest: 350 + quantity.ZeroCelsius, Friction: 0.15, Source: tribology, Rubbing: true},
	{Name: "grey iron", PV: 50000 * psiFootPerMinute, Pressure: 4 * megapascal, Friction: boundaryFrictionOfOil, Scatter: 0.3, Source: fromMemory},
}

var (
	msgNoMaterial   = say.Define("bushing.no_material", "no published PV limit is held for this material")
	msgMaterialsAre = say.Define("bushing.materials_are", "write one of {names}")
)

// Materials lists the names of the materials, sorted.
func Materials() []string {
	names := make([]string, len(materials))
	for i, m := range materials {
		names[i] = m.Name
	}
	sort.Strings(names)
	return names
}

// MaterialByName finds a material. Short names of the shop are taken where
// they are plain: bronze for leaded tin bronze, carbon for carbon graphite,
// iron for grey iron.
func MaterialByName(name string) (Material, error) {
	switch name {
	case "bronze":
		name = "leaded tin bronze"
	case "carbon":
		name = "carbon graphite"
	case "iron", "cast iron":
		name = "grey iron"
	}
	for _, m := range materials {
		if m.Name == name {
			return m, nil
		}
	}
	return Material{}, say.Refuse("material", name, msgNoMaterial.With(), msgMaterialsAre.With(Materials()))
}
