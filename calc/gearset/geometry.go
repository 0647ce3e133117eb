package gearset

import (
	"math"
	"strconv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Geometry is a pair with all its dimensions. Make one with Compute.
type Geometry struct {
	Pair Pair

	CenterDistance  quantity.Length // e, rotor axis to idler axis
	WorkingAngle    quantity.Angle  // α_w; the pressure angle when nothing is shifted
	BasePitch       quantity.Length // p_b = π m cos α
	RotorPitch      quantity.Length // working pitch radius
	IdlerPitch      quantity.Length
	RotorBase       quantity.Length // base radius
	IdlerBase       quantity.Length
	RotorTip        quantity.Length // r_ar, inside
	RotorRoot       quantity.Length // r_fr
	IdlerTip        quantity.Length // r_ai
	IdlerRoot       quantity.Length // r_fi
	WorkingHeight   quantity.Length // h_w = r_ai + e − r_ar
	CrescentOuter   quantity.Length // radius about the rotor axis
	CrescentInner   quantity.Length // radius about the idler axis
	CrescentMiddle  quantity.Length // thickness in the middle, with the tip gaps
	CrescentZeroGap quantity.Length // the same with gaps closed
	CrescentArc     quantity.Angle  // largest possible arc, seen from the rotor axis; 2π when the circles do not cross

	ClearanceAtRotorRoot quantity.Length // idler tip to rotor root in the mesh
	ClearanceAtIdlerRoot quantity.Length // rotor tip to idler root in the mesh

	Gates []Gate
	Valid bool // every gate passed

	// Absent (nil) where the rotor tip lies inside its base circle: the
	// involute does not reach it.
	ContactRatio *float64
	RotorTipLand *quantity.Length // thickness of the rotor tooth at its tip
	Exact        *Delivery        // displacement and ripple by flow kinematics
	Fouling      *float64         // z_i(inv α_ai + δ_i) − z_r(inv α_ar + δ_r) + (z_r − z_i) inv α_w; absent when the tip circles do not cross

	IdlerTipLand quantity.Length       // thickness of the idler tooth at its tip
	ClosedForm   quantity.Displacement // D = 2π r_r h_w b

	f shape
}

// shape is the geometry in plain SI numbers for the inner loops.
type shape struct {
	zr, zi                     float64
	e, aw, pb                  float64
	rr, ri, rbr, rbi           float64
	rar, rfr, rai, rfi         float64
	halfSpace, halfTooth, invA float64 // at the reference circles
	b                          float64
	sIdler, sRotor             float64 // ends of contact on the line of action, 0 at the pitch point
	involuteTip                bool
}

// Compute works out a pair.
//
//	e = m(z_r − z_i)/2·cos α/cos α_w,  inv α_w = inv α + 2 tan α (x_r − x_i)/(z_r − z_i)
//	r_ar = m(z_r/2 − h_ar + x_r),  r_fr = m(z_r/2 + h_fr + x_r)
//	r_ai = m(z_i/2 + h_ai + x_i),  r_fi = m(z_i/2 − h_fi + x_i)
//	ε_α = (s_i − s_ro)/p_b,  s = √(r_a² − r_b²) − r_w sin α_w
//
// Errors: a Problem naming the field for NaN, infinite or impossible numbers.
// A pair that cannot run is no error: its Gates say so.
// Source: standard involute geometry of internal gears; crescent: derived here.
func Compute(p Pair) (*Geometry, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	m, alpha := p.Module.SI(), p.PressureAngle.SI()
	zr, zi := float64(p.RotorTeeth), float64(p.IdlerTeeth)
	aw := alpha
	if p.RotorShift != p.IdlerShift {
		w, err := InverseInvolute(quantity.Angle(inv(alpha) + 2*math.Tan(alpha)*(p.RotorShift-p.IdlerShift)/(zr-zi)))
		if err != nil || w <= 0 {
			return nil, say.Refuse("rotor_shift", "", msgNoAngle.With(), msgShift.With())
		}
		aw = w.SI()
	}
	e := m * (zr - zi) / 2 * math.Cos(alpha) / math.Cos(aw)
	s := shape{
		zr: zr, zi: zi, e: e, aw: aw, pb: math.Pi * m * math.Cos(alpha),
		rr: e * zr / (zr - zi), ri: e * zi / (zr - zi),
		rbr: m * zr / 2 * math.Cos(alpha), rbi: m * zi / 2 * math.Cos(alpha),
		rar: m * (zr/2 - p.RotorAddendum + p.RotorShift), rfr: m * (zr/2 + p.RotorDedendum + p.RotorShift),
		rai: m * (zi/2 + p.IdlerAddendum + p.IdlerShift), rfi: m * (zi/2 - p.IdlerDedendum + p.IdlerShift),
		invA: inv(alpha), b: p.FaceWidth.SI(),
	}
	s.halfSpace = (m*(math.Pi/2+2*p.RotorShift*math.Tan(alpha)) + p.Backlash.SI()/2) / (m * zr)
	s.halfTooth = (m*(math.Pi/2+2*p.IdlerShift*math.Tan(alpha)) - p.Backlash.SI()/2) / (m * zi)
	if s.rfi <= 0 || s.rar <= 0 || s.rai <= s.rbi {
		return nil, say.Refuse("idler_addendum", "", msgRadii.With(), msgHeight.With())
	}
	g := &Geometry{Pair: p, f: s}
	g.fill()
	if g.CrescentZeroGap <= 0 {
		return nil, say.Refuse("rotor_addendum", strconv.FormatFloat(p.RotorAddendum, 'g', 6, 64), msgNoCrescent.With(), msgRoomAccepted.With())
	}
	if g.CrescentMiddle <= 0 {
		return nil, say.Refuse("tip_gap_outer", p.TipGapOuter.String(), msgTooThick.With(), say.Message{})
	}
	return g, nil
}

func (g *Geometry) fill() {
	s := &g.f
	hw := s.rai + s.e - s.rar
	out, in := s.rar-g.Pair.TipGapOuter.SI(), s.rai+g.Pair.TipGapInner.SI()
	g.CenterDistance, g.WorkingAngle, g.BasePitch = quantity.Length(s.e), quantity.Angle(s.aw), quantity.Length(s.pb)
	g.RotorPitch, g.IdlerPitch = quantity.Length(s.rr), quantity.Length(s.ri)
	g.RotorBase, g.IdlerBase = quantity.Length(s.rbr), quantity.Length(s.rbi)
	g.RotorTip, g.RotorRoot = quantity.Length(s.rar), quantity.Length(s.rfr)
	g.IdlerTip, g.IdlerRoot = quantity.Length(s.rai), quantity.Length(s.rfi)
	g.WorkingHeight = quantity.Length(hw)
	g.CrescentOuter, g.CrescentInner = quantity.Length(out), quantity.Length(in)
	g.CrescentMiddle = quantity.Length(out - in + s.e)
	g.CrescentZeroGap = quantity.Length(s.rar - s.rai + s.e)
	g.CrescentArc = 2 * math.Pi
	if x := (out*out - in*in + s.e*s.e) / (2 * s.e) / out; math.Abs(x) < 1 {
		g.CrescentArc = quantity.Angle(2 * (math.Pi - math.Acos(x)))
	}
	g.ClearanceAtRotorRoot = quantity.Length(s.rfr - s.e - s.rai)
	g.ClearanceAtIdlerRoot = quantity.Length(s.rar - s.e - s.rfi)
	g.IdlerTipLand = g.IdlerToothThickness(g.IdlerTip)
	g.ClosedForm = quantity.Displacement(2 * math.Pi * s.rr * hw * s.b)

	s.sIdler = fromPitchPoint(s.rai, s.rbi, s.ri, s.aw)
	s.involuteTip = s.rar > s.rbr
	if s.involuteTip {
		s.sRotor = fromPitchPoint(s.rar, s.rbr, s.rr, s.aw)
		ratio := (s.sIdler - s.sRotor) / s.pb
		g.ContactRatio = &ratio
		land := g.RotorToothThickness(g.RotorTip)
		g.RotorTipLand = &land
		g.Fouling = s.fouling()
		d := g.Stretch(s.handOver(g.Pair.NoRelief))
		g.Exact = &d
	}
	g.judge()
}

// IdlerToothThickness returns the thickness of an idler tooth, an arc on the
// circle of a radius about the idler axis. Below the base circle the flank is
// taken radial.
//
//	2r[(πm/2 + 2x m tan α − j/2)/(2 r_ref) + inv α − inv α_r]
func (g *Geometry) IdlerToothThickness(radius quantity.Length) quantity.Length {
	return quantity.Length(2 * radius.SI() * halfAngle(radius.SI(), g.f.rbi, g.f.halfTooth, g.f.invA))
}

// RotorToothThickness returns the thickness of a rotor tooth, an arc on the
// circle of a radius about the rotor axis: the pitch arc there less the space.
func (g *Geometry) RotorToothThickness(radius quantity.Length) quantity.Length {
	r := radius.SI()
	return quantity.Length(2*math.Pi*r/g.f.zr - 2*r*halfAngle(r, g.f.rbr, g.f.halfSpace, g.f.invA))
}

// fouling is the margin against the tips fouling each other on the run-out,
// the published inequality for internal gears times the rotor teeth; nil when
// the tip circles do not cross, so that no fouling is possible.
func (s *shape) fouling() *float64 {
	di := (s.rar*s.rar - s.rai*s.rai - s.e*s.e) / (2 * s.e * s.rai)
	dr := (s.rar*s.rar + s.e*s.e - s.rai*s.rai) / (2 * s.e * s.rar)
	if math.Abs(di) > 1 || math.Abs(dr) > 1 {
		return nil
	}
	margin := s.zi*(inv(math.Acos(s.rbi/s.rai))+math.Acos(di)) -
		s.zr*(inv(math.Acos(s.rbr/s.rar))+math.Acos(dr)) + (s.zr-s.zi)*inv(s.aw)
	return &margin
}

// LeastRotorTip returns the smallest rotor tip radius that meets no idler
// flank below its base circle, √(r_br² + (e sin α_w)²). Derived here.
func (g *Geometry) LeastRotorTip() quantity.Length {
	return quantity.Length(math.Hypot(g.f.rbr, g.f.e*math.Sin(g.f.aw)))
}
