package calculator

import (
	"strconv"

	"pumpwright/calc/bushing"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/seal"
	"pumpwright/calc/working"
)

// sealCalculators are those of bushings and shaft seals.
func sealCalculators() []Calculator {
	return []Calculator{bushingCalculator(), sealFaceCalculator(), sealSettingCalculator(), flatnessCalculator(),
		elastomerCalculator(), packingCalculator(), lipShaftCalculator()}
}

type bushingIn struct {
	Diameter         quantity.Length            `json:"diameter" help:"diameter of the journal (pin or shaft)"`
	Length           quantity.Length            `json:"length" help:"length of the bushing"`
	Clearance        quantity.Length            `json:"diametral_clearance" help:"bore less journal, at running temperature"`
	Load             quantity.Force             `json:"load" help:"radial load"`
	Speed            quantity.RotationalSpeed   `json:"speed" help:"speed of rotation of the journal against the bushing"`
	Viscosity        quantity.DynamicViscosity  `json:"viscosity" help:"dynamic viscosity of the liquid in the gap"`
	Material         *BushingMaterial           `json:"material" help:"bushing material, for its published PV limit (carbon graphite, grey iron, leaded tin bronze, manganese bronze, metal-impregnated graphite, metallized graphite, porous bronze), or {pv_limit: …} from a data sheet"`
	Density          quantity.Density           `json:"density" default:"0" help:"density of the liquid, to check that the film stays laminar (0 = not checked)"`
	JournalRoughness quantity.Length            `json:"journal_roughness" default:"0.4 µm" help:"Ra of the journal"`
	BoreRoughness    quantity.Length            `json:"bore_roughness" default:"0.8 µm" help:"Ra of the bore"`
	VolumetricHeat   *float64                   `json:"volumetric_heat" help:"density times specific heat of the liquid, J/(m³·K): 4.2e6 water, 1.7e6 oil; for the warming of the film"`
	StartViscosity   *quantity.DynamicViscosity `json:"start_viscosity" help:"viscosity of the liquid when the pump is started, for a second look at the start"`
	HotClosure       quantity.Length            `json:"hot_closure" default:"0" help:"by how much the running clearance is smaller than that on the bench (negative: larger)"`
}

type bushingOut struct {
	ProjectedPressure quantity.Stress                 `json:"projected_pressure" help:"load over length times diameter"`
	SurfaceSpeed      quantity.Speed                  `json:"surface_speed" help:"speed of the surface of the journal"`
	PV                quantity.PressureVelocity       `json:"pv" help:"projected pressure times surface speed"`
	PVLimit           *quantity.PressureVelocity      `json:"pv_limit" help:"published limit of PV for the material, where the film does not carry"`
	PVWithin          *bool                           `json:"pv_within" help:"PV and pressure are within the published limits of the material"`
	Sommerfeld        float64                         `json:"sommerfeld" help:"Sommerfeld number (r/c)² µN/P, N in rev/s"`
	Eccentricity      *float64                        `json:"eccentricity" help:"eccentricity ratio: shift of the journal over radial clearance"`
	MinFilm           *quantity.Length                `json:"min_film" help:"thinnest film"`
	FrictionVariable  *float64                        `json:"friction_variable" help:"(r/c) times the coefficient of friction"`
	Friction          *float64                        `json:"friction" help:"coefficient of friction"`
	Torque            *quantity.Torque                `json:"torque" help:"friction torque"`
	PowerLoss         *quantity.Power                 `json:"power_loss" help:"friction power, all of it heat"`
	Attitude          *quantity.Angle                 `json:"attitude" help:"angle between load and thinnest film"`
	Flow              *quantity.Flow                  `json:"flow" help:"flow into the film at its widest place"`
	FlowVariable      *float64                        `json:"flow_variable" help:"Q/(r c N l)"`
	SideFlow          *quantity.Flow                  `json:"side_flow" help:"flow out of both ends"`
	SideFlowRatio     *float64                        `json:"side_flow_ratio" help:"side flow over flow"`
	MaxPressure       *quantity.Stress                `json:"max_pressure" help:"highest pressure in the film"`
	PressureRatio     *float64                        `json:"pressure_ratio" help:"projected over highest pressure"`
	FilmOverRoughness *float64                        `json:"film_over_roughness" help:"thinnest film over the roughness of both parts"`
	PetroffTorque     quantity.Torque                 `json:"petroff_torque" help:"friction torque without load, a lower bound"`
	StartTorque       quantity.Torque                 `json:"start_torque" help:"friction torque before the film builds"`
	Regime            string                          `json:"regime" help:"full film, mixed or boundary"`
	Warming           *quantity.TemperatureDifference `json:"warming" help:"most by which the film warms the liquid, when all heat goes into it"`
	Start             *bushingStart                   `json:"start" help:"the same bushing with the liquid of the start"`
	Verdict           []say.Message                   `json:"verdict" help:"what that means, running and at the start"`
	Ream              reamOut                         `json:"ream" help:"clearance to ream to"`
}

