package gearset

import (
	"math"
	"strconv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Pair is what describes rotor, idler and crescent. Heights of teeth are
// coefficients: multiples of the module.
type Pair struct {
	RotorTeeth    int
	IdlerTeeth    int
	Module        quantity.Length
	PressureAngle quantity.Angle
	RotorAddendum float64
	IdlerAddendum float64
	RotorDedendum float64
	IdlerDedendum float64
	RotorShift    float64         // profile shift coefficient, positive moves the teeth outwards; 0 = none
	IdlerShift    float64         // the same of the idler
	FaceWidth     quantity.Length // length of the teeth along the shaft
	Backlash      quantity.Length // circumferential, at the pitch circle, half taken from each gear
	TipGapOuter   quantity.Length // rotor tips to crescent
	TipGapInner   quantity.Length // idler tips to crescent
	NoRelief      bool            // no relief pockets: the contact is the seal until it ends
}

// DefaultDedendum is the dedendum coefficient taken when none is known.
// Common practice for stub internal teeth, no source.
const DefaultDedendum = 1.05

// ModuleOfDiametralPitch returns the module of a diametral pitch, m = 25.4 mm/DP.
func ModuleOfDiametralPitch(teethPerInch float64) (quantity.Length, error) {
	if !(teethPerInch > 0) || math.IsInf(teethPerInch, 0) {
		return 0, refuseNumber("diametral_pitch", teethPerInch, msgMorePositive.With())
	}
	return quantity.Length(0.0254 / teethPerInch), nil
}

var (
	msgRefused       = say.Define("gearset.refused", "this value cannot belong to a gear pair")
	msgMorePositive  = say.Define("gearset.positive", "a number greater than 0")
	msgNotNegative   = say.Define("gearset.not_negative", "0 or more")
	msgTeethAccepted = say.Define("gearset.teeth_accepted", "whole numbers from 3 to 500, the rotor with more teeth than the idler")
	msgAngleAccepted = say.Define("gearset.angle_accepted", "an angle from 5° to 45°")
	msgHeight        = say.Define("gearset.height_accepted", "a multiple of the module from 0 to 3")
	msgShift         = say.Define("gearset.shift_accepted", "a multiple of the module from -2 to 2")
	msgTooThick      = say.Define("gearset.crescent_none", "with these tip gaps no crescent is left between the tips")
	msgNoCrescent    = say.Define("gearset.no_room", "the tips of rotor and idler overlap: no crescent fits between them")
	msgRoomAccepted  = say.Define("gearset.room_accepted", "lower addenda, or a larger difference of teeth")
	msgNoAngle       = say.Define("gearset.no_working_angle", "teeth shifted like this cannot mesh at any centre distance")
	msgRadii         = say.Define("gearset.radii", "a tooth height leaves no radius")
)

func refuseNumber(field string, v float64, accepted say.Message) error {
	return say.Refuse(field, strconv.FormatFloat(v, 'g', 6, 64), msgRefused.With(), accepted)
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// check refuses what cannot be a pair at all; whether the pair can run is for
// the gates.
func (p Pair) check() error {
	if p.RotorTeeth < 4 || p.RotorTeeth > 500 || p.RotorTeeth <= p.IdlerTeeth {
		return refuseNumber("rotor_teeth", float64(p.RotorTeeth), msgTeethAccepted.With())
	}
	if p.IdlerTeeth < 3 {
		return refuseNumber("idler_teeth", float64(p.IdlerTeeth), msgTeethAccepted.With())
	}
	for _, v := range []struct {
		field string
		value float64
	}{{"module", p.Module.SI()}, {"face_width", p.FaceWidth.SI()}} {
		if !(v.value > 0) || !finite(v.value) {
			return refuseNumber(v.field, v.value, msgMorePositive.With())
		}
	}
	if a := p.PressureAngle.SI(); !(a >= 5*math.Pi/180) || a > 45*math.Pi/180*(1+1e-12) {
		return refuseNumber("pressure_angle", a*180/math.Pi, msgAngleAccepted.With())
	}
	for _, v := range []struct {
		field string
		value float64
	}{
		{"rotor_addendum", p.RotorAddendum}, {"idler_addendum", p.IdlerAddendum},
		{"rotor_dedendum", p.RotorDedendum}, {"idler_dedendum", p.IdlerDedendum},
	} {
		if !(v.value >= 0) || v.value > 3 {
			return refuseNumber(v.field, v.value, msgHeight.With())
		}
	}
	for _, v := range []struct {
		field string
		value float64
	}{{"rotor_shift", p.RotorShift}, {"idler_shift", p.IdlerShift}} {
		if !(math.Abs(v.value) <= 2) {
			return refuseNumber(v.field, v.value, msgShift.With())
		}
	}
	for _, v := range []struct {
		field string
		value float64
	}{
		{"backlash", p.Backlash.SI()}, {"tip_gap_outer", p.TipGapOuter.SI()}, {"tip_gap_inner", p.TipGapInner.SI()},
	} {
		if !(v.value >= 0) || !finite(v.value) {
			return refuseNumber(v.field, v.value, msgNotNegative.With())
		}
	}
	return nil
}
