package gearset

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Delivery is displacement and ripple for one way of handing over from tooth
// to tooth.
type Delivery struct {
	Displacement quantity.Displacement // per turn of the rotor
	Ripple       float64               // (largest − smallest)/mean flow
	From, To     quantity.Length       // stretch of the line of action on which one contact seals, 0 at the pitch point
}

// handOver returns the stretch on which one contact seals: with relief pockets
// symmetric about the pitch point, without them until the rotor tip leaves.
func (s *shape) handOver(noRelief bool) (from, to quantity.Length) {
	if noRelief {
		return quantity.Length(s.sRotor), quantity.Length(s.sRotor + s.pb)
	}
	return quantity.Length(-s.pb / 2), quantity.Length(s.pb / 2)
}

// Stretch returns displacement and ripple when one contact seals from s₁ to s₂
// on the line of action (0 at the pitch point, positive towards the idler
// tip); from one tooth to the next that stretch is a base pitch long.
//
//	Q(s) = (bω/2)[r_r² − r_ar² + (z_r/z_i)(r_ai² − r_i²) − (z_r/z_i − 1)s²]
//	D = πb[r_r² − r_ar² + (z_r/z_i)(r_ai² − r_i²) − (z_r/z_i − 1)(s₁² + s₁s₂ + s₂²)/3]
//
// Valid for line seals on both tip circles and one sealing contact. It does
// not depend on the shape of the roots or on backlash.
// Source: derived here; checked against areas of the tooth outlines.
func (g *Geometry) Stretch(from, to quantity.Length) Delivery {
	s := &g.f
	ratio := s.zr / s.zi
	head := s.rr*s.rr - s.rar*s.rar + ratio*(s.rai*s.rai-s.ri*s.ri)
	a, b := from.SI(), to.SI()
	mean := head - (ratio-1)*(a*a+a*b+b*b)/3
	largest := 0.0 // the largest flow is where |s| is least
	if a > 0 || b < 0 {
		largest = math.Min(a*a, b*b)
	}
	swing := (ratio - 1) * (math.Max(a*a, b*b) - largest)
	return Delivery{Displacement: quantity.Displacement(math.Pi * s.b * mean), Ripple: swing / mean, From: from, To: to}
}

// Measured is what a pump without tooth data still shows: four lengths.
type Measured struct {
	IdlerDiameter  quantity.Length // over the tips
	CenterDistance quantity.Length // rotor axis to idler pin axis
	FaceWidth      quantity.Length
	Crescent       *quantity.Length // thickness in its middle; nil when it could not be measured
	TipGapOuter    quantity.Length
	TipGapInner    quantity.Length
}

var (
	msgCrescentAccepted = say.Define("gearset.crescent_accepted", "more than 0 and, with both tip gaps, less than twice the centre distance ({limit:length})")
	msgEfficiency       = say.Define("gearset.efficiency_accepted", "a fraction above 0 up to 1.05")
)

// Relative standard uncertainties of the fallbacks. Conventions of this
// program, no source: four lengths read with care give better than 1 %, a
// guessed working height 15 %.
const (
	relativeFromParts = 0.01
	relativeGuessed   = 0.15
	heightPerCenter   = 0.85 // working height over centre distance when the crescent is unknown
)

// FromMeasured returns displacement from lengths read on the parts.
//
//	h_w = 2e − t − c_co − c_ci;  without t: h_w = 0.85 e, ± 15 %
//	D ≈ 2π(r_ai + e − h_w/2) h_w b
//
// Source: derived here (the closed form with the pitch radius replaced by the
// middle of the working height); 0.85 is a convention, no source.
func FromMeasured(m Measured) (quantity.Estimate[quantity.Displacement], error) {
	none := quantity.Estimate[quantity.Displacement]{}
	for _, v := range []struct {
		field string
		value float64
		zero  bool
	}{
		{"idler_diameter", m.IdlerDiameter.SI(), false}, {"center_distance", m.CenterDistance.SI(), false},
		{"face_width", m.FaceWidth.SI(), false}, {"tip_gap_outer", m.TipGapOuter.SI(), true}, {"tip_gap_inner", m.TipGapInner.SI(), true},
	} {
		if !finite(v.value) || v.value < 0 || v.value == 0 && !v.zero {
			return none, refuseNumber(v.field, v.value, msgMorePositive.With())
		}
	}
	e := m.CenterDistance.SI()
	height, relative := heightPerCenter*e, relativeGuessed
	if m.Crescent != nil {
		height, relative = 2*e-m.Crescent.SI()-m.TipGapOuter.SI()-m.TipGapInner.SI(), relativeFromParts
		if !(m.Crescent.SI() > 0) || !(height > 0) {
			return none, say.Refuse("crescent_thickness", m.Crescent.String(), msgRefused.With(), msgCrescentAccepted.With(quantity.Length(2*e)))
		}
	}
	d := 2 * math.Pi * (m.IdlerDiameter.SI()/2 + e - height/2) * height * m.FaceWidth.SI()
	return quantity.Within(quantity.Displacement(d), relative*d), nil
}

// Volumetric efficiency taken for a rating that states none: an oil, at rated
// pressure. A convention of this program, no source.
const (
	RatingEfficiency  = 0.95
	RatingEfficiencyU = 0.04 // absolute
)

// FromRating returns displacement from a rated flow and speed, D = Q/(N η_v).
// The uncertainty is that of η_v.
func FromRating(flow quantity.Flow, speed quantity.RotationalSpeed, efficiency, efficiencyU float64) (quantity.Estimate[quantity.Displacement], error) {
	none := quantity.Estimate[quantity.Displacement]{}
	if !(flow > 0) || !finite(flow.SI()) {
		return none, refuseNumber("rated_flow", flow.SI(), msgMorePositive.With())
	}
	if !(speed > 0) || !finite(speed.SI()) {
		return none, refuseNumber("rated_speed", speed.SI(), msgMorePositive.With())
	}
	if !(efficiency > 0) || efficiency > 1.05 || !(efficiencyU >= 0) {
		return none, refuseNumber("volumetric_efficiency", efficiency, msgEfficiency.With())
	}
	d := flow.SI() / (speed.SI() / (2 * math.Pi)) / efficiency
	return quantity.Within(quantity.Displacement(d), d*efficiencyU/efficiency), nil
}
