package slip

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// HydraulicPower returns what the liquid takes along, P = QΔp.
func HydraulicPower(flow quantity.Flow, dp quantity.PressureDifference) quantity.Power {
	return quantity.Power(flow.SI() * dp.SI())
}

// TheoreticalFlow returns D·N.
func TheoreticalFlow(d quantity.Displacement, speed quantity.RotationalSpeed) quantity.Flow {
	return quantity.Flow(d.SI() * speed.SI() / (2 * math.Pi))
}

var msgNotTurning = say.Define("slip.not_turning", "displacement and speed must be greater than 0")

// VolumetricEfficiency returns delivered over theoretical flow. Definition of
// API 676 and of the trade.
func VolumetricEfficiency(delivered quantity.Flow, d quantity.Displacement, speed quantity.RotationalSpeed) (float64, error) {
	if !(d > 0) || !(speed > 0) || !finite(delivered.SI()) {
		return 0, say.Refuse("speed", speed.String(), msgNotTurning.With(), say.Message{})
	}
	return delivered.SI() / TheoreticalFlow(d, speed).SI(), nil
}

// LaminarSlip carries a slip to another pressure and viscosity, in proportion
// to Δp/µ. Valid while every gap is laminar and short of inlet loss: oils, not
// water. Use the model of paths where the dimensions are known.
func LaminarSlip(slip quantity.Flow, dp, toPressure quantity.PressureDifference, viscosity, toViscosity quantity.DynamicViscosity) (quantity.Flow, error) {
	if !(dp > 0) || !(viscosity > 0) || !(toViscosity > 0) {
		return 0, say.Refuse("pressure", dp.String(), msgPoint.With(), msgPressureUp.With())
	}
	return quantity.Flow(slip.SI() * toPressure.SI() / dp.SI() * viscosity.SI() / toViscosity.SI()), nil
}

// LaminarGapLeak carries the leak of one gap to another height, with its cube.
// Valid while the gap is laminar.
func LaminarGapLeak(leak quantity.Flow, height, toHeight quantity.Length) (quantity.Flow, error) {
	if !(height > 0) || !(toHeight >= 0) {
		return 0, say.Refuse("gap", height.String(), msgGapRefused.With(), msgGapSize.With())
	}
	r := toHeight.SI() / height.SI()
	return quantity.Flow(leak.SI() * r * r * r), nil
}

// FlowAtSpeed carries a measured flow to another speed at the same pressure,
// slip held: Q₂ = Q₁ + D(N₂ − N₁).
func FlowAtSpeed(flow quantity.Flow, d quantity.Displacement, speed, toSpeed quantity.RotationalSpeed) quantity.Flow {
	return flow + TheoreticalFlow(d, toSpeed-speed)
}

// DeadSpeed returns the speed below which all is slip and nothing is
// delivered, slip/D.
func DeadSpeed(slip quantity.Flow, d quantity.Displacement) (quantity.RotationalSpeed, error) {
	if !(d > 0) {
		return 0, say.Refuse("displacement", d.String(), msgNotTurning.With(), say.Message{})
	}
	return quantity.RotationalSpeed(slip.SI() / d.SI() * 2 * math.Pi), nil
}

// SlipTemperatureRise returns by how much the liquid that slips back is warmed
// by its throttling, Δp/(ρ c_p). The specific heat is in J/(kg K).
func SlipTemperatureRise(dp quantity.PressureDifference, density quantity.Density, specificHeat float64) (quantity.TemperatureDifference, error) {
	if !(density > 0) || !(specificHeat > 0) {
		return 0, say.Refuse("density", density.String(), msgLiquidRefused.With(), msgPositive.With())
	}
	return quantity.TemperatureDifference(dp.SI() / (density.SI() * specificHeat)), nil
}

// Fills reports whether the tooth spaces fill: absolute pressure at the inlet
// less vapour pressure must reach the filling loss. It is a lower bound (port
// and teeth only); a maker's inlet curve outranks it. Where it fails the model
// holds no longer: lower the speed.
func (r *Result) Fills(inlet, vapor quantity.AbsolutePressure) (fills bool, margin quantity.PressureDifference, known bool) {
	if r.Filling == nil {
		return false, 0, false
	}
	margin = quantity.PressureDifference(inlet.SI()-vapor.SI()) - *r.Filling
	return margin >= 0, margin, true
}

// SpacesDoNotFill goes with a failed suction gate.
var SpacesDoNotFill = say.Define("slip.spaces_do_not_fill", "the tooth spaces do not fill: {available:pressure_difference} above vapour pressure is there, at least {needed:pressure_difference} is needed. Flow and power no longer hold; lower the speed or raise the inlet pressure")

// SuctionGate returns the warning of a failed suction gate, or the empty
// message.
func (r *Result) SuctionGate(inlet, vapor quantity.AbsolutePressure) say.Message {
	fills, _, known := r.Fills(inlet, vapor)
	if !known || fills {
		return say.Message{}
	}
	return SpacesDoNotFill.With(quantity.PressureDifference(inlet.SI()-vapor.SI()), *r.Filling)
}

var msgYield = say.Define("slip.yield_accepted", "a plastic viscosity above 0 and a yield stress from 0 up")

// YieldLeak returns the laminar leak of a plane gap with walls at rest by a
// liquid with a yield stress (Bingham).
//
//	q = B h³Δp/(12 µ_p L) (1 − 1.5φ + 0.5φ³),  φ = 2τ₀L/(hΔp);  0 for φ ≥ 1
//
//	µ_p  plastic viscosity  Pa s  > 0
//	τ₀   yield stress       Pa    ≥ 0
//
// Below φ = 1 the gap stays plugged: a pump that leaks nothing at rest may not
// prime either. Source: textbook, Bird, Stewart and Lightfoot, Transport
// Phenomena, from memory; checked by integrating the profile.
func YieldLeak(g Gap, plastic quantity.DynamicViscosity, yield quantity.Stress, dp quantity.PressureDifference) (quantity.Flow, error) {
	if !(plastic > 0) || !(yield >= 0) || !finite(plastic.SI()+yield.SI()) {
		return 0, say.Refuse("viscosity", plastic.String(), msgGapRefused.With(), msgYield.With())
	}
	if !(g.Height >= 0) || !(g.Length > 0) || !(g.Breadth >= 0) || !(dp >= 0) || !finite(g.Height.SI()+g.Length.SI()+g.Breadth.SI()+dp.SI()) {
		return 0, say.Refuse("gap", g.Height.String(), msgGapRefused.With(), msgGapSize.With())
	}
	h := g.Height.SI()
	phi := 2 * yield.SI() * g.Length.SI() / (h * dp.SI())
	if !(phi < 1) {
		return 0, nil
	}
	return quantity.Flow(g.Breadth.SI() * h * h * h * dp.SI() / (12 * plastic.SI() * g.Length.SI()) * (1 - 1.5*phi + 0.5*phi*phi*phi)), nil
}
