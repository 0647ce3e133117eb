package fit

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

const sourceLame = "Lamé rings in plane stress: Ugural and Fenster, Advanced Strength and Applied Elasticity, ch. 8"

// ring is one of two parts in contact at the mating diameter: its elastic
// constants and its far diameter (0 for a solid inner part, +Inf for a very
// large housing).
type ring struct {
	far, modulus, poisson float64
}

// housing returns the compliance factor of the outer part, (D²+d²)/(D²−d²)+ν,
// divided by E.
func (r ring) housing(d float64) float64 { return (hoopFactor(d, r.far) + r.poisson) / r.modulus }

// sleeve returns the same of the inner part, (d²+di²)/(d²−di²)−ν.
func (r ring) sleeve(d float64) float64 { return (hoopFactor(r.far, d) - r.poisson) / r.modulus }

// hoopFactor is (b²+a²)/(b²−a²) of a ring from a to b; 1 for a solid inner
// part (a = 0) and for a very large outer one (b = +Inf).
func hoopFactor(a, b float64) float64 {
	if a == 0 || math.IsInf(b, 1) {
		return 1
	}
	ratio := (a / b) * (a / b)
	return (1 + ratio) / (1 - ratio)
}

// CylinderStress returns the radial and hoop stress in a ring with pressure
// inside and outside, at a radius.
//
//	σ_r, σ_θ = (p_i a² − p_o b²)/(b² − a²) ∓ (p_i − p_o) a² b²/((b² − a²) r²)
//
//	a, b       inner and outer radius   m    0 < a < b
//	p_i, p_o   pressure inside, outside Pa   ≥ 0
//	r          where                    m    a … b
//
// Plane stress, no axial load; tension positive. Errors: radii or pressures
// outside these ranges.
// Source: Boresi and Schmidt, Advanced Mechanics of Materials, ch. 11.
func CylinderStress(inner, outer quantity.Length, pressureInside, pressureOutside quantity.Stress, at quantity.Length) (radial, hoop quantity.Stress, err error) {
	a, b, r := float64(inner), float64(outer), float64(at)
	pi, po := float64(pressureInside), float64(pressureOutside)
	switch {
	case !(a > 0) || math.IsInf(a, 0):
		return 0, 0, say.Refuse("inner", inner.String(), msgNotPositive.With(), say.Message{})
	case !(b > a) || math.IsInf(b, 0):
		return 0, 0, say.Refuse("outer", outer.String(), msgOuter.With(), say.Message{})
	case !(r >= a && r <= b):
		return 0, 0, say.Refuse("at", at.String(), msgWithin.With(), say.Message{})
	case !(pi >= 0) || math.IsInf(pi, 0):
		return 0, 0, say.Refuse("pressure_inside", pressureInside.String(), msgNotNegative.With(), say.Message{})
	case !(po >= 0) || math.IsInf(po, 0):
		return 0, 0, say.Refuse("pressure_outside", pressureOutside.String(), msgNotNegative.With(), say.Message{})
	}
	mean := (pi*a*a - po*b*b) / (b*b - a*a)
	part := (pi - po) * a * a * b * b / ((b*b - a*a) * r * r)
	return quantity.Stress(mean - part), quantity.Stress(mean + part), nil
}

// AllowedInsidePressure returns the pressure inside a ring at which the hoop
// stress of its bore reaches a limit.
//
//	p = σ (b² − a²)/(b² + a²)
//
// Source: Ugural and Fenster, Advanced Strength and Applied Elasticity, ch. 8.
func AllowedInsidePressure(inner, outer quantity.Length, hoopLimit quantity.Stress) (quantity.Stress, error) {
	a, b := float64(inner), float64(outer)
	switch {
	case !(a > 0):
		return 0, say.Refuse("inner", inner.String(), msgNotPositive.With(), say.Message{})
	case !(b > a) || math.IsInf(b, 0):
		return 0, say.Refuse("outer", outer.String(), msgOuter.With(), say.Message{})
	case !(hoopLimit > 0) || math.IsInf(float64(hoopLimit), 0):
		return 0, say.Refuse("hoop_limit", hoopLimit.String(), msgNotPositive.With(), say.Message{})
	}
	return hoopLimit / quantity.Stress(hoopFactor(a, b)), nil
}

var (
	msgOuter       = say.Define("fit.outer", "the outer diameter must be more than the inner one")
	msgWithin      = say.Define("fit.within", "this must lie within the ring")
	msgNotNegative = say.Define("fit.not_negative", "this must not be below zero")
)
