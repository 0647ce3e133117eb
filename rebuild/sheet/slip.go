package sheet

import (
	"math"

	"pumpwright/calc/gearset"
	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
)

var (
	msgNoFlowPath     = say.Define("sheet.no_flow_path", "flow and power are not known, because the sheet does not give the gaps and lands that leak")
	msgNoTeeth        = say.Define("sheet.no_teeth", "flow and power are not known, because the sheet does not give the teeth")
	msgWriteFlowPath  = say.Define("sheet.write_flow_path", "fill in the group flow_path, or fit the two-number model to bench points")
	msgAssumedNumber  = say.Define("sheet.assumed_number", "not in the sheet, assumed: {what} {value:number}")
	msgAssumedLength  = say.Define("sheet.assumed_length", "not in the sheet, assumed: {what} {value:length}")
	msgAssumedAngle   = say.Define("sheet.assumed_angle", "not in the sheet, assumed: {what} {value:angle}")
	msgShaftBushBare  = say.Define("sheet.no_shaft_bushing", "the sheet names no bushing on the shaft that the liquid lubricates; its friction is left out")
	msgSealIncomplete = say.Define("sheet.seal_incomplete", "power is not known, because the shaft seal's face area, mean radius, balance or spring pressure is missing")
	msgNoFilling      = say.Define("sheet.no_filling", "power and filling loss are not known, because the width of the tooth spaces or the arc of the suction port is missing")
)

// Values taken where a sheet is silent. Conventions of this program, no
// source; each is said where it is used.
const (
	assumedRotorDisplacement                 = 0.4
	assumedHeadSideShare                     = 0.5
	assumedMeshFriction                      = 0.05
	assumedSealFriction                      = 0.07
	assumedBackGap           quantity.Length = 1.5e-3
	assumedRotorArc          quantity.Angle  = 105 * math.Pi / 180
	assumedIdlerArc          quantity.Angle  = 115 * math.Pi / 180
)

// GearPair returns the gear pair of the sheet.
func (s *Sheet) GearPair() (gearset.Pair, error) {
	t := s.Teeth
	if t == nil {
		return gearset.Pair{}, say.Refuse("teeth", "", msgNoTeeth.With(), msgWriteFlowPath.With())
	}
	p := gearset.Pair{
		RotorTeeth: t.Rotor, IdlerTeeth: t.Idler, Module: t.ModuleLength(), PressureAngle: t.PressureAngle.Value,
		RotorAddendum: t.RotorAddendum, IdlerAddendum: t.IdlerAddendum, RotorDedendum: t.RotorDedendum, IdlerDedendum: t.IdlerDedendum,
		FaceWidth: t.FaceWidth.Value,
	}
	if t.Backlash != nil {
		p.Backlash = t.Backlash.Value
	}
	if f := s.FlowPath; f != nil {
		p.TipGapOuter, p.TipGapInner = f.CrescentOuterClearance.Value, f.CrescentInnerClearance.Value
	}
	return p, nil
}

// assumed collects what a sheet did not say.
type assumed struct{ said []say.Message }

func (a *assumed) number(given *float64, value float64, what string) float64 {
	if given != nil {
		return *given
	}
	a.said = append(a.said, msgAssumedNumber.With(what, value))
	return value
}

func (a *assumed) length(given *Number[quantity.Length], value quantity.Length, what string) quantity.Length {
	if given != nil {
		return given.Value
	}
	a.said = append(a.said, msgAssumedLength.With(what, value))
	return value
}

func (a *assumed) angle(given *Number[quantity.Angle], value quantity.Angle, what string) quantity.Angle {
	if given != nil {
		return given.Value
	}
	a.said = append(a.said, msgAssumedAngle.With(what, value))
	return value
}

