package sheet

import (
	"fmt"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Dimensions are sizes that enter what is computed but are not worn.
type Dimensions struct {
	CrescentThickness *Number[quantity.Length] `json:"crescent_thickness" help:"thickness of the crescent in its middle"`
	CrescentWidth     *Number[quantity.Length] `json:"crescent_width" help:"axial width of the crescent"`
	IdlerWidth        *Number[quantity.Length] `json:"idler_width" help:"axial width of the idler, as new"`
	PocketDepth       *Number[quantity.Length] `json:"pocket_depth" help:"depth of the rotor's pocket, tooth end to floor"`
	ShaftLength       *Number[quantity.Length] `json:"shaft_length" help:"thrust bearing to the rotor's back, along the shaft"`
	BracketLength     *Number[quantity.Length] `json:"bracket_length" help:"thrust bearing to the casing, along the bracket"`
	CasingLength      *Number[quantity.Length] `json:"casing_length" help:"length of the casing up to its head face"`
	RotorLength       *Number[quantity.Length] `json:"rotor_length" help:"length of the rotor, back to tooth ends"`
	HeadBoss          *Number[quantity.Length] `json:"head_boss" help:"height of the boss of the head above its gasket face"`
	GasketStack       *Number[quantity.Length] `json:"gasket_stack" help:"usual compressed thickness of the stack"`
}

// Teeth describes the gear pair.
type Teeth struct {
	Rotor          int                      `json:"rotor" help:"teeth of the rotor"`
	Idler          int                      `json:"idler" help:"teeth of the idler"`
	Module         *Number[quantity.Length] `json:"module" help:"module"`
	DiametralPitch *float64                 `json:"diametral_pitch" help:"diametral pitch, 1/in, in place of the module"`
	PressureAngle  Number[quantity.Angle]   `json:"pressure_angle" help:"pressure angle"`
	RotorAddendum  float64                  `json:"rotor_addendum" help:"addendum of the rotor in modules"`
	IdlerAddendum  float64                  `json:"idler_addendum" help:"addendum of the idler in modules"`
	RotorDedendum  float64                  `json:"rotor_dedendum" default:"1.05" help:"dedendum of the rotor in modules"`
	IdlerDedendum  float64                  `json:"idler_dedendum" default:"1.05" help:"dedendum of the idler in modules"`
	FaceWidth      Number[quantity.Length]  `json:"face_width" help:"face width"`
	Backlash       *Number[quantity.Length] `json:"backlash" help:"backlash at the pitch circle"`
}

// FlowPath holds the gaps and lands that leak. Clearances that follow the end
// clearance are given at EndClearance.
type FlowPath struct {
	RotorRadius            Number[quantity.Length]  `json:"rotor_radius" help:"outer radius of the rotor"`
	RimWidth               Number[quantity.Length]  `json:"rim_width" help:"width of the rim of the rotor's disc"`
	ToothLand              Number[quantity.Length]  `json:"tooth_land" help:"land of one rotor tooth at the outside, along the circumference"`
	RotorRadialClearance   Number[quantity.Length]  `json:"rotor_radial_clearance" help:"radial gap between rotor and casing, as new"`
	RotorDisplacement      *float64                 `json:"rotor_displacement" help:"how far the rotor lies off centre, as a part of the radial gap (0.4 when missing)"`
	CrescentOuterClearance Number[quantity.Length]  `json:"crescent_outer_clearance" help:"gap between rotor tips and crescent"`
	CrescentInnerClearance Number[quantity.Length]  `json:"crescent_inner_clearance" help:"gap between idler tips and crescent"`
	EndClearance           Number[quantity.Length]  `json:"end_clearance" help:"end clearance at which the next two are given"`
	IdlerFloat             Number[quantity.Length]  `json:"idler_float" help:"total axial float of the idler"`
	CrescentEnd            Number[quantity.Length]  `json:"crescent_end" help:"gap between crescent and rotor floor"`
	HeadSideShare          *float64                 `json:"head_side_share" help:"share of the idler's float on the head side (0.5 when missing)"`
	RotorArc               *Number[quantity.Angle]  `json:"rotor_arc" help:"sealed arc at the crescent, seen from the rotor's centre (105° when missing)"`
	IdlerArc               *Number[quantity.Angle]  `json:"idler_arc" help:"sealed arc at the crescent, seen from the idler's centre (115° when missing)"`
	PinRadius              Number[quantity.Length]  `json:"pin_radius" help:"radius of the idler pin"`
	PinClearance           Number[quantity.Length]  `json:"pin_clearance" help:"radial gap between pin and bushing"`
	PinLength              Number[quantity.Length]  `json:"pin_length" help:"length of the idler bushing"`
	ShaftRadius            Number[quantity.Length]  `json:"shaft_radius" help:"radius of the shaft in its bushing"`
	ShaftClearance         *Number[quantity.Length] `json:"shaft_clearance" help:"radial gap of the bushing on the shaft that the liquid lubricates; none when missing"`
	ShaftBushingLength     *Number[quantity.Length] `json:"shaft_bushing_length" help:"length of that bushing"`
	BackGap                *Number[quantity.Length] `json:"back_gap" help:"gap behind the rotor's disc (1.5 mm when missing)"`
	PortArc                *Number[quantity.Angle]  `json:"port_arc" help:"arc over which the suction port feeds the rotor"`
	SpaceWidth             *Number[quantity.Length] `json:"space_width" help:"width through which a tooth space fills"`
	MeshFriction           *float64                 `json:"mesh_friction" help:"friction coefficient of the mesh (0.05 when missing)"`
}

// Seal describes the shaft seal.
type Seal struct {
	FaceInner       *Number[quantity.Length]             `json:"face_inner" help:"inner diameter of the narrow face"`
	FaceOuter       *Number[quantity.Length]             `json:"face_outer" help:"outer diameter of the narrow face"`
	BalanceDiameter *Number[quantity.Length]             `json:"balance_diameter" help:"balance diameter"`
	FaceArea        *Number[quantity.Area]               `json:"face_area" help:"face area, where the diameters are not known"`
	MeanRadius      *Number[quantity.Length]             `json:"mean_radius" help:"mean radius of the face"`
	BalanceRatio    *float64                             `json:"balance_ratio" help:"balance ratio"`
	SpringPressure  *Number[quantity.PressureDifference] `json:"spring_pressure" help:"spring force over the face area"`
	SpringForce     *Number[quantity.Force]              `json:"spring_force" help:"spring force at the working length"`
	SpringRate      *Number[quantity.Stiffness]          `json:"spring_rate" help:"spring rate"`
	FreeLength      *Number[quantity.Length]             `json:"free_length" help:"free length of the seal head"`
	WorkingLength   *Number[quantity.Length]             `json:"working_length" help:"length of the seal head as set"`
	LengthTolerance *Number[quantity.Length]             `json:"length_tolerance" help:"± on the working length"`
	Friction        *float64                             `json:"friction" help:"friction coefficient of the faces (0.07 when missing)"`
	Elastomer       string                               `json:"elastomer" optional:"yes" help:"elastomer"`
	Faces           string                               `json:"faces" optional:"yes" help:"pair of face materials"`
	GripMinutes     *float64                             `json:"grip_minutes" help:"minutes until the elastomer grips the shaft"`
	Rings           *int                                 `json:"rings" help:"packing rings"`
	BoxBore         *Number[quantity.Length]             `json:"box_bore" help:"bore of the stuffing box"`
	BoxDepth        *Number[quantity.Length]             `json:"box_depth" help:"depth of the stuffing box, without what the gland needs to enter"`
	Lantern         *Number[quantity.Length]             `json:"lantern" help:"width of a lantern ring in the stuffing box"`
}

// Bushing is one bushing with its fits.
type Bushing struct {
	Part           string                   `json:"part" help:"id of the bushing"`
	Into           string                   `json:"into" help:"id of the part it is pressed into"`
	Journal        string                   `json:"journal" optional:"yes" help:"id of the pin or shaft that runs in it"`
	MatingDiameter Number[quantity.Length]  `json:"mating_diameter" help:"diameter of the press fit"`
	Interference   Number[quantity.Length]  `json:"interference" help:"diametral interference, mean of the drawing"`
	Bore           Number[quantity.Length]  `json:"bore" help:"bore before pressing, or finished bore when reamed after"`
	HousingOuter   *Number[quantity.Length] `json:"housing_outer" help:"outside diameter of what surrounds it; large when missing"`
	Length         Number[quantity.Length]  `json:"length" help:"length"`
	Material       string                   `json:"material" help:"material of the bushing"`
	HousingOf      string                   `json:"housing_material" help:"material of what surrounds it"`
	ReamAfter      bool                     `json:"ream_after" optional:"yes" help:"true when the bore is finished after pressing"`
	Running        *Number[quantity.Length] `json:"running_clearance" help:"diametral running clearance wanted"`
}

// Thermal holds what the warm-up needs: five bodies, their exchange with the
// liquid and the surroundings, and the conductances between them.
type Thermal struct {
	Rotor   Body                          `json:"rotor" help:"rotor and idler"`
	Shaft   Body                          `json:"shaft" help:"shaft"`
	Casing  Body                          `json:"casing" help:"casing"`
	Head    Body                          `json:"head" help:"head"`
	Bracket Body                          `json:"bracket" help:"bracket"`
	Between []Link                        `json:"between" optional:"yes" help:"conductances between bodies"`
	Rise    *Number[quantity.Time]        `json:"rise" help:"time constant with which the liquid's temperature rises (5 s when missing)"`
	Jacket  *Number[quantity.Conductance] `json:"jacket" help:"hA of the jacket to casing and head"`
}

// Body is one lumped mass.
type Body struct {
	Capacity  Number[quantity.HeatCapacity] `json:"capacity" help:"heat capacity"`
	ToLiquid  *Number[quantity.Conductance] `json:"to_liquid" help:"hA to the liquid"`
	ToAmbient *Number[quantity.Conductance] `json:"to_ambient" help:"hA to the surroundings"`
}

// Link is a conductance between two bodies.
type Link struct {
	A           string                       `json:"a" oneof:"rotor|shaft|casing|head|bracket" help:"one body"`
	B           string                       `json:"b" oneof:"rotor|shaft|casing|head|bracket" help:"the other body"`
	Conductance Number[quantity.Conductance] `json:"conductance" help:"conductance between them"`
}

// Material is the name of a material, or its constants.
type Material struct {
	Name      string
	Expansion *quantity.Expansion
	Young     *quantity.Stress
	Poisson   *float64
	Page      string
}

var (
	msgWantsMaterial = say.Define("sheet.wants_material", "wanted is the name of a material, or its constants")
	msgWriteMaterial = say.Define("sheet.write_material", "write a name such as grey iron, or a group of name, expansion, youngs_modulus, poisson, page")
)

// FromInput reads a name, or a group of constants.
func (m *Material) FromInput(raw any) error {
	if name, ok := raw.(string); ok {
		*m = Material{Name: name}
		return nil
	}
	group, ok := raw.(map[string]any)
	if !ok {
		return say.Refuse("", fmt.Sprint(raw), msgWantsMaterial.With(), msgWriteMaterial.With())
	}
	read := Material{}
	for name, value := range group {
		text := fmt.Sprint(value)
		switch name {
		case "name":
			read.Name = text
		case "page":
			read.Page = text
		case "expansion":
			given, err := quantity.Read[quantity.Expansion](text)
			if err != nil {
				return say.In(name, err)
			}
			read.Expansion = &given.Value
		case "youngs_modulus":
			given, err := quantity.Read[quantity.Stress](text)
			if err != nil {
				return say.In(name, err)
			}
			read.Young = &given.Value
		case "poisson":
			v, err := quantity.ReadNumber(text)
			if err != nil {
				return say.In(name, err)
			}
			read.Poisson = &v
		default:
			return say.Refuse(name, text, msgWantsMaterial.With(), msgWriteMaterial.With())
		}
	}
	*m = read
	return nil
}

// KindName names the kind for help.
func (Material) KindName() string { return "material" }
