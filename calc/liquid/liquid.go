package liquid

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgOutsidePoints = say.Define("liquid.outside_points",
		"{temperature:temperature} lies outside the points of {liquid}, and a liquid that is no petroleum oil is not extended beyond them")
	msgPointsReach    = say.Define("liquid.points_reach", "the points reach from {low:temperature} to {high:temperature}; add a point")
	msgExtended       = say.Define("liquid.extended", "{liquid}: {temperature:temperature} lies outside the points ({low:temperature} to {high:temperature}); the line of ASTM D341 is extended")
	msgBelowPour      = say.Define("liquid.below_pour", "{liquid}: {temperature:temperature} is below the pour point {pour:temperature}; it may not flow, the viscosity is not to be relied on")
	msgNearPour       = say.Define("liquid.near_pour", "{liquid}: {temperature:temperature} is within 10 K of the pour point {pour:temperature}; wax can make it thicker than the line says")
	msgAboveBoiling   = say.Define("liquid.above_boiling", "{liquid}: {temperature:temperature} is above the boiling point {boiling:temperature} at atmospheric pressure")
	msgDensityHeld    = say.Define("liquid.density_held", "{liquid}: no expansion is given; the density of {at:temperature} is used")
	msgDensityOutside = say.Define("liquid.density_outside", "{liquid}: {temperature:temperature} lies outside the points of density; the last slope is extended")
	msgVaporUnknown   = say.Define("liquid.vapor_unknown", "{liquid}: the vapour pressure at {temperature:temperature} is not known")
	msgTypical        = say.Define("liquid.typical", "{liquid}: typical values from a published table; the data sheet of the liquid in the pipe outranks them")
	msgInvented       = say.Define("liquid.invented", "{liquid} is an invented liquid of the demo")
	msgNoDensity      = say.Define("liquid.no_density", "the density is missing")
	msgGiveDensity    = say.Define("liquid.give_density", "give the density at a temperature")
	msgNoPoints       = say.Define("liquid.no_points", "no viscosity is given")
	msgGivePoints     = say.Define("liquid.give_points", "give the viscosity at one temperature or more")
	msgBadFamily      = say.Define("liquid.bad_family", "the family of the liquid is not known")
	msgFamiliesAre    = say.Define("liquid.families_are", "write petroleum, other or water")
	msgDensityGone    = say.Define("liquid.density_gone", "the density falls to nothing at {temperature:temperature}")
	msgSlopeTwice     = say.Define("liquid.slope_twice", "both a slope and an expansion are given")
	msgRising         = say.Define("liquid.rising", "the temperatures do not rise from point to point")
	msgOrderRising    = say.Define("liquid.order_rising", "list the points by rising temperature")
	msgOneSlope       = say.Define("liquid.one_slope", "give one of density_slope and density_expansion")
)

// Family says how the viscosity follows the temperature.
type Family string

// Show prints the word in the language of a style.
func (v Family) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Family) Message() say.Message { return say.Word("liquid", string(v)) }

// The families.
const (
	Petroleum Family = "petroleum" // ASTM D341
	Other     Family = "other"     // ln ν between the points, nothing outside
	IsWater   Family = "water"     // IAPWS
)

// DensityPoint is a density at a temperature.
type DensityPoint struct {
	Temperature quantity.Temperature
	Density     quantity.Density
}

// VaporPoint is a vapour pressure at a temperature.
type VaporPoint struct {
	Temperature quantity.Temperature
	Pressure    quantity.AbsolutePressure
}

// Solids is what is carried in the liquid.
type Solids struct {
	Size quantity.Length // d₉₈: 98 % of the mass is finer
	Note string
}