type bushingStart struct {
	MinFilm   *quantity.Length `json:"min_film" help:"thinnest film at full speed"`
	PowerLoss *quantity.Power  `json:"power_loss" help:"friction power at full speed"`
	Torque    *quantity.Torque `json:"torque" help:"friction torque at full speed"`
	Regime    string           `json:"regime" help:"full film, mixed or boundary"`
	Verdict   []say.Message    `json:"verdict" help:"what that means"`
}

type reamOut struct {
	ThickestFilm     *quantity.Length `json:"thickest_film_clearance" help:"running diametral clearance of the thickest film"`
	RunningClearance quantity.Length  `json:"running_clearance" help:"running diametral clearance to aim for"`
	BenchClearance   quantity.Length  `json:"bench_clearance" help:"the same on the bench, after pressing"`
	Bore             quantity.Length  `json:"bore" help:"bore to ream to, after pressing"`
	Reasons          []say.Message    `json:"reasons" help:"why"`
}

func bushingCalculator() Calculator {
	return Define("bushing", "Does a film carry this bushing, and what PV, heat and clearance has it?",
		`diameter: 30 mm
length: 30 mm
diametral_clearance: 0.08 mm
load: 700 N
speed: 420 rpm
viscosity: 50 mPa·s
material: leaded tin bronze
`, runBushing)
}

func runBushing(_ *Env, in bushingIn) (bushingOut, Notes, error) {
	j := bushing.Journal{Diameter: in.Diameter, Length: in.Length, DiametralClearance: in.Clearance, Load: in.Load,
		Speed: in.Speed, Viscosity: in.Viscosity, Density: in.Density, JournalRoughness: in.JournalRoughness, BoreRoughness: in.BoreRoughness}
	if in.Material != nil {
		j.Material = in.Material.limits
	}
	run, err := bushing.Assess(j)
	if err != nil {
		return bushingOut{}, Notes{}, err
	}
	petroff, err := bushing.PetroffTorque(j)
	if err != nil {
		return bushingOut{}, Notes{}, err
	}
	ream, err := bushing.Ream(j, in.HotClosure)
	if err != nil {
		return bushingOut{}, Notes{}, err
	}
	notes := Notes{Warnings: run.Warnings, Working: run.Working(), OutsideRange: !run.Carries, Found: run}
	if in.Material != nil && in.Material.limits == nil {
		notes.Warn(warnNoPVLimit.With(in.Material.unknown))
	}
	out := bushingOut{ProjectedPressure: run.ProjectedPressure, SurfaceSpeed: run.SurfaceSpeed, PV: run.PV, Sommerfeld: run.Sommerfeld,
		PetroffTorque: petroff, StartTorque: run.StartTorque, Regime: string(run.Regime), Verdict: run.Verdict,
		Ream: reamOut{RunningClearance: ream.RunningClearance, BenchClearance: ream.BenchClearance, Bore: ream.Bore, Reasons: ream.Reasons}}
	if ream.ThickestFilm > 0 {
		out.Ream.ThickestFilm = &ream.ThickestFilm
	}
	if j.Material != nil {
		out.PVLimit, out.PVWithin = &j.Material.PV, &run.PVWithin
	}
	if run.Carries {
		f := run.Film
		out.Eccentricity, out.MinFilm, out.FrictionVariable, out.Friction = &f.Eccentricity, &run.MinFilm, &f.FrictionVariable, &run.Friction
		out.Torque, out.PowerLoss, out.Attitude, out.Flow, out.FlowVariable = &run.Torque, &run.PowerLoss, &f.Attitude, &run.Flow, &f.FlowVariable
		out.SideFlow, out.SideFlowRatio, out.MaxPressure, out.PressureRatio = &run.SideFlow, &f.SideFlowRatio, &run.MaxPressure, &f.PressureRatio
		out.FilmOverRoughness = &run.FilmOverRoughness
		if in.VolumetricHeat != nil {
			warming, err := run.WarmingAcrossFilm(bushing.VolumetricHeat(*in.VolumetricHeat))
			if err != nil {
				return bushingOut{}, Notes{}, err
			}
			out.Warming = &warming
		}
	}
	if in.StartViscosity != nil {
		if out.Start, err = startOf(j, *in.StartViscosity); err != nil {
			return bushingOut{}, Notes{}, err
		}
	}
	return out, notes, nil
}

