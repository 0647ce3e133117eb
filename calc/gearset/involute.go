package gearset

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// inv is the involute function, inv α = tan α − α.
func inv(a float64) float64 { return math.Tan(a) - a }

// Involute returns inv α = tan α − α, in rad. Any standard gear text.
func Involute(angle quantity.Angle) quantity.Angle { return quantity.Angle(inv(angle.SI())) }

// InverseInvolute returns the angle whose involute is given, 0 ≤ α < 90°, by
// Newton's method from above (the function is convex, so it cannot overshoot).
// A negative involute has no angle and is refused.
func InverseInvolute(involute quantity.Angle) (quantity.Angle, error) {
	v := involute.SI()
	if !(v >= 0) || v > 50 {
		return 0, refuseNumber("involute", v, msgNotNegative.With())
	}
	if v == 0 {
		return 0, nil
	}
	// tan α − α ≥ α³/3, and tan α ≤ v + π/2: both starts lie above the root.
	a := math.Min(math.Cbrt(3*v), math.Atan(v+math.Pi/2))
	for range 60 {
		t := math.Tan(a)
		step := (t - a - v) / (t * t)
		a -= step
		if math.Abs(step) < 1e-15*a {
			break
		}
	}
	return quantity.Angle(a), nil
}

// fromPitchPoint is the way along the line of action from the pitch point to
// where the circle of radius r about the same centre crosses it:
// √(r² − r_b²) − r_w sin α_w. Caller makes sure that r ≥ r_b.
func fromPitchPoint(r, base, pitch, angle float64) float64 {
	return math.Sqrt(r*r-base*base) - pitch*math.Sin(angle)
}

// halfAngle is half the angle that an idler tooth, or a rotor space, takes at
// radius r; below the base circle the flank is radial.
//
//	ψ(r) = ψ₀ + inv α − inv α_r,  cos α_r = r_b/r
func halfAngle(r, base, atReference, invReference float64) float64 {
	if r <= base {
		return atReference + invReference
	}
	return atReference + invReference - inv(math.Acos(base/r))
}

// ShiftOfCenterDistance returns by how much the profile shift of the rotor
// must exceed that of the idler, in modules, for a centre distance, and the
// working pressure angle at it.
//
//	cos α_w = a₀ cos α/a,  x_r − x_i = (z_r − z_i)(inv α_w − inv α)/(2 tan α)
//
// Any standard text on profile-shifted internal gears. A centre distance below
// the base circles' is refused.
func ShiftOfCenterDistance(p Pair, center quantity.Length) (shift float64, workingAngle quantity.Angle, err error) {
	if err := p.check(); err != nil {
		return 0, 0, err
	}
	a0 := p.Module.SI() * float64(p.RotorTeeth-p.IdlerTeeth) / 2
	c := a0 * math.Cos(p.PressureAngle.SI()) / center.SI()
	if !(c > 0) || c > 1 {
		return 0, 0, refuseNumber("center_distance", center.SI(), msgCenterAccepted.With(quantity.Length(a0*math.Cos(p.PressureAngle.SI()))))
	}
	working := math.Acos(c)
	shift = float64(p.RotorTeeth-p.IdlerTeeth) * (inv(working) - inv(p.PressureAngle.SI())) / (2 * math.Tan(p.PressureAngle.SI()))
	return shift, quantity.Angle(working), nil
}

var msgCenterAccepted = say.Define("gearset.center_accepted", "a centre distance of {least:length} or more")