// Liquid is a liquid over temperature. Make it with New, Parse or Named, which
// check it and lay its viscosity line.
type Liquid struct {
	Name     string
	Title    string
	Family   Family
	Source   string
	Typical  bool // generic values from a published table
	Invented bool // part of the demo

	Points           []Point
	Density          []DensityPoint     // one point, or several interpolated linearly
	DensitySlope     float64            // kg/m3 per K, for one point
	DensityExpansion quantity.Expansion // by volume, for one point: ρ = ρ₀/(1 + β(T − T₀))
	VaporPressure    []VaporPoint
	Shear            Shear
	PourPoint        *quantity.Temperature
	BoilingPoint     *quantity.Temperature // at atmospheric pressure
	Lubricates       bool                  // runs metal on metal without harm when thick enough
	Solids           *Solids

	line  *Walther // petroleum only
	chain []Point  // points by rising temperature
}

// State is a liquid at one temperature.
type State struct {
	Liquid        *Liquid
	Temperature   quantity.Temperature
	Density       quantity.Density
	Kinematic     quantity.KinematicViscosity // at rest (low shear)
	Dynamic       quantity.DynamicViscosity   // at rest (low shear)
	VaporPressure *quantity.AbsolutePressure  // nil: not known
	Lubricates    bool                        // the liquid does, and is not thinner than 2 mm²/s
	OutsideRange  bool                        // below the pour point or above the boiling point; a line extended beyond its points is a warning
	Warnings      []say.Message

	ratio float64 // viscosity at rest over that at the reference of the shear model
}

// thinnestLubricant is the kinematic viscosity below which an oil is treated
// as one that does not lubricate. Common practice, no source.
const thinnestLubricant quantity.KinematicViscosity = 2e-6

// New checks a liquid and lays its viscosity line. It keeps the lists it is
// given.
func New(l Liquid) (*Liquid, error) {
	switch l.Family {
	case IsWater:
		return &l, nil
	case Petroleum, Other:
	default:
		return nil, say.Refuse("family", string(l.Family), msgBadFamily.With(), msgFamiliesAre.With())
	}
	if len(l.Points) == 0 {
		return nil, say.Refuse("points", "", msgNoPoints.With(), msgGivePoints.With())
	}
	if err := checkPoints(l.Points); err != nil {
		return nil, err
	}
	if err := l.checkDensity(); err != nil {
		return nil, err
	}
	if err := checkVapor(l.VaporPressure); err != nil {
		return nil, err
	}
	if err := l.Shear.check(); err != nil {
		return nil, err
	}
	l.chain = sorted(l.Points)
	if l.Family == Petroleum {
		line, err := FitWalther(l.Points)
		if err != nil {
			return nil, err
		}
		l.line = &line
	}
	if l.Shear.Model == PowerLaw && l.Shear.Reference == 0 {
		l.Shear.Reference = l.Points[0].Temperature
	}
	return &l, nil
}

func (l *Liquid) checkDensity() error {
	if len(l.Density) == 0 {
		return say.Refuse("density", "", msgNoDensity.With(), msgGiveDensity.With())
	}
	if l.DensitySlope != 0 && l.DensityExpansion != 0 {
		return say.Refuse("density_expansion", "", msgSlopeTwice.With(), msgOneSlope.With())
	}
	for i, p := range l.Density {
		if err := positive(indexed("density_points", i, "temperature"), p.Temperature.SI()); err != nil {
			return err
		}
		if err := positive(indexed("density_points", i, "density"), p.Density.SI()); err != nil {
			return err
		}
		if i > 0 && l.Density[i].Temperature <= l.Density[i-1].Temperature {
			return say.Refuse(indexed("density_points", i, "temperature"), "", msgRising.With(), msgOrderRising.With())
		}
	}
	return nil
}

func checkVapor(points []VaporPoint) error {
	for i, p := range points {
		if err := positive(indexed("vapor_pressure", i, "temperature"), p.Temperature.SI()); err != nil {
			return err
		}
		if err := positive(indexed("vapor_pressure", i, "pressure"), p.Pressure.SI()); err != nil {
			return err
		}
		if i > 0 && points[i].Temperature <= points[i-1].Temperature {
			return say.Refuse(indexed("vapor_pressure", i, "temperature"), "", msgRising.With(), msgOrderRising.With())
		}
	}
	return nil
}

// Line returns the line of ASTM D341, nil where the liquid has none.
func (l *Liquid) Line() *Walther { return l.line }