// startOf looks at the same bushing with the liquid of the start.
func startOf(j bushing.Journal, viscosity quantity.DynamicViscosity) (*bushingStart, error) {
	j.Viscosity = viscosity
	run, err := bushing.Assess(j)
	if p := say.AsProblem(err); p != nil && p.Field == "viscosity" {
		renamed := *p
		renamed.Field = "start_viscosity"
		return nil, &renamed
	}
	if err != nil {
		return nil, err
	}
	start := &bushingStart{Regime: string(run.Regime), Verdict: run.Verdict}
	if run.Carries {
		start.MinFilm, start.PowerLoss, start.Torque = &run.MinFilm, &run.PowerLoss, &run.Torque
	}
	return start, nil
}

type sealFaceIn struct {
	Inner           quantity.Length                 `json:"face_inner" help:"inner diameter of the narrow face"`
	Outer           quantity.Length                 `json:"face_outer" help:"outer diameter of the narrow face"`
	BalanceDiameter quantity.Length                 `json:"balance_diameter" help:"diameter on which the pressure closes the seal (shaft step, sleeve or mean bellows diameter)"`
	SpringForce     quantity.Force                  `json:"spring_force" help:"force of the springs at the working length"`
	Pressure        quantity.PressureDifference     `json:"pressure" help:"pressure across the faces"`
	Speed           quantity.RotationalSpeed        `json:"speed" help:"speed of the shaft"`
	Friction        float64                         `json:"friction" default:"0.07" help:"coefficient of friction between the faces"`
	PressureFactor  float64                         `json:"pressure_factor" default:"0.5" help:"mean pressure between the faces over the whole drop; 0.5 for flat parallel faces"`
	PressureSide    string                          `json:"pressure_side" default:"outside" oneof:"outside|inside" help:"side of the faces on which the pressure stands"`
	VolumetricHeat  *float64                        `json:"volumetric_heat" help:"density times specific heat of the flush, J/(m³·K): 4.2e6 water, 1.7e6 oil; for the flush flow"`
	FlushWarming    *quantity.TemperatureDifference `json:"flush_warming" help:"how much the flush may warm, with volumetric_heat"`
}

type sealFaceOut struct {
	BalanceRatio   float64                   `json:"balance_ratio" help:"closing area over face area"`
	Kind           string                    `json:"kind" help:"balanced or unbalanced"`
	Area           quantity.Area             `json:"face_area" help:"area of the face"`
	SpringPressure quantity.Stress           `json:"spring_pressure" help:"spring force over face area"`
	NetPressure    quantity.Stress           `json:"net_face_pressure" help:"pressure that the faces carry on each other"`
	ClosingForce   quantity.Force            `json:"closing_force" help:"force that closes the faces"`
	OpeningForce   quantity.Force            `json:"opening_force" help:"force of the liquid between the faces"`
	MeanDiameter   quantity.Length           `json:"mean_diameter" help:"mean diameter of the face"`
	MeanSpeed      quantity.Speed            `json:"mean_speed" help:"speed at the mean diameter"`
	PV             quantity.PressureVelocity `json:"pv" help:"net face pressure times mean speed"`
	Torque         quantity.Torque           `json:"torque" help:"friction torque, running"`
	StartingTorque quantity.Torque           `json:"starting_torque" help:"about five times as much"`
	Heat           quantity.Power            `json:"heat" help:"heat of the faces"`
	FlushFlow      *quantity.Flow            `json:"flush_flow" help:"flow that carries the heat away"`
}

