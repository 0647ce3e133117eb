package liquid

import (
	"regexp"
	"strings"

	"github.com/goccy/go-yaml"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgNotYAML      = say.Define("liquid.not_yaml", "this is no YAML: {reason}")
	msgPointsTwice  = say.Define("liquid.points_twice", "both points and a viscosity grade are given")
	msgOneOfPoints  = say.Define("liquid.one_of_points", "give points, or iso_vg with viscosity_index")
	msgDensityTwice = say.Define("liquid.density_twice", "both density and density_points are given")
	msgOneDensity   = say.Define("liquid.one_density", "give density with density_temperature, or density_points")
	msgNoName       = say.Define("liquid.no_name", "the liquid has no name")
	msgOnlyPetrol   = say.Define("liquid.grade_is_oil", "viscosity grades are for petroleum oils")
)

// Parse reads a liquid from YAML or JSON. Every mistake is a say.Problem that
// names the field. The fields:
//
//	name, title, source, typical, invented
//	family           petroleum, other or water
//	points           list of temperature, viscosity (kinematic or dynamic)
//	iso_vg, viscosity_index   in place of points: a viscosity grade
//	density, density_temperature, and density_slope (kg/m3 per K) or
//	density_expansion (by volume); or density_points: list of temperature, density
//	vapor_pressure   list of temperature, pressure (absolute)
//	shear            model, n, consistency (Pa·sⁿ), temperature, gamma_0, mu_inf,
//	                 or model with points: list of shear_rate, viscosity
//	pour_point, boiling_point, lubricates
//	solids           size (98 % finer), note
func Parse(text []byte) (*Liquid, error) {
	var raw any
	if err := yaml.Unmarshal(text, &raw); err != nil {
		line, _, _ := strings.Cut(strings.TrimSpace(err.Error()), "\n")
		return nil, say.Refuse("", "", msgNotYAML.With(line), say.Message{})
	}
	return FromFields(raw)
}

// FromFields reads a liquid from fields that YAML or JSON gave.
func FromFields(raw any) (*Liquid, error) {
	f := openFields("", raw)
	l := Liquid{Name: f.text("name"), Title: f.text("title"), Source: f.text("source"),
		Typical: f.yesNo("typical"), Invented: f.yesNo("invented"),
		Family: Family(f.text("family")), Lubricates: f.yesNo("lubricates"),
		PourPoint: optional[quantity.Temperature](f, "pour_point"), BoilingPoint: optional[quantity.Temperature](f, "boiling_point")}
	if l.Name == "" {
		f.fail("name", nil, msgNoName.With(), say.Message{})
	}
	if l.Source == "" {
		l.Source = "entered"
	}
	readDensity(f, &l)
	readPoints(f, &l)
	for _, p := range f.list("vapor_pressure") {
		l.VaporPressure = append(l.VaporPressure, VaporPoint{wanted[quantity.Temperature](p, "temperature"),
			wanted[quantity.AbsolutePressure](p, "pressure", quantity.AbsoluteByNature)})
		f.keep(p.close())
	}
	readShear(f, &l)
	if s := f.group("solids"); s != nil {
		l.Solids = &Solids{Size: wanted[quantity.Length](s, "size"), Note: s.text("note")}
		if s.err == nil && !(l.Solids.Size > 0) {
			s.keep(positive(s.name("size"), l.Solids.Size.SI()))
		}
		f.keep(s.close())
	}
	if err := f.close(); err != nil {
		return nil, err
	}
	return New(l)
}

func readDensity(f *fields, l *Liquid) {
	for _, p := range f.list("density_points") {
		l.Density = append(l.Density, DensityPoint{wanted[quantity.Temperature](p, "temperature"), wanted[quantity.Density](p, "density")})
		f.keep(p.close())
	}
	density, ok := given[quantity.Density](f, "density")
	temperature := optional[quantity.Temperature](f, "density_temperature")
	l.DensitySlope = readSlope(f)
	l.DensityExpansion, _ = given[quantity.Expansion](f, "density_expansion")
	if !ok {
		return
	}
	if len(l.Density) > 0 {
		f.fail("density", nil, msgDensityTwice.With(), msgOneDensity.With())
	}
	if temperature == nil {
		f.fail("density_temperature", nil, msgMissing.With(), msgOneDensity.With())
		return
	}
	l.Density = []DensityPoint{{*temperature, density}}
}

// readSlope reads a change of density with temperature: a plain number in
// kg/m3 per K, or a text with that unit.
func readSlope(f *fields) float64 {
	raw, ok := f.take("density_slope")
	if !ok {
		return 0
	}
	text, isText := raw.(string)
	if !isText {
		v, _ := f.number("density_slope")
		return v
	}
	for _, unit := range []string{"kg/m3/K", "kg/(m3·K)", "kg/(m3 K)"} {
		text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), unit))
	}
	v, err := quantity.ReadNumber(text)
	f.keep(say.In(f.name("density_slope"), err))
	return v
}