// Range returns the lowest and the highest temperature of the viscosity
// points; for water the range of the formulation.
func (l *Liquid) Range() (low, high quantity.Temperature) {
	if l.Family == IsWater {
		return waterColdest, waterHottest
	}
	return l.chain[0].Temperature, l.chain[len(l.chain)-1].Temperature
}

// At returns the liquid at a temperature, with what must be said about it.
//
// Petroleum: ASTM D341 through the points, extended beyond them with a
// warning. Other: ln ν is linear in T between the points; outside them a
// say.Problem. Water: IAPWS at atmospheric pressure, or at the vapour pressure
// where that is higher.
func (l *Liquid) At(t quantity.Temperature) (*State, error) {
	if l.Family == IsWater {
		return l.waterAt(t)
	}
	s := &State{Liquid: l, Temperature: t, ratio: 1}
	if err := positive("temperature", t.SI()); err != nil {
		return nil, err
	}
	if err := l.densityAt(s); err != nil {
		return nil, err
	}
	nu, err := l.kinematicAt(t)
	if err != nil {
		return nil, err
	}
	s.Kinematic = nu
	s.Dynamic = quantity.DynamicViscosity(nu.SI() * s.Density.SI())
	if err := l.ratioAt(s); err != nil {
		return nil, err
	}
	l.vaporAt(s)
	s.Lubricates = l.Lubricates && nu >= thinnestLubricant
	l.limits(s)
	return s, nil
}

func (l *Liquid) waterAt(t quantity.Temperature) (*State, error) {
	w, err := WaterAt(t, nil)
	if err != nil {
		return nil, err
	}
	return &State{Liquid: l, Temperature: t, Density: w.Density, Kinematic: w.Kinematic, Dynamic: w.Dynamic,
		VaporPressure: &w.VaporPressure, Warnings: w.Warnings, OutsideRange: len(w.Warnings) > 0, ratio: 1}, nil
}

// sameTemperature is how near a temperature must be to a point to be its own.
const sameTemperature = 1e-6

func (l *Liquid) kinematicAt(t quantity.Temperature) (quantity.KinematicViscosity, error) {
	if l.line != nil {
		return l.line.At(t)
	}
	low, high := l.Range()
	if t < low-sameTemperature || t > high+sameTemperature {
		return 0, say.Refuse("temperature", t.String(), msgOutsidePoints.With(t, l.shownName()), msgPointsReach.With(low, high))
	}
	if len(l.chain) == 1 {
		return l.chain[0].Viscosity, nil
	}
	i := 0
	for i < len(l.chain)-2 && t > l.chain[i+1].Temperature {
		i++
	}
	a, b := l.chain[i], l.chain[i+1]
	share := (t - a.Temperature).SI() / (b.Temperature - a.Temperature).SI()
	ln := (1-share)*math.Log(a.Viscosity.SI()) + share*math.Log(b.Viscosity.SI())
	return quantity.KinematicViscosity(math.Exp(ln)), nil
}

func (l *Liquid) densityAt(s *State) error {
	first := l.Density[0]
	rise := (s.Temperature - first.Temperature).SI()
	switch {
	case len(l.Density) > 1:
		i := 0
		for i < len(l.Density)-2 && s.Temperature > l.Density[i+1].Temperature {
			i++
		}
		a, b := l.Density[i], l.Density[i+1]
		slope := (b.Density - a.Density).SI() / (b.Temperature - a.Temperature).SI()
		s.Density = a.Density + quantity.Density(slope*(s.Temperature-a.Temperature).SI())
		if s.Temperature < first.Temperature-sameTemperature || s.Temperature > l.Density[len(l.Density)-1].Temperature+sameTemperature {
			s.Warnings = append(s.Warnings, msgDensityOutside.With(l.shownName(), s.Temperature))
		}
	case l.DensityExpansion != 0:
		s.Density = quantity.Density(first.Density.SI() / (1 + l.DensityExpansion.SI()*rise))
	default:
		s.Density = first.Density + quantity.Density(l.DensitySlope*rise)
		if l.DensitySlope == 0 && math.Abs(rise) > sameTemperature {
			s.Warnings = append(s.Warnings, msgDensityHeld.With(l.shownName(), first.Temperature))
		}
	}
	if !(s.Density > 0) || math.IsInf(s.Density.SI(), 0) {
		return say.Refuse("temperature", s.Temperature.String(), msgDensityGone.With(s.Temperature), msgCloser.With())
	}
	return nil
}