var (
	msgFlushBoth   = say.Define("calculator.flush_both", "the flush flow needs both volumetric_heat and flush_warming")
	cautionSealDry = say.Define("calculator.caution_seal_dry", "Faces that run dry burn within seconds: fill and vent the seal chamber before the shaft turns.")
	cautionSealPV  = say.Define("calculator.caution_seal_pv", "The limit of pressure, speed and PV is that of the maker of the seal.")
)

func sealFaceCalculator() Calculator {
	return Define("seal-face", "What load, PV and heat do the faces of this mechanical seal have?",
		`face_inner: 34 mm
face_outer: 43 mm
balance_diameter: 33 mm
spring_force: 60 N
pressure: 7 bar
speed: 420 rpm
friction: 0.1
`, runSealFace)
}

func runSealFace(_ *Env, in sealFaceIn) (sealFaceOut, Notes, error) {
	l, err := seal.FaceLoad(seal.Face{Inner: in.Inner, Outer: in.Outer, BalanceDiameter: in.BalanceDiameter, SpringForce: in.SpringForce,
		Pressure: in.Pressure, Speed: in.Speed, Friction: in.Friction, PressureFactor: in.PressureFactor, Side: seal.Side(in.PressureSide)})
	if err != nil {
		return sealFaceOut{}, Notes{}, err
	}
	out := sealFaceOut{BalanceRatio: l.BalanceRatio, Kind: string(l.Kind), Area: l.Area, SpringPressure: l.SpringPressure, NetPressure: l.NetPressure,
		ClosingForce: l.ClosingForce, OpeningForce: l.OpeningForce, MeanDiameter: l.MeanDiameter, MeanSpeed: l.MeanSpeed, PV: l.PV,
		Torque: l.Torque, StartingTorque: l.StartingTorque, Heat: l.Heat}
	switch {
	case in.VolumetricHeat != nil && in.FlushWarming != nil:
		flow, err := seal.FlushFlow(l.Heat, seal.VolumetricHeat(*in.VolumetricHeat), *in.FlushWarming)
		if err != nil {
			return sealFaceOut{}, Notes{}, err
		}
		out.FlushFlow = &flow
	case in.VolumetricHeat != nil:
		return sealFaceOut{}, Notes{}, say.Refuse("flush_warming", "", msgFlushBoth.With(), say.Message{})
	case in.FlushWarming != nil:
		return sealFaceOut{}, Notes{}, say.Refuse("volumetric_heat", "", msgFlushBoth.With(), say.Message{})
	}
	return out, Notes{Warnings: l.Warnings, Cautions: []say.Message{cautionSealDry.With(), cautionSealPV.With()}, Working: l.Working(), OutsideRange: l.Opens}, nil
}

type sealSettingIn struct {
	FreeLength    *quantity.Length    `json:"free_length" help:"length of the free spring (or seal); needed with spring_force, and for the force"`
	Rate          *quantity.Stiffness `json:"rate" help:"spring rate, for the force"`
	WorkingLength *quantity.Length    `json:"working_length" help:"working length of the seal's drawing; or give spring_force with rate"`
	SpringForce   *quantity.Force     `json:"spring_force" help:"force wanted, instead of working_length"`
	Tolerance     quantity.Length     `json:"tolerance" default:"0" help:"± allowed on the working length (0 = none stated, no decision)"`
	Datum         sealDatum           `json:"datum" help:"the dimensions between the datum of the set position and the seat"`
}

type sealDatum struct {
	Links   []sealLink `json:"links" help:"the dimensions; working length = sum of sensitivity times value"`
	Unknown string     `json:"unknown" help:"name of the link that is set (collar, shoulder, spacer)"`
}

