package calculator

import (
	"pumpwright/calc/gearset"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// pumpCalculators are those of the gears and the pump as a whole.
func pumpCalculators() []Calculator {
	return []Calculator{gearSetCalculator(), displacementCalculator(), performanceCalculator(), calibrateCalculator()}
}

type gearSetIn struct {
	RotorTeeth     int              `json:"rotor_teeth" help:"teeth of the rotor (they point inwards)"`
	IdlerTeeth     int              `json:"idler_teeth" help:"teeth of the idler"`
	Module         *quantity.Length `json:"module" help:"module; or give the diametral pitch"`
	DiametralPitch *float64         `json:"diametral_pitch" unit:"1/in|/in|DP" help:"teeth per inch of pitch diameter, 1/in; or give the module"`
	PressureAngle  quantity.Angle   `json:"pressure_angle" help:"pressure angle at the reference circle"`
	RotorAddendum  float64          `json:"rotor_addendum" default:"0.8" help:"addendum of the rotor, multiple of the module"`
	IdlerAddendum  float64          `json:"idler_addendum" default:"0.8" help:"addendum of the idler, multiple of the module"`
	RotorDedendum  float64          `json:"rotor_dedendum" default:"1.05" help:"dedendum of the rotor, multiple of the module"`
	IdlerDedendum  float64          `json:"idler_dedendum" default:"1.05" help:"dedendum of the idler, multiple of the module"`
	RotorShift     float64          `json:"rotor_shift" default:"0" help:"profile shift of the rotor, multiple of the module, positive outwards"`
	IdlerShift     float64          `json:"idler_shift" default:"0" help:"profile shift of the idler, multiple of the module, positive outwards"`
	FaceWidth      quantity.Length  `json:"face_width" help:"length of the teeth along the shaft"`
	Backlash       quantity.Length  `json:"backlash" default:"0" help:"backlash along the pitch circle"`
	TipGapOuter    quantity.Length  `json:"tip_gap_outer" default:"0" help:"gap from rotor tips to crescent"`
	TipGapInner    quantity.Length  `json:"tip_gap_inner" default:"0" help:"gap from idler tips to crescent"`
	Relief         bool             `json:"relief" default:"true" help:"relief pockets let the shut-in liquid out, so that teeth hand over in the middle of the mesh"`
}

type gearSetOut struct {
	CenterDistance         quantity.Length        `json:"center_distance" help:"distance of rotor axis and idler axis"`
	ContactRatio           *float64               `json:"contact_ratio" help:"pairs of teeth in contact on average"`
	Displacement           *quantity.Displacement `json:"displacement" help:"volume moved by one turn of the rotor"`
	DisplacementClosedForm quantity.Displacement  `json:"displacement_closed_form" help:"the same by the closed form, which needs circles only"`
	FlowRipple             *float64               `json:"flow_ripple" help:"largest less smallest flow over the mean, a fraction"`
	CrescentThickness      quantity.Length        `json:"crescent_thickness" help:"thickness of the crescent in its middle, with the tip gaps given"`
	CrescentOuterRadius    quantity.Length        `json:"crescent_outer_radius" help:"radius of the crescent towards the rotor, about the rotor axis"`
	CrescentInnerRadius    quantity.Length        `json:"crescent_inner_radius" help:"radius of the crescent towards the idler, about the idler axis"`
	RotorTipRadius         quantity.Length        `json:"rotor_tip_radius" help:"radius of the rotor tips"`
	IdlerTipRadius         quantity.Length        `json:"idler_tip_radius" help:"radius of the idler tips"`
	RotorTipThickness      *quantity.Length       `json:"rotor_tip_thickness" help:"thickness of a rotor tooth at its tip"`
	IdlerTipThickness      quantity.Length        `json:"idler_tip_thickness" help:"thickness of an idler tooth at its tip"`
	FoulingMargin          *float64               `json:"fouling_margin" help:"margin against tips fouling where they leave the mesh: an angle in rad times the rotor teeth; absent when the tip circles do not cross"`
	Valid                  bool                   `json:"valid" help:"every gate is passed: plain involute teeth of these numbers run"`
	Gates                  []gateOut              `json:"gates" help:"each condition with its margin"`
}

type gateOut struct {
	Name   string      `json:"name" help:"name of the gate"`
	Passed bool        `json:"passed" help:"the gate is passed"`
	Margin *float64    `json:"margin" help:"0 or more when passed; absent when an earlier gate leaves nothing to judge"`
	What   say.Message `json:"what" help:"what the gate asks, and the measure of its margin"`
}

var (
	msgModuleOrPitch = say.Define("calculator.module_or_pitch", "give either the module or the diametral pitch, not both and not neither")
	msgModuleOrTeeth = say.Define("calculator.module_accepted", "a module like 8 mm, or a diametral pitch like 4")
)

func gearSetCalculator() Calculator {
	return Define("gear-set", "What are the dimensions and the displacement of this gear pair, and can it run?",
		`rotor_teeth: 17
idler_teeth: 13
module: 8 mm
pressure_angle: 28°
rotor_addendum: 0.8
idler_addendum: 0.8
face_width: 60 mm
backlash: 0.2 mm
tip_gap_outer: 0.15 mm
tip_gap_inner: 0.15 mm
`, runGearSet)
}

func runGearSet(_ *Env, in gearSetIn) (gearSetOut, Notes, error) {
	if (in.Module == nil) == (in.DiametralPitch == nil) {
		return gearSetOut{}, Notes{}, say.Refuse("module", "", msgModuleOrPitch.With(), msgModuleOrTeeth.With())
	}
	var module quantity.Length
	if in.Module != nil {
		module = *in.Module
	} else {
		m, err := gearset.ModuleOfDiametralPitch(*in.DiametralPitch)
		if err != nil {
			return gearSetOut{}, Notes{}, err
		}
		module = m
	}
	g, err := gearset.Compute(gearset.Pair{
		RotorTeeth: in.RotorTeeth, IdlerTeeth: in.IdlerTeeth, Module: module, PressureAngle: in.PressureAngle,
		RotorAddendum: in.RotorAddendum, IdlerAddendum: in.IdlerAddendum, RotorDedendum: in.RotorDedendum, IdlerDedendum: in.IdlerDedendum,
		RotorShift: in.RotorShift, IdlerShift: in.IdlerShift, FaceWidth: in.FaceWidth, Backlash: in.Backlash,
		TipGapOuter: in.TipGapOuter, TipGapInner: in.TipGapInner, NoRelief: !in.Relief,
	})
	if err != nil {
		return gearSetOut{}, Notes{}, err
	}
	out := gearSetOut{
		CenterDistance: g.CenterDistance, ContactRatio: g.ContactRatio, DisplacementClosedForm: g.ClosedForm,
		CrescentThickness: g.CrescentMiddle, CrescentOuterRadius: g.CrescentOuter, CrescentInnerRadius: g.CrescentInner,
		RotorTipRadius: g.RotorTip, IdlerTipRadius: g.IdlerTip, RotorTipThickness: g.RotorTipLand, IdlerTipThickness: g.IdlerTipLand,
		FoulingMargin: g.Fouling, Valid: g.Valid,
	}
	if g.Exact != nil {
		out.Displacement, out.FlowRipple = &g.Exact.Displacement, &g.Exact.Ripple
	}
	for _, gate := range g.Gates {
		row := gateOut{Name: gate.Name, Passed: gate.Passed, What: gate.What}
		if gate.Judged {
			margin := gate.Margin
			row.Margin = &margin
		}
		out.Gates = append(out.Gates, row)
	}
	return out, Notes{Warnings: g.Warnings(), Working: g.Working()}, nil
}

type displacementIn struct {
	IdlerDiameter         *quantity.Length          `json:"idler_diameter" help:"diameter of the idler over the tips"`
	CenterDistance        *quantity.Length          `json:"center_distance" help:"distance of rotor axis and idler pin axis"`
	FaceWidth             *quantity.Length          `json:"face_width" help:"length of the teeth along the shaft"`
	CrescentThickness     *quantity.Length          `json:"crescent_thickness" help:"thickness of the crescent in its middle; without it the uncertainty is 15 %"`
	TipGapOuter           quantity.Length           `json:"tip_gap_outer" default:"0" help:"gap from rotor tips to crescent"`
	TipGapInner           quantity.Length           `json:"tip_gap_inner" default:"0" help:"gap from idler tips to crescent"`
	RatedFlow             *quantity.Flow            `json:"rated_flow" help:"flow of the rating, in place of lengths"`
	RatedSpeed            *quantity.RotationalSpeed `json:"rated_speed" help:"speed of the rating"`
	VolumetricEfficiency  *float64                  `json:"volumetric_efficiency" help:"volumetric efficiency at the rating (0.95 when missing: an oil)"`
	VolumetricEfficiencyU float64                   `json:"volumetric_efficiency_u" default:"0.04" help:"standard uncertainty of that efficiency"`
}

type displacementOut struct {
	Displacement quantity.Estimate[quantity.Displacement] `json:"displacement" help:"volume moved by one turn of the rotor, with its standard uncertainty"`
}

var (
	msgMissingLength = say.Define("calculator.displacement_missing", "displacement needs this length, or a rated flow with its speed")
	msgLengthsRated  = say.Define("calculator.displacement_accepted", "idler_diameter, center_distance and face_width; or rated_flow and rated_speed")
	msgBothWays      = say.Define("calculator.displacement_both", "give lengths or a rating, not both: two answers need two runs")
	msgEfficiencyOf  = say.Define("calculator.displacement_efficiency", "volumetric efficiency at the rating was taken as {eta:number} ± {u:number}: a convention for oil, not of this pump")
	msgHeightGuessed = say.Define("calculator.displacement_guessed", "without the thickness of the crescent the working height was taken as 0.85 of the centre distance: ± 15 %")
)

func displacementCalculator() Calculator {
	return Define("displacement", "How much does one turn move when the teeth are not known?",
		`idler_diameter: 116.8 mm
center_distance: 16 mm
face_width: 60 mm
crescent_thickness: 18.9 mm
tip_gap_outer: 0.15 mm
tip_gap_inner: 0.15 mm
`, runDisplacement)
}

func runDisplacement(_ *Env, in displacementIn) (displacementOut, Notes, error) {
	rated := in.RatedFlow != nil || in.RatedSpeed != nil
	lengths := in.IdlerDiameter != nil || in.CenterDistance != nil || in.FaceWidth != nil || in.CrescentThickness != nil
	if rated && lengths {
		return displacementOut{}, Notes{}, say.Refuse("rated_flow", "", msgBothWays.With(), msgLengthsRated.With())
	}
	if rated {
		return displacementFromRating(in)
	}
	for _, need := range []struct {
		field string
		value *quantity.Length
	}{{"idler_diameter", in.IdlerDiameter}, {"center_distance", in.CenterDistance}, {"face_width", in.FaceWidth}} {
		if need.value == nil {
			return displacementOut{}, Notes{}, say.Refuse(need.field, "", msgMissingLength.With(), msgLengthsRated.With())
		}
	}
	m := gearset.Measured{
		IdlerDiameter: *in.IdlerDiameter, CenterDistance: *in.CenterDistance, FaceWidth: *in.FaceWidth,
		Crescent: in.CrescentThickness, TipGapOuter: in.TipGapOuter, TipGapInner: in.TipGapInner,
	}
	d, err := gearset.FromMeasured(m)
	if err != nil {
		return displacementOut{}, Notes{}, err
	}
	notes := Notes{Working: gearset.MeasuredWorking(m, d)}
	if m.Crescent == nil {
		notes.Warn(msgHeightGuessed.With())
	}
	return displacementOut{d}, notes, nil
}

func displacementFromRating(in displacementIn) (displacementOut, Notes, error) {
	if in.RatedFlow == nil || in.RatedSpeed == nil {
		field := "rated_flow"
		if in.RatedSpeed == nil {
			field = "rated_speed"
		}
		return displacementOut{}, Notes{}, say.Refuse(field, "", msgMissingLength.With(), msgLengthsRated.With())
	}
	eta := gearset.RatingEfficiency
	var notes Notes
	if in.VolumetricEfficiency != nil {
		eta = *in.VolumetricEfficiency
	} else {
		notes.Warn(msgEfficiencyOf.With(eta, in.VolumetricEfficiencyU))
	}
	d, err := gearset.FromRating(*in.RatedFlow, *in.RatedSpeed, eta, in.VolumetricEfficiencyU)
	if err != nil {
		return displacementOut{}, Notes{}, err
	}
	notes.Working = gearset.RatingWorking(*in.RatedFlow, *in.RatedSpeed, eta, in.VolumetricEfficiencyU, d)
	return displacementOut{d}, notes, nil
}
