package quantity

import (
	"math"

	"pumpwright/calc/say"
)

var (
	msgScaleRange = say.Define("quantity.scale_range",
		"{scale} is not defined for this viscosity; it begins at {least} on its scale")
	msgUseCentistokes = say.Define("quantity.use_centistokes", "give the viscosity in mm2/s (cSt) or mPa·s (cP)")
)

// SayboltUniversalSeconds returns the Saybolt Universal viscosity at a
// temperature for a kinematic viscosity.
//
//	SUS₁₀₀ = 4.6324 ν + (1 + 0.03264 ν)/[(3930.2 + 262.7 ν + 23.97 ν² + 1.646 ν³)·1e-5]
//	SUS_t  = SUS₁₀₀ [1 + 0.000061 (t_F − 100)]
//
// ν in mm²/s. Valid from 1.0 mm²/s (the standard's table begins at 1.81).
// Source: ASTM D2161-93, as quoted in the documentation of the Python library
// chemicals; the temperature factor from memory of the same standard.
func SayboltUniversalSeconds(viscosity KinematicViscosity, at Temperature) float64 {
	nu := viscosity.SI() * 1e6
	sus := 4.6324*nu + (1+0.03264*nu)/((3930.2+262.7*nu+23.97*nu*nu+1.646*nu*nu*nu)*1e-5)
	return sus * sayboltTemperatureFactor(at)
}

func sayboltTemperatureFactor(at Temperature) float64 {
	fahrenheit := at.SI()*1.8 - 459.67
	return 1 + 0.000061*(fahrenheit-100)
}

// HundredFahrenheit is the reference temperature of Saybolt Universal seconds.
const HundredFahrenheit Temperature = (100 + 459.67) / 1.8

// FromSayboltUniversalSeconds is the inverse of SayboltUniversalSeconds. It
// refuses seconds below those of 1 mm²/s.
func FromSayboltUniversalSeconds(seconds float64, at Temperature) (KinematicViscosity, error) {
	least := SayboltUniversalSeconds(1e-6, at)
	if !(seconds >= least) || math.IsInf(seconds, 0) {
		return 0, scaleProblem("SSU", least)
	}
	nu := invertRising(func(nu float64) float64 {
		return SayboltUniversalSeconds(KinematicViscosity(nu*1e-6), at)
	}, seconds, 1, seconds)
	return KinematicViscosity(nu * 1e-6), nil
}

func scaleProblem(scale string, least float64) error {
	return say.Refuse("", "", msgScaleRange.With(scale, say.Plain(formatDecimals(least, 1))), msgUseCentistokes.With())
}

// invertRising solves f(x) = want for a rising f by bisection in the bracket,
// which it widens upwards as needed.
func invertRising(f func(float64) float64, want, low, high float64) float64 {
	for f(high) < want {
		high *= 2
	}
	for range 200 {
		mid := 0.5 * (low + high)
		if mid == low || mid == high {
			return mid
		}
		if f(mid) < want {
			low = mid
		} else {
			high = mid
		}
	}
	return 0.5 * (low + high)
}

func toSayboltUniversal(si float64) (float64, error) {
	if si < 1e-6 {
		return 0, scaleProblem("SSU", SayboltUniversalSeconds(1e-6, HundredFahrenheit))
	}
	return SayboltUniversalSeconds(KinematicViscosity(si), HundredFahrenheit), nil
}

func fromSayboltUniversal(seconds float64) (float64, error) {
	v, err := FromSayboltUniversalSeconds(seconds, HundredFahrenheit)
	return v.SI(), err
}

// Saybolt Furol at 122 °F: SFS = 0.4717 ν + 13924/(ν² − 72.59 ν + 6816), ν in
// mm²/s, from 48 mm²/s. Source: ASTM D2161, from memory.
func furolSeconds(nu float64) float64 {
	return 0.4717*nu + 13924/(nu*nu-72.59*nu+6816)
}

func toSayboltFurol(si float64) (float64, error) {
	if si < 48e-6 {
		return 0, scaleProblem("SSF", furolSeconds(48))
	}
	return furolSeconds(si * 1e6), nil
}

func fromSayboltFurol(seconds float64) (float64, error) {
	least := furolSeconds(48)
	if !(seconds >= least) || math.IsInf(seconds, 0) {
		return 0, scaleProblem("SSF", least)
	}
	return 1e-6 * invertRising(furolSeconds, seconds, 48, 4*seconds), nil
}

// Engler degrees: ν = 7.31 °E − 6.31/°E (Ubbelohde), from memory.
func toEngler(si float64) (float64, error) {
	nu := si * 1e6
	if nu < 1 {
		return 0, scaleProblem("°E", 1)
	}
	return (nu + math.Sqrt(nu*nu+4*7.31*6.31)) / (2 * 7.31), nil
}

func fromEngler(degrees float64) (float64, error) {
	if !(degrees >= 1) || math.IsInf(degrees, 0) {
		return 0, scaleProblem("°E", 1)
	}
	return 1e-6 * (7.31*degrees - 6.31/degrees), nil
}

// Redwood No. 1 seconds: ν = 0.26 t − 179/t up to 100 s, 0.247 t − 50/t above,
// from memory.
func redwoodViscosity(seconds float64) float64 {
	if seconds <= 100 {
		return 0.26*seconds - 179/seconds
	}
	return 0.247*seconds - 50/seconds
}

func toRedwood(si float64) (float64, error) {
	nu := si * 1e6
	if nu < redwoodViscosity(32) {
		return 0, scaleProblem("RI", 32)
	}
	return invertRising(redwoodViscosity, nu, 32, 5*nu+40), nil
}

func fromRedwood(seconds float64) (float64, error) {
	if !(seconds >= 32) || math.IsInf(seconds, 0) {
		return 0, scaleProblem("RI", 32)
	}
	return 1e-6 * redwoodViscosity(seconds), nil
}