type sealLink struct {
	Name        string           `json:"name" help:"name of the link"`
	Value       *quantity.Length `json:"value" help:"best value, the middle of the limits when they are given; leave it out for the link that is set, or give where it stands now"`
	U           *quantity.Length `json:"u" help:"standard uncertainty (0 when missing)"`
	Low         *quantity.Length `json:"low" help:"lower limit, with high, instead of u: the value lies anywhere between them, equally likely"`
	High        *quantity.Length `json:"high" help:"upper limit"`
	Sensitivity float64          `json:"sensitivity" default:"1" help:"change of the working length for a change of the link by one: +1 lengthens it, −1 shortens it"`
	Group       string           `json:"group" optional:"yes" help:"links of one group share an error, for example that of one micrometer"`
	Common      *quantity.Length `json:"common" help:"the part of u that all links of the group share"`
}

type sealSettingOut struct {
	SetPosition   quantity.Length                    `json:"set_position" help:"value of the link that is set, for the working length wanted"`
	WorkingLength quantity.Estimate[quantity.Length] `json:"working_length" help:"working length that results, with its standard uncertainty"`
	SpringForce   *quantity.Force                    `json:"spring_force" help:"force of the spring at that length"`
	Chance        *float64                           `json:"chance" help:"chance that the working length lies within the tolerance"`
	Decision      *string                            `json:"decision" help:"set, move it or measure again; only with a tolerance"`
	Words         []say.Message                      `json:"words" help:"what to do"`
}

var (
	msgNeedLength    = say.Define("calculator.need_length", "give working_length, or spring_force with rate and free_length")
	msgNotBothLength = say.Define("calculator.not_both_length", "give working_length or spring_force, not both")
	msgLinkValue     = say.Define("calculator.link_value", "give the value with its u, or low and high")
	msgLinkOneWay    = say.Define("calculator.link_one_way", "u and limits are both given")
	msgLinkLimits    = say.Define("calculator.link_limits", "limits need both low and high")
	msgLinkOutside   = say.Define("calculator.link_outside", "the value lies outside its own limits")
)

func sealSettingCalculator() Calculator {
	return Define("seal-setting", "Where is the collar of the seal set, and what working length results?",
		`free_length: 32 mm
rate: 12 N/mm
working_length: 25 mm
tolerance: 0.5 mm
datum:
  unknown: collar
  links:
    - {name: bracket face to seat, value: 60.40 mm, u: 0.03 mm}
    - {name: gasket, low: 0.1 mm, high: 0.3 mm}
    - {name: collar, sensitivity: -1}
`, runSealSetting)
}

func runSealSetting(_ *Env, in sealSettingIn) (sealSettingOut, Notes, error) {
	wanted, err := wantedLength(in)
	if err != nil {
		return sealSettingOut{}, Notes{}, err
	}
	setting := seal.Setting{WorkingLength: wanted, Tolerance: in.Tolerance, Unknown: in.Datum.Unknown}
	for i, l := range in.Datum.Links {
		link, given, err := l.link(l.Name == in.Datum.Unknown)
		if err != nil {
			return sealSettingOut{}, Notes{}, say.In(placeOf("datum.links", i), err)
		}
		setting.IsSet = setting.IsSet || (given && l.Name == in.Datum.Unknown)
		setting.Links = append(setting.Links, link)
	}
	set, err := seal.FindSetting(setting)
	if err != nil {
		return sealSettingOut{}, Notes{}, err
	}
	out := sealSettingOut{SetPosition: set.Position, WorkingLength: set.WorkingLength, Words: set.Messages}
	if in.Tolerance > 0 {
		out.Chance, out.Decision = &set.Chance, &set.Decision
	}
	if in.Rate != nil && in.FreeLength != nil {
		force, err := seal.Spring{FreeLength: *in.FreeLength, Rate: *in.Rate}.Force(set.WorkingLength.Value)
		if err != nil {
			return sealSettingOut{}, Notes{}, err
		}
		out.SpringForce = &force
	}
	found := SealSet{Set: set, Force: out.SpringForce}
	if in.FreeLength != nil {
		found.Free = *in.FreeLength
	}
	return out, Notes{Cautions: []say.Message{cautionSealDry.With()}, Working: set.Working(), Found: found}, nil
}

