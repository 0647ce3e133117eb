package liquid

import (
	"math"
	"slices"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgNotFinite     = say.Define("liquid.not_finite", "the number must be finite")
	msgMorePositive  = say.Define("liquid.more_positive", "the value must be above zero")
	msgTwoPoints     = say.Define("liquid.two_points", "one point gives no line")
	msgGiveTwo       = say.Define("liquid.give_two", "give the viscosity at two temperatures or more, 20 K or more apart where possible")
	msgSameTemp      = say.Define("liquid.same_temperature", "{temperature:temperature} is given twice")
	msgDifferentTemp = say.Define("liquid.different_temperature", "give each temperature once")
	msgNotFalling    = say.Define("liquid.not_falling", "the viscosity does not fall as the temperature rises")
	msgCheckPoints   = say.Define("liquid.check_points", "check the points and their units")
	msgWaltherRange  = say.Define("liquid.d341_range", "{viscosity:kinematic_viscosity} lies outside ASTM D341, which holds from 0.21 mm2/s to 2e7 mm2/s")
	msgBeyondLine    = say.Define("liquid.d341_reaches", "the line reaches no viscosity that ASTM D341 holds for at {temperature:temperature}")
	msgCloser        = say.Define("liquid.closer", "ask for a temperature nearer to the points")
)

// Limits of the kinematic viscosity for which ASTM D341 is written, m2/s.
// From memory of the standard.
const (
	waltherLeast = 0.21e-6
	waltherMost  = 20 // 2e7 mm2/s
)

// Point is a kinematic viscosity at a temperature.
type Point struct {
	Temperature quantity.Temperature
	Viscosity   quantity.KinematicViscosity
}

// Walther is the straight line of ASTM D341 for a petroleum liquid.
//
//	log₁₀ log₁₀ Z = A − B log₁₀ T
//	Z = ν + 0.7 + exp(−1.47 − 1.84 ν − 0.51 ν²)
//
//	ν  kinematic viscosity  mm²/s  0.21 … 2e7
//	T  temperature          K
//
// Petroleum and other hydrocarbon liquids only; water, glycols, syrups and
// silicones do not follow it.
// Source: ASTM D341, simplified equations of the editions since 1974, as
// quoted in a pipeline engineering help page.
type Walther struct {
	A, B float64
}

// WaltherZ returns Z of ASTM D341 for a kinematic viscosity.
func WaltherZ(viscosity quantity.KinematicViscosity) float64 {
	nu := viscosity.SI() * 1e6
	return nu + 0.7 + math.Exp(-1.47-1.84*nu-0.51*nu*nu)
}

// FromWaltherZ returns the kinematic viscosity for Z.
//
//	x = Z − 0.7,  ν = x − exp(−0.7487 − 3.295 x + 0.6119 x² − 0.3193 x³)
//
// The equation is the standard's own approximation; Z and back is within
// 0.0003 mm²/s. Source: ASTM D341, as Walther.
func FromWaltherZ(z float64) quantity.KinematicViscosity {
	x := z - 0.7
	return quantity.KinematicViscosity(1e-6 * (x - math.Exp(-0.7487-3.295*x+0.6119*x*x-0.3193*x*x*x)))
}

func waltherW(viscosity quantity.KinematicViscosity) float64 {
	return math.Log10(math.Log10(WaltherZ(viscosity)))
}

// FitWalther lays the line of ASTM D341 through two points, or by least
// squares in log₁₀log₁₀Z over log₁₀T through more.
//
// Errors: a say.Problem naming the point, for fewer than two points, a
// temperature given twice, a value outside the range of the standard, and a
// viscosity that does not fall with temperature.
func FitWalther(points []Point) (Walther, error) {
	if err := checkPoints(points); err != nil {
		return Walther{}, err
	}
	if len(points) < 2 {
		return Walther{}, say.Refuse("points", "", msgTwoPoints.With(), msgGiveTwo.With())
	}
	var meanX, meanW float64
	for i, p := range points {
		if nu := p.Viscosity.SI(); nu < waltherLeast || nu > waltherMost {
			return Walther{}, say.Refuse(indexed("points", i, "viscosity"), "", msgWaltherRange.With(p.Viscosity), say.Message{})
		}
		meanX += math.Log10(p.Temperature.SI())
		meanW += waltherW(p.Viscosity)
	}
	meanX /= float64(len(points))
	meanW /= float64(len(points))
	var sxx, sxw float64
	for _, p := range points {
		dx := math.Log10(p.Temperature.SI()) - meanX
		sxx += dx * dx
		sxw += dx * (waltherW(p.Viscosity) - meanW)
	}
	b := -sxw / sxx
	if !(b > 0) {
		return Walther{}, say.Refuse("points", "", msgNotFalling.With(), msgCheckPoints.With())
	}
	return Walther{A: meanW + b*meanX, B: b}, nil
}

// At returns the viscosity on the line at a temperature. It refuses a
// temperature at which the line leaves the range of the standard.
func (w Walther) At(t quantity.Temperature) (quantity.KinematicViscosity, error) {
	if err := positive("temperature", t.SI()); err != nil {
		return 0, err
	}
	z := math.Pow(10, math.Pow(10, w.A-w.B*math.Log10(t.SI())))
	nu := FromWaltherZ(z)
	if !(nu.SI() >= waltherLeast && nu.SI() <= waltherMost) {
		return 0, say.Refuse("temperature", "", msgBeyondLine.With(t), msgCloser.With())
	}
	return nu, nil
}

// checkPoints refuses values that are no viscosity over temperature at all.
func checkPoints(points []Point) error {
	for i, p := range points {
		if err := positive(indexed("points", i, "temperature"), p.Temperature.SI()); err != nil {
			return err
		}
		if err := positive(indexed("points", i, "viscosity"), p.Viscosity.SI()); err != nil {
			return err
		}
		for _, before := range points[:i] {
			if math.Abs(before.Temperature.SI()-p.Temperature.SI()) < 1e-6 {
				return say.Refuse(indexed("points", i, "temperature"), "", msgSameTemp.With(p.Temperature), msgDifferentTemp.With())
			}
		}
	}
	return nil
}

// sorted returns the points by rising temperature.
func sorted(points []Point) []Point {
	copied := slices.Clone(points)
	slices.SortFunc(copied, func(a, b Point) int {
		switch {
		case a.Temperature < b.Temperature:
			return -1
		case a.Temperature > b.Temperature:
			return 1
		}
		return 0
	})
	return copied
}
