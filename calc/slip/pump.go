package slip

import (
	"math"
	"strconv"

	"pumpwright/calc/gearset"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Teeth is what slip and power need to know of the gears. TeethOf fills it
// from an involute pair; for other teeth fill it from measurements.
type Teeth struct {
	RotorTeeth, IdlerTeeth int
	Displacement           quantity.Displacement // per turn of the rotor
	CenterDistance         quantity.Length
	FaceWidth              quantity.Length

	RotorTip, RotorRoot, RotorPitch quantity.Length // radii about the rotor axis
	IdlerTip, IdlerRoot, IdlerPitch quantity.Length // radii about the idler axis

	RotorThickness quantity.Length // rotor tooth half-way between tip and root
	IdlerThickness quantity.Length // idler tooth half-way between tip and root
	RotorTipLand   quantity.Length
	IdlerTipLand   quantity.Length
	Crescent       quantity.Length // middle thickness with the tip gaps closed

	Approach float64 // part of the contact ratio before the pitch point (idler tip), s_i/p_b
	Recess   float64 // part after it (rotor tip), −s_ro/p_b
}

var msgNoTeeth = say.Define("slip.no_teeth", "plain involute teeth of these numbers have no contact ratio, so slip and power are not known from them")

// TeethOf takes what slip needs from an involute pair. A pair whose rotor tip
// lies inside its base circle has no such teeth and is refused.
func TeethOf(g *gearset.Geometry) (Teeth, error) {
	if g.Exact == nil {
		return Teeth{}, say.Refuse("teeth", "", msgNoTeeth.With(), say.Message{})
	}
	base := g.BasePitch.SI()
	approach := (math.Sqrt(sq(g.IdlerTip.SI())-sq(g.IdlerBase.SI())) - g.IdlerPitch.SI()*math.Sin(g.WorkingAngle.SI())) / base
	middle := math.Max((g.IdlerTip+g.IdlerRoot).SI()/2, g.IdlerBase.SI())
	return Teeth{
		RotorTeeth: g.Pair.RotorTeeth, IdlerTeeth: g.Pair.IdlerTeeth, Displacement: g.Exact.Displacement,
		CenterDistance: g.CenterDistance, FaceWidth: g.Pair.FaceWidth,
		RotorTip: g.RotorTip, RotorRoot: g.RotorRoot, RotorPitch: g.RotorPitch,
		IdlerTip: g.IdlerTip, IdlerRoot: g.IdlerRoot, IdlerPitch: g.IdlerPitch,
		RotorThickness: g.RotorToothThickness((g.RotorTip + g.RotorRoot) / 2),
		IdlerThickness: g.IdlerToothThickness(quantity.Length(middle)),
		RotorTipLand:   *g.RotorTipLand, IdlerTipLand: g.IdlerTipLand,
		Crescent: g.CrescentZeroGap,
		Approach: approach, Recess: *g.ContactRatio - approach,
	}, nil
}

// Clearances are the gaps that wear and that a rebuild sets. Radial gaps, not
// diametral ones.
type Clearances struct {
	End           quantity.Length // s_e, rotor tooth ends to head
	IdlerFloat    quantity.Length // f_i, total axial float of the idler
	CrescentEnd   quantity.Length // s_cr, crescent to rotor floor
	RotorRadial   quantity.Length // c_od, rotor to casing
	CrescentOuter quantity.Length // c_co, rotor tips to crescent
	CrescentInner quantity.Length // c_ci, idler tips to crescent
}

// Moved returns the clearances with the head further away (or closer): end
// clearance, idler float and crescent end move alike, for pin and crescent sit
// on the head.
func (c Clearances) Moved(by quantity.Length) Clearances {
	c.End += by
	c.IdlerFloat += by
	c.CrescentEnd += by
	return c
}

// WithEnd returns the clearances moved so that the end clearance is s.
func (c Clearances) WithEnd(s quantity.Length) Clearances { return c.Moved(s - c.End) }

// Bushing is a plain bushing that the liquid lubricates.
type Bushing struct {
	Radius    quantity.Length
	Clearance quantity.Length // radial
	Length    quantity.Length
}

// Seal is a mechanical seal, for its friction.
type Seal struct {
	FaceArea       quantity.Area
	MeanRadius     quantity.Length
	BalanceRatio   float64
	SpringPressure quantity.PressureDifference
	Friction       float64
}

// Filling is the way into the tooth spaces.
type Filling struct {
	SpaceWidth quantity.Length // narrowest width of an open space
	PortArc    quantity.Angle  // arc of the suction port
}

// Pump is one pump: gears, lands and clearances.
type Pump struct {
	Teeth      Teeth
	Clearances Clearances

	RotorRadius       quantity.Length // R_o
	RimWidth          quantity.Length // b_d, rim of the disc
	ToothLand         quantity.Length // L_od, circumferential land of one tooth at R_o
	RotorDisplacement float64         // ε_od, rotor off centre towards suction, part of c_od
	HeadSideShare     float64         // σ, share of the idler float on the head side
	RotorArc          quantity.Angle  // sealed arc at the crescent, seen from the rotor axis
	IdlerArc          quantity.Angle  // the same from the idler axis
	FlankGap          quantity.Length // gap between the flanks in the mesh, 0 when they touch
	ClosedBack        bool            // nothing passes behind the disc

	Pin          Bushing  // the idler on its pin
	ShaftBushing *Bushing // nil: none that the liquid lubricates
	ShaftRadius  quantity.Length
	BackGap      quantity.Length
	MeshFriction float64
	Seal         *Seal    // nil: not known, and so is the power
	Filling      *Filling // nil: not known, and so are power and filling loss

	EntryExitLoss float64 // K; EntryExitLoss when nothing else is known
}

var (
	msgPumpRefused = say.Define("slip.pump_refused", "no pump has this value")
	msgPositive    = say.Define("slip.positive_accepted", "a size greater than 0")
	msgNotNegative = say.Define("slip.not_negative_accepted", "0 or more; a negative clearance means contact, and then there is no flow to predict")
	msgPart        = say.Define("slip.part_accepted", "a part from 0 to {most:number}")
	msgArc         = say.Define("slip.arc_accepted", "an angle greater than 0 and less than a full turn")
	msgTeethCount  = say.Define("slip.teeth_accepted", "whole numbers of teeth, the rotor with more than the idler")
	msgOrder       = say.Define("slip.order_accepted", "radii in the order of the parts: pin, idler root, idler tip; rotor tip, rotor root, rotor outside")
)

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func sq(v float64) float64 { return v * v }

func number(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

type namedLength struct {
	field string
	value quantity.Length
}

func (p *Pump) check() error {
	t := &p.Teeth
	if t.IdlerTeeth < 3 || t.RotorTeeth <= t.IdlerTeeth {
		return say.Refuse("teeth", strconv.Itoa(t.RotorTeeth)+"/"+strconv.Itoa(t.IdlerTeeth), msgPumpRefused.With(), msgTeethCount.With())
	}
	if !(t.Displacement > 0) || !finite(t.Displacement.SI()) {
		return say.Refuse("displacement", t.Displacement.String(), msgPumpRefused.With(), msgPositive.With())
	}
	for _, v := range []namedLength{
		{"center_distance", t.CenterDistance}, {"face_width", t.FaceWidth}, {"rotor_tip", t.RotorTip}, {"rotor_pitch", t.RotorPitch},
		{"idler_tip", t.IdlerTip}, {"idler_root", t.IdlerRoot}, {"idler_pitch", t.IdlerPitch}, {"rotor_root", t.RotorRoot},
		{"rotor_thickness", t.RotorThickness}, {"idler_thickness", t.IdlerThickness}, {"rotor_tip_land", t.RotorTipLand},
		{"idler_tip_land", t.IdlerTipLand}, {"crescent_thickness", t.Crescent}, {"rotor_radius", p.RotorRadius},
		{"rim_width", p.RimWidth}, {"tooth_land", p.ToothLand}, {"pin_radius", p.Pin.Radius},
	} {
		if !(v.value > 0) || !finite(v.value.SI()) {
			return say.Refuse(v.field, v.value.String(), msgPumpRefused.With(), msgPositive.With())
		}
	}
	for _, v := range []namedLength{
		{"end_clearance", p.Clearances.End}, {"idler_float", p.Clearances.IdlerFloat}, {"crescent_end", p.Clearances.CrescentEnd},
		{"rotor_radial_clearance", p.Clearances.RotorRadial}, {"crescent_outer_clearance", p.Clearances.CrescentOuter},
		{"crescent_inner_clearance", p.Clearances.CrescentInner}, {"flank_gap", p.FlankGap}, {"pin_clearance", p.Pin.Clearance},
		{"pin_length", p.Pin.Length}, {"shaft_radius", p.ShaftRadius}, {"back_gap", p.BackGap},
	} {
		if !(v.value >= 0) || !finite(v.value.SI()) {
			return say.Refuse(v.field, v.value.String(), msgPumpRefused.With(), msgNotNegative.With())
		}
	}
	for _, v := range []struct {
		field       string
		value, most float64
	}{
		{"rotor_displacement", p.RotorDisplacement, 0.99}, {"head_side_share", p.HeadSideShare, 1},
		{"mesh_friction", p.MeshFriction, 1}, {"approach", t.Approach, 10}, {"recess", t.Recess, 10}, {"entry_exit_loss", p.EntryExitLoss, 10},
	} {
		if !(v.value >= 0) || v.value > v.most {
			return say.Refuse(v.field, number(v.value), msgPumpRefused.With(), msgPart.With(v.most))
		}
	}
	for _, v := range []struct {
		field string
		value quantity.Angle
	}{{"rotor_arc", p.RotorArc}, {"idler_arc", p.IdlerArc}} {
		if !(v.value > 0) || v.value >= 2*math.Pi {
			return say.Refuse(v.field, v.value.String(), msgPumpRefused.With(), msgArc.With())
		}
	}
	if !(p.Pin.Radius < t.IdlerRoot && t.IdlerRoot < t.IdlerTip && t.RotorTip < t.RotorRoot && t.RotorRoot <= p.RotorRadius && t.RotorTip < p.RotorRadius) {
		return say.Refuse("teeth", "", msgPumpRefused.With(), msgOrder.With())
	}
	return p.checkRest()
}

func (p *Pump) checkRest() error {
	if s := p.Seal; s != nil {
		for _, v := range []struct {
			field string
			value float64
		}{
			{"seal.face_area", s.FaceArea.SI()}, {"seal.mean_radius", s.MeanRadius.SI()}, {"seal.balance_ratio", s.BalanceRatio},
			{"seal.spring_pressure", s.SpringPressure.SI()}, {"seal.friction", s.Friction},
		} {
			if !(v.value >= 0) || !finite(v.value) {
				return say.Refuse(v.field, number(v.value), msgPumpRefused.With(), msgNotNegative.With())
			}
		}
	}
	if f := p.Filling; f != nil {
		if !(f.SpaceWidth > 0) || !finite(f.SpaceWidth.SI()) {
			return say.Refuse("space_width", f.SpaceWidth.String(), msgPumpRefused.With(), msgPositive.With())
		}
		if !(f.PortArc > 0) || f.PortArc > 2*math.Pi {
			return say.Refuse("port_arc", f.PortArc.String(), msgPumpRefused.With(), msgArc.With())
		}
	}
	if b := p.ShaftBushing; b != nil && (!(b.Radius > 0) || !(b.Clearance >= 0) || !(b.Length >= 0) || !finite((b.Radius + b.Clearance + b.Length).SI())) {
		return say.Refuse("shaft_clearance", b.Clearance.String(), msgPumpRefused.With(), msgNotNegative.With())
	}
	return nil
}