// ratioAt finds the viscosity at rest relative to the reference temperature of
// the power law.
func (l *Liquid) ratioAt(s *State) error {
	if l.Shear.Model != PowerLaw || s.Temperature == l.Shear.Reference {
		return nil
	}
	nu, err := l.kinematicAt(l.Shear.Reference)
	if err != nil {
		return say.In("shear", err)
	}
	at := State{Temperature: l.Shear.Reference}
	if err := l.densityAt(&at); err != nil {
		return say.In("shear", err)
	}
	s.ratio = s.Dynamic.SI() / (nu.SI() * at.Density.SI())
	return nil
}

// vaporAt interpolates ln p linearly in 1/T between the points.
func (l *Liquid) vaporAt(s *State) {
	points := l.VaporPressure
	for i, p := range points {
		if math.Abs((s.Temperature - p.Temperature).SI()) <= sameTemperature {
			s.VaporPressure = &points[i].Pressure
			return
		}
		if i > 0 && s.Temperature > points[i-1].Temperature && s.Temperature < p.Temperature {
			before := points[i-1]
			share := (1/before.Temperature.SI() - 1/s.Temperature.SI()) / (1/before.Temperature.SI() - 1/p.Temperature.SI())
			v := quantity.AbsolutePressure(math.Exp((1-share)*math.Log(before.Pressure.SI()) + share*math.Log(p.Pressure.SI())))
			s.VaporPressure = &v
			return
		}
	}
	if len(points) > 0 {
		s.Warnings = append(s.Warnings, msgVaporUnknown.With(l.shownName(), s.Temperature))
	}
}

// limits says what lies outside the points and outside the range of the liquid.
func (l *Liquid) limits(s *State) {
	low, high := l.Range()
	if s.Temperature < low-sameTemperature || s.Temperature > high+sameTemperature {
		s.Warnings = append(s.Warnings, msgExtended.With(l.shownName(), s.Temperature, low, high))
	}
	if l.PourPoint != nil {
		switch {
		case s.Temperature < *l.PourPoint:
			s.OutsideRange = true
			s.Warnings = append(s.Warnings, msgBelowPour.With(l.shownName(), s.Temperature, *l.PourPoint))
		case s.Temperature < *l.PourPoint+10:
			s.Warnings = append(s.Warnings, msgNearPour.With(l.shownName(), s.Temperature, *l.PourPoint))
		}
	}
	if l.BoilingPoint != nil && s.Temperature > *l.BoilingPoint {
		s.OutsideRange = true
		s.Warnings = append(s.Warnings, msgAboveBoiling.With(l.shownName(), s.Temperature, *l.BoilingPoint))
	}
	switch {
	case l.Invented:
		s.Warnings = append(s.Warnings, msgInvented.With(l.shownName()))
	case l.Typical:
		s.Warnings = append(s.Warnings, msgTypical.With(l.shownName()))
	}
}

func (l *Liquid) shownName() say.Message {
	if l.Title != "" {
		return say.Plain(l.Title)
	}
	return say.Plain(l.Name)
}

// Apparent returns the dynamic viscosity at a shear rate.
func (s *State) Apparent(rate quantity.ShearRate) (quantity.DynamicViscosity, error) {
	if err := positive("shear_rate", rate.SI()); err != nil {
		return 0, err
	}
	return quantity.DynamicViscosity(s.Liquid.Shear.viscosity(s.Dynamic.SI(), s.ratio, rate.SI())), nil
}

// CrossForm returns the density and the numbers of the Cross form at the
// temperature of the state. A Newtonian liquid has index 1.
func (s *State) CrossForm() (CrossForm, error) {
	return s.Liquid.Shear.crossForm(s.Density, s.Dynamic.SI(), s.ratio)
}