func readPoints(f *fields, l *Liquid) {
	entries := f.list("points")
	grade, hasGrade := f.number("iso_vg")
	viscosityIndex, hasIndex := f.number("viscosity_index")
	for _, p := range entries {
		t := wanted[quantity.Temperature](p, "temperature")
		l.Points = append(l.Points, Point{t, readViscosity(p, "viscosity", l, t)})
		f.keep(p.close())
	}
	if !hasGrade {
		return
	}
	switch {
	case len(entries) > 0:
		f.fail("iso_vg", grade, msgPointsTwice.With(), msgOneOfPoints.With())
	case l.Family != Petroleum:
		f.fail("iso_vg", grade, msgOnlyPetrol.With(), msgOneOfPoints.With())
	case !hasIndex:
		f.fail("viscosity_index", nil, msgMissing.With(), msgIndexUsual.With())
	default:
		points, err := Grade(grade, viscosityIndex)
		f.keep(err)
		l.Points = points
	}
}

// readViscosity reads a kinematic viscosity, or a dynamic one that it divides
// by the density at the temperature.
func readViscosity(f *fields, field string, l *Liquid, t quantity.Temperature) quantity.KinematicViscosity {
	raw, ok := f.take(field)
	if !ok {
		if f.err == nil {
			f.fail(field, nil, msgMissing.With(), msgWriteUnit.With("46 mm2/s"))
		}
		return 0
	}
	text, isText := raw.(string)
	if isText {
		if e, err := quantity.Parse(quantity.DynamicViscosityDimension, text); err == nil {
			if l.checkDensity() != nil {
				f.fail(field, raw, msgNoDensity.With(), msgOneDensity.With())
				return 0
			}
			s := State{Temperature: t}
			f.keep(l.densityAt(&s))
			if f.err != nil {
				return 0
			}
			return quantity.KinematicViscosity(e.SI / s.Density.SI())
		}
	}
	nu, _ := given[quantity.KinematicViscosity](f, field)
	return nu
}

func readShear(f *fields, l *Liquid) {
	s := f.group("shear")
	if s == nil {
		return
	}
	model := Model(s.text("model"))
	if points := s.list("points"); points != nil {
		var measured []ShearPoint
		for _, p := range points {
			measured = append(measured, ShearPoint{wanted[quantity.ShearRate](p, "shear_rate"), wanted[quantity.DynamicViscosity](p, "viscosity")})
			s.keep(p.close())
		}
		if s.err == nil {
			fitted, _, _, err := FitShear(model, measured)
			l.Shear = fitted
			s.keep(say.In("shear", err))
		}
	} else {
		l.Shear = Shear{Model: model}
		l.Shear.Index, _ = s.number("n")
		if raw, ok := s.take("consistency"); ok {
			l.Shear.Consistency = readConsistency(s, raw)
		}
		l.Shear.Bend, _ = given[quantity.ShearRate](s, "gamma_0")
		l.Shear.HighShear, _ = given[quantity.DynamicViscosity](s, "mu_inf")
	}
	if t := optional[quantity.Temperature](s, "temperature"); t != nil {
		l.Shear.Reference = *t
	}
	if s.err == nil {
		s.keep(l.Shear.check())
	}
	f.keep(s.close())
}

// readConsistency reads K: a plain number in Pa·sⁿ, a text with that unit, or
// a dynamic viscosity (the viscosity at 1 1/s, which is the same number).
func readConsistency(f *fields, raw any) float64 {
	if text, ok := raw.(string); ok {
		v, err := ParseConsistency(text)
		f.keep(say.In(f.name("consistency"), err))
		return v
	}
	v, _ := f.number("consistency")
	return v
}

// consistencyUnit is the unit Pa·sⁿ, with n as a letter or as its number.
var consistencyUnit = regexp.MustCompile(`Pa[·*. ]?s( n|ⁿ|\^ ?(n|[0-9.,]+))$`)

// ParseConsistency reads the consistency of a power-law liquid in Pa·sⁿ: a
// plain number, a number with the unit Pa·sⁿ, or a dynamic viscosity, which is
// the consistency as the viscosity at 1 1/s.
func ParseConsistency(text string) (float64, error) {
	trimmed := strings.TrimSpace(text)
	if place := consistencyUnit.FindStringIndex(trimmed); place != nil {
		trimmed = strings.TrimSpace(trimmed[:place[0]])
	}
	if v, err := quantity.ReadNumber(trimmed); err == nil {
		return v, nil
	}
	e, err := quantity.Parse(quantity.DynamicViscosityDimension, text)
	if err != nil {
		return 0, err
	}
	return e.SI, nil
}
