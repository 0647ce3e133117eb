package sheet

// Role is what a feature is to the engineering.
type Role struct {
	ID   string
	Name string // what people call it
	Use  string // what it is needed for
}

// Roles lists the roles of a crescent internal gear pump. A feature of another
// role is measured and judged, but enters no chain.
func Roles() []Role {
	return []Role{
		{RoleCasingDepth, "casing depth, head face to the rotor's back stop", "cold end clearance"},
		{RoleRotorHeight, "rotor height, back to tooth ends", "cold end clearance"},
		{RoleHeadBoss, "height of the head's boss above its gasket face", "cold end clearance"},
		{RoleEndClearance, "end clearance, assembled", "as found and as left"},
		{RoleEndPlay, "end play of the shaft in its thrust bearing", "what a dial reading holds besides the clearance"},
		{RoleIdlerWidth, "idler width over its faces", "axial float of the idler"},
		{RolePocketDepth, "depth of the rotor's pocket", "axial float of the idler"},
		{RoleCrescentWidth, "width of the crescent", "gap at the end of the crescent"},
		{RoleCasingBore, "casing bore", "radial gap of the rotor"},
		{RoleRotorOD, "rotor outside diameter", "radial gap of the rotor"},
		{RoleCrescentOuterGap, "gap between crescent and rotor tips", "slip at the crescent"},
		{RoleCrescentInnerGap, "gap between crescent and idler tips", "slip at the crescent"},
		{RolePinOD, "idler pin, outside diameter", "clearance of the idler bushing"},
		{RoleIdlerBushingBore, "idler bushing, bore", "clearance of the idler bushing"},
		{RoleIdlerBushingOD, "new idler bushing, outside diameter", "interference of the idler bushing"},
		{RoleIdlerBore, "bore of the idler for its bushing", "interference of the idler bushing"},
		{RoleShaftOD, "shaft in its bushing, outside diameter", "clearance of the shaft bushing"},
		{RoleShaftBushingBore, "shaft bushing, bore", "clearance of the shaft bushing"},
		{RoleShaftBushingOD, "new shaft bushing, outside diameter", "interference of the shaft bushing"},
		{RoleBracketBore, "bore of the bracket for the shaft bushing", "interference of the shaft bushing"},
		{RoleShaftRunOut, "run-out of the shaft", "local end clearance and seal"},
		{RoleSealWorkingLength, "working length of the seal", "face load of the seal"},
		{RoleSealFlatness, "flatness of a seal face under the optical flat, in light bands of helium (as a length)", "whether the face is flat enough"},
		{RolePipeStrain, "movement of the shaft at the coupling while the pipes are bolted up", "strain that the pipes put on casing and bearings"},
		{RoleReliefScrew, "height of the relief valve's screw", "setting of the relief valve"},
		{RoleHandTurn, "torque to turn the shaft by hand", "state before teardown"},
		{RoleGroove, "depth of grooves in the head", "local end clearance"},
	}
}

// The ids of the roles.
const (
	RoleCasingDepth       = "casing-depth"
	RoleRotorHeight       = "rotor-height"
	RoleHeadBoss          = "head-boss"
	RoleEndClearance      = "end-clearance"
	RoleEndPlay           = "end-play"
	RoleIdlerWidth        = "idler-width"
	RolePocketDepth       = "pocket-depth"
	RoleCrescentWidth     = "crescent-width"
	RoleCasingBore        = "casing-bore"
	RoleRotorOD           = "rotor-od"
	RoleCrescentOuterGap  = "crescent-outer-gap"
	RoleCrescentInnerGap  = "crescent-inner-gap"
	RolePinOD             = "idler-pin-od"
	RoleIdlerBushingBore  = "idler-bushing-bore"
	RoleIdlerBushingOD    = "idler-bushing-od"
	RoleIdlerBore         = "idler-bore"
	RoleShaftOD           = "shaft-od"
	RoleShaftBushingBore  = "shaft-bushing-bore"
	RoleShaftBushingOD    = "shaft-bushing-od"
	RoleBracketBore       = "bracket-bore"
	RoleShaftRunOut       = "shaft-run-out"
	RoleSealWorkingLength = "seal-working-length"
	RoleSealFlatness      = "seal-flatness"
	RolePipeStrain        = "pipe-strain"
	RoleReliefScrew       = "relief-screw-height"
	RoleHandTurn          = "hand-turn"
	RoleGroove            = "head-groove"
)

// RoleOf returns the role of a feature: its own, or its id.
func (f *Feature) RoleOf() string {
	if f.Role != "" {
		return f.Role
	}
	return f.ID
}

// Feature returns the feature of an id, or nil.
func (s *Sheet) Feature(id string) *Feature {
	for i := range s.Features {
		if s.Features[i].ID == id {
			return &s.Features[i]
		}
	}
	return nil
}

// ByRole returns the first feature of a role, or nil.
func (s *Sheet) ByRole(role string) *Feature {
	for i := range s.Features {
		if s.Features[i].RoleOf() == role {
			return &s.Features[i]
		}
	}
	return nil
}

// Part returns the part of an id, or nil.
func (s *Sheet) Part(id string) *Part {
	for i := range s.Parts {
		if s.Parts[i].ID == id {
			return &s.Parts[i]
		}
	}
	return nil
}

// Holds reports whether a build meets the condition; an empty condition always
// holds.
func (c Condition) Holds(b Build) bool {
	for field, words := range c {
		have := b.Word(field)
		found := false
		for _, w := range words {
			found = found || w == have
		}
		if !found {
			return false
		}
	}
	return true
}

// Word returns the word of a build field; "yes" or "no" for one that is true
// or false; "" for a field that does not exist.
func (b Build) Word(field string) string {
	yesNo := func(v bool) string {
		if v {
			return "yes"
		}
		return "no"
	}
	switch field {
	case "shaft_seal":
		return b.ShaftSeal
	case "set_collar":
		return yesNo(b.SetCollar)
	case "relief_valve":
		return b.ReliefValve
	case "valve_over_bolts":
		return yesNo(b.ValveOverBolts)
	case "jacketed":
		return yesNo(b.Jacketed)
	case "clearance_by":
		return b.ClearanceBy
	case "shims":
		return b.Shims
	case "idler_bushing":
		return b.IdlerBushing
	case "grooved_bushing":
		return yesNo(b.GroovedBushing)
	case "bracket_bushing":
		return b.BracketBushing
	case "idler_pin":
		return b.IdlerPin
	case "paper_outside":
		return yesNo(b.PaperOutside)
	case "thrust_bearing":
		return b.ThrustBearing
	case "mounting":
		return b.Mounting
	case "rotation":
		return b.Rotation
	}
	return ""
}