func wantedLength(in sealSettingIn) (quantity.Length, error) {
	switch {
	case in.WorkingLength != nil && in.SpringForce != nil:
		return 0, say.Refuse("spring_force", in.SpringForce.String(), msgNotBothLength.With(), say.Message{})
	case in.WorkingLength != nil:
		return *in.WorkingLength, nil
	case in.SpringForce == nil:
		return 0, say.Refuse("working_length", "", msgNeedLength.With(), say.Message{})
	case in.Rate == nil:
		return 0, say.Refuse("rate", "", msgNeedLength.With(), say.Message{})
	case in.FreeLength == nil:
		return 0, say.Refuse("free_length", "", msgNeedLength.With(), say.Message{})
	}
	return seal.Spring{FreeLength: *in.FreeLength, Rate: *in.Rate}.WorkingLength(*in.SpringForce)
}

func placeOf(name string, i int) string { return name + "[" + strconv.Itoa(i) + "]" }

// link turns what was written into a link, and says whether a value was given.
func (l sealLink) link(isSet bool) (seal.Link, bool, error) {
	link := seal.Link{Name: l.Name, Sensitivity: l.Sensitivity, Group: l.Group}
	if l.Common != nil {
		link.Common = *l.Common
	}
	limits := l.Low != nil || l.High != nil
	switch {
	case limits && l.U != nil:
		return link, false, say.Refuse("u", l.U.String(), msgLinkOneWay.With(), msgLinkValue.With())
	case limits && (l.Low == nil || l.High == nil):
		return link, false, say.Refuse("low", "", msgLinkLimits.With(), msgLinkValue.With())
	case limits && l.Value != nil && !(*l.Low <= *l.Value && *l.Value <= *l.High):
		return link, false, say.Refuse("value", l.Value.String(), msgLinkOutside.With(), msgLinkValue.With())
	case limits:
		link.Low, link.High = *l.Low, *l.High
	case l.Value != nil:
		link.Value = *l.Value
	case !isSet:
		return link, false, say.Refuse("value", "", msgLinkValue.With(), say.Message{})
	}
	if l.U != nil {
		link.U = *l.U
	}
	return link, limits || l.Value != nil, nil
}

type flatnessIn struct {
	Bands float64 `json:"bands" help:"light bands counted over the face"`
	Light string  `json:"light" default:"helium" oneof:"helium|sodium" help:"light of one colour under which the flat is read"`
}

type flatnessOut struct {
	Flatness quantity.Length `json:"flatness" help:"height that the bands stand for"`
	Within   bool            `json:"within" help:"within three helium bands, the usual limit of a lapped face"`
}

var (
	nameBands    = say.Define("calculator.bands", "light bands")
	nameFlatness = say.Define("calculator.flatness", "flatness")
	nameWave     = say.Define("calculator.wavelength", "wavelength of the light")
)

func flatnessCalculator() Calculator {
	return Define("flatness", "How flat is a face that shows this many light bands?",
		"bands: 2\nlight: helium\n",
		func(_ *Env, in flatnessIn) (flatnessOut, Notes, error) {
			light := seal.Light(in.Light)
			h, err := seal.Flatness(in.Bands, light)
			if err != nil {
				return flatnessOut{}, Notes{}, err
			}
			wavelength, err := light.Wavelength()
			if err != nil {
				return flatnessOut{}, Notes{}, err
			}
			return flatnessOut{Flatness: h, Within: seal.WithinBands(h)}, Notes{Found: Bands{in.Bands, light}, Working: working.Result("seal.flatness", nameFlatness.With(), "h", h,
				"h = bands·λ/2", "interference between two flats",
				working.Number("seal.bands", nameBands.With(), "", in.Bands, "input bands"),
				working.Leaf("seal.wavelength", nameWave.With(), "λ", wavelength, "").From("yellow helium line, or the mean of the sodium D lines"))}, nil
		})
}
