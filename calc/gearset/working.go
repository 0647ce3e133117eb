package gearset

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameTeethRotor   = say.Define("gearset.name_rotor_teeth", "teeth of the rotor")
	nameTeethIdler   = say.Define("gearset.name_idler_teeth", "teeth of the idler")
	nameModule       = say.Define("gearset.name_module", "module")
	nameAngle        = say.Define("gearset.name_angle", "pressure angle")
	nameFace         = say.Define("gearset.name_face", "face width")
	nameHeights      = say.Define("gearset.name_height", "{which} (multiple of the module)")
	nameGap          = say.Define("gearset.name_gap", "tip gap to the crescent, {side}")
	nameCenter       = say.Define("gearset.name_center", "centre distance")
	nameRotorTip     = say.Define("gearset.name_rotor_tip", "rotor tip radius (inside)")
	nameIdlerTip     = say.Define("gearset.name_idler_tip", "idler tip radius")
	nameHeight       = say.Define("gearset.name_working_height", "working height of the teeth")
	nameContact      = say.Define("gearset.name_contact_ratio", "contact ratio")
	nameDisplacement = say.Define("gearset.name_displacement", "displacement of one turn of the rotor")
	nameClosed       = say.Define("gearset.name_closed_form", "displacement by the closed form")
	nameRipple       = say.Define("gearset.name_ripple", "flow ripple, largest less smallest over mean")
	nameCrescent     = say.Define("gearset.name_crescent", "thickness of the crescent in its middle")
	nameFouling      = say.Define("gearset.name_fouling", "margin against tips fouling")
	namePair         = say.Define("gearset.name_pair", "gear pair")
)

const (
	fromInvolute = "standard involute geometry of internal gears"
	fromFlow     = "flow kinematics, derived here; checked against areas of the outlines"
)

// Working returns the reasons behind the dimensions, displacement first.
func (g *Geometry) Working() *working.Node {
	p := g.Pair
	const ref = "input"
	zr := working.Number("gearset.rotor_teeth", nameTeethRotor.With(), "z_r", float64(p.RotorTeeth), ref)
	zi := working.Number("gearset.idler_teeth", nameTeethIdler.With(), "z_i", float64(p.IdlerTeeth), ref)
	m := working.Leaf("gearset.module", nameModule.With(), "m", p.Module, ref)
	angle := working.Leaf("gearset.pressure_angle", nameAngle.With(), "α", p.PressureAngle, ref)
	face := working.Leaf("gearset.face_width", nameFace.With(), "b", p.FaceWidth, ref)
	har := working.Number("gearset.rotor_addendum", nameHeights.With("rotor addendum"), "h_ar", p.RotorAddendum, ref)
	hai := working.Number("gearset.idler_addendum", nameHeights.With("idler addendum"), "h_ai", p.IdlerAddendum, ref)
	outer := working.Leaf("gearset.tip_gap_outer", nameGap.With("rotor"), "c_co", p.TipGapOuter, ref)
	inner := working.Leaf("gearset.tip_gap_inner", nameGap.With("idler"), "c_ci", p.TipGapInner, ref)

	center := working.Result("gearset.center_distance", nameCenter.With(), "e", g.CenterDistance, "e = m(z_r − z_i)/2 · cos α/cos α_w", fromInvolute, m, zr, zi, angle)
	rotorTip := working.Result("gearset.rotor_tip", nameRotorTip.With(), "r_ar", g.RotorTip, "r_ar = m(z_r/2 − h_ar + x_r)", fromInvolute, m, zr, har)
	idlerTip := working.Result("gearset.idler_tip", nameIdlerTip.With(), "r_ai", g.IdlerTip, "r_ai = m(z_i/2 + h_ai + x_i)", fromInvolute, m, zi, hai)
	height := working.Result("gearset.working_height", nameHeight.With(), "h_w", g.WorkingHeight, "h_w = r_ai + e − r_ar", "derived here", idlerTip, center, rotorTip)
	closed := working.Result("gearset.displacement_closed_form", nameClosed.With(), "D_a", g.ClosedForm, "D_a = 2π r_r h_w b", "derived here", height, face, m, zr)
	crescent := working.Result("gearset.crescent_thickness", nameCrescent.With(), "t_c", g.CrescentMiddle, "t_c = (r_ar − c_co) − (r_ai + c_ci) + e", "derived here", rotorTip, idlerTip, center, outer, inner)
	root := &working.Node{
		ID: "gearset.pair", Name: namePair.With(), Text: g.summary(), Equation: "dimensions, displacement and gates of the pair",
		Source: fromInvolute, Inputs: []*working.Node{closed, crescent},
	}
	if g.Exact == nil {
		return root
	}
	contact := working.Number("gearset.contact_ratio", nameContact.With(), "ε_α", *g.ContactRatio, "")
	contact.Equation, contact.Source, contact.Inputs = "ε_α = (s_i − s_ro)/(π m cos α)", fromInvolute, []*working.Node{rotorTip, idlerTip, m, angle}
	ripple := working.Number("gearset.flow_ripple", nameRipple.With(), "", g.Exact.Ripple, "")
	ripple.Equation, ripple.Source, ripple.Inputs = "(largest − smallest)/mean of Q(s)", fromFlow, []*working.Node{rotorTip, idlerTip, zr, zi}
	exact := working.Result("gearset.displacement", nameDisplacement.With(), "D", g.Exact.Displacement,
		"D = πb[r_r² − r_ar² + (z_r/z_i)(r_ai² − r_i²) − (z_r/z_i − 1)(s₁² + s₁s₂ + s₂²)/3]", fromFlow, rotorTip, idlerTip, zr, zi, m, angle, face)
	root.Inputs = append([]*working.Node{exact, contact, ripple}, root.Inputs...)
	if g.Fouling != nil {
		fouling := working.Number("gearset.fouling_margin", nameFouling.With(), "", *g.Fouling, "")
		fouling.Equation = "z_i(inv α_ai + δ_i) − z_r(inv α_ar + δ_r) + (z_r − z_i) inv α_w"
		fouling.Source, fouling.Inputs = "published internal gear interference inequality, times z_r", []*working.Node{rotorTip, idlerTip, center}
		root.Inputs = append(root.Inputs, fouling)
	}
	return root
}