// Pump returns the pump of the sheet with its clearances as new, and what was
// assumed because the sheet is silent. What is missing altogether stays
// unknown: a sheet without seal data gets flow and no power.
func (s *Sheet) Pump() (slip.Pump, []say.Message, error) {
	f := s.FlowPath
	if f == nil {
		return slip.Pump{}, nil, say.Refuse("flow_path", "", msgNoFlowPath.With(), msgWriteFlowPath.With())
	}
	pair, err := s.GearPair()
	if err != nil {
		return slip.Pump{}, nil, err
	}
	g, err := gearset.Compute(pair)
	if err != nil {
		return slip.Pump{}, nil, say.In("teeth", err)
	}
	teeth, err := slip.TeethOf(g)
	if err != nil {
		return slip.Pump{}, nil, err
	}
	a := assumed{said: g.Warnings()}
	p := slip.Pump{
		Teeth: teeth,
		Clearances: slip.Clearances{
			End: f.EndClearance.Value, IdlerFloat: f.IdlerFloat.Value, CrescentEnd: f.CrescentEnd.Value,
			RotorRadial: f.RotorRadialClearance.Value, CrescentOuter: f.CrescentOuterClearance.Value, CrescentInner: f.CrescentInnerClearance.Value,
		},
		RotorRadius: f.RotorRadius.Value, RimWidth: f.RimWidth.Value, ToothLand: f.ToothLand.Value,
		RotorDisplacement: a.number(f.RotorDisplacement, assumedRotorDisplacement, "rotor off centre, part of the radial clearance,"),
		HeadSideShare:     a.number(f.HeadSideShare, assumedHeadSideShare, "share of the idler's float on the head side"),
		RotorArc:          a.angle(f.RotorArc, assumedRotorArc, "sealed arc seen from the rotor"),
		IdlerArc:          a.angle(f.IdlerArc, assumedIdlerArc, "sealed arc seen from the idler"),
		Pin:               slip.Bushing{Radius: f.PinRadius.Value, Clearance: f.PinClearance.Value, Length: f.PinLength.Value},
		ShaftRadius:       f.ShaftRadius.Value,
		BackGap:           a.length(f.BackGap, assumedBackGap, "gap behind the rotor's disc"),
		MeshFriction:      a.number(f.MeshFriction, assumedMeshFriction, "friction coefficient of the mesh"),
		EntryExitLoss:     slip.EntryExitLoss,
	}
	if f.ShaftClearance != nil && f.ShaftBushingLength != nil {
		p.ShaftBushing = &slip.Bushing{Radius: f.ShaftRadius.Value, Clearance: f.ShaftClearance.Value, Length: f.ShaftBushingLength.Value}
	} else {
		a.said = append(a.said, msgShaftBushBare.With())
	}
	p.Seal = s.sealFriction(&a)
	if f.SpaceWidth != nil && f.PortArc != nil {
		p.Filling = &slip.Filling{SpaceWidth: f.SpaceWidth.Value, PortArc: f.PortArc.Value}
	} else {
		a.said = append(a.said, msgNoFilling.With())
	}
	return p, a.said, nil
}

// sealFriction returns what the friction of the seal needs, from area, radius,
// ratio and pressure as given, or from the diameters of the faces:
//
//	A = π(D_o² − D_i²)/4,  r = (D_o + D_i)/4,  B = (D_o² − D_b²)/(D_o² − D_i²)
//
// the last for a seal with the pressure outside.
func (s *Sheet) sealFriction(a *assumed) *slip.Seal {
	if s.Seal == nil {
		a.said = append(a.said, msgSealIncomplete.With())
		return nil
	}
	seal := s.Seal
	area, radius, ratio, spring := 0.0, 0.0, math.NaN(), math.NaN()
	if seal.FaceInner != nil && seal.FaceOuter != nil {
		in, out := seal.FaceInner.Value.SI(), seal.FaceOuter.Value.SI()
		area, radius = math.Pi*(out*out-in*in)/4, (out+in)/4
		if seal.BalanceDiameter != nil {
			balance := seal.BalanceDiameter.Value.SI()
			ratio = (out*out - balance*balance) / (out*out - in*in)
		}
	}
	if seal.FaceArea != nil {
		area = seal.FaceArea.Value.SI()
	}
	if seal.MeanRadius != nil {
		radius = seal.MeanRadius.Value.SI()
	}
	if seal.BalanceRatio != nil {
		ratio = *seal.BalanceRatio
	}
	if seal.SpringForce != nil && area > 0 {
		spring = seal.SpringForce.Value.SI() / area
	}
	if seal.SpringPressure != nil {
		spring = seal.SpringPressure.Value.SI()
	}
	if !(area > 0) || !(radius > 0) || !(ratio >= 0) || !(spring >= 0) {
		a.said = append(a.said, msgSealIncomplete.With())
		return nil
	}
	return &slip.Seal{
		FaceArea: quantity.Area(area), MeanRadius: quantity.Length(radius), BalanceRatio: ratio,
		SpringPressure: quantity.PressureDifference(spring),
		Friction:       a.number(seal.Friction, assumedSealFriction, "friction coefficient of the seal faces"),
	}
}

// SlipLiquid returns the liquid of a state as the leak paths need it.
func SlipLiquid(s *liquid.State) (slip.Liquid, error) {
	c, err := s.CrossForm()
	if err != nil {
		return slip.Liquid{}, err
	}
	return slip.Liquid{Density: c.Density, AtRest: c.AtRest, Index: c.Index, Bend: c.Bend, HighShear: c.HighShear}, nil
}