func (g *Geometry) summary() string {
	if g.Exact != nil {
		return g.Exact.Displacement.Show(say.Style{})
	}
	return g.ClosedForm.Show(say.Style{})
}

var (
	nameMeasured = say.Define("gearset.name_from_parts", "displacement from lengths read on the parts")
	nameRated    = say.Define("gearset.name_from_rating", "displacement from a rating")
	nameDiameter = say.Define("gearset.name_idler_diameter", "idler diameter over the tips")
	nameFlow     = say.Define("gearset.name_rated_flow", "rated flow")
	nameSpeed    = say.Define("gearset.name_rated_speed", "rated speed")
	nameEta      = say.Define("gearset.name_eta", "volumetric efficiency at the rating")
)

// MeasuredWorking returns the reasons behind FromMeasured.
func MeasuredWorking(m Measured, d quantity.Estimate[quantity.Displacement]) *working.Node {
	const ref = "input"
	inputs := []*working.Node{
		working.Leaf("displacement.idler_diameter", nameDiameter.With(), "2r_ai", m.IdlerDiameter, ref),
		working.Leaf("displacement.center_distance", nameCenter.With(), "e", m.CenterDistance, ref),
		working.Leaf("displacement.face_width", nameFace.With(), "b", m.FaceWidth, ref),
	}
	equation := "D = 2π(r_ai + e − h_w/2) h_w b,  h_w = 0.85 e"
	if m.Crescent != nil {
		equation = "D = 2π(r_ai + e − h_w/2) h_w b,  h_w = 2e − t − c_co − c_ci"
		inputs = append(inputs, working.Leaf("displacement.crescent_thickness", nameCrescent.With(), "t", *m.Crescent, ref),
			working.Leaf("displacement.tip_gap_outer", nameGap.With("rotor"), "c_co", m.TipGapOuter, ref),
			working.Leaf("displacement.tip_gap_inner", nameGap.With("idler"), "c_ci", m.TipGapInner, ref))
	}
	return working.Result("displacement", nameMeasured.With(), "D", d.Value, equation, "derived here", inputs...).WithU(d.U)
}

// RatingWorking returns the reasons behind FromRating.
func RatingWorking(flow quantity.Flow, speed quantity.RotationalSpeed, efficiency, efficiencyU float64, d quantity.Estimate[quantity.Displacement]) *working.Node {
	const ref = "input"
	return working.Result("displacement", nameRated.With(), "D", d.Value, "D = Q/(N η_v)", "common practice",
		working.Leaf("displacement.rated_flow", nameFlow.With(), "Q", flow, ref),
		working.Leaf("displacement.rated_speed", nameSpeed.With(), "N", speed, ref),
		working.Number("displacement.volumetric_efficiency", nameEta.With(), "η_v", efficiency, ref).WithU(efficiencyU)).WithU(d.U)
}
