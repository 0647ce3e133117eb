package figure

import "pumpwright/calc/say"

// Ids of parts on the drawings, as in data-part.
const (
	PartCasing        = "casing"
	PartBracket       = "bracket"
	PartRotor         = "rotor"
	PartShaft         = "shaft"
	PartIdler         = "idler"
	PartIdlerBushing  = "idler-bushing"
	PartPin           = "idler-pin"
	PartHead          = "head"
	PartCrescent      = "crescent"
	PartGaskets       = "gaskets"
	PartShaftBushing  = "bracket-bushing"
	PartBearing       = "thrust-bearing"
	PartSeal          = "shaft-seal"
	GapEnd            = "end-clearance"
	GapIdlerFloat     = "idler-float"
	GapCrescentEnd    = "crescent-end"
	GapRotor          = "rotor-gap"
	GapCrescentOuter  = "crescent-outer"
	GapCrescentInner  = "crescent-inner"
	GapPin            = "pin-gap"
	GapShaftBushing   = "bracket-bushing-gap"
	PartSuctionPort   = "suction-port"
	PartDischargePort = "discharge-port"
)

var partNames = map[string]say.Template{
	PartCasing:        say.Define("figure.casing", "casing"),
	PartBracket:       say.Define("figure.bracket", "bracket"),
	PartRotor:         say.Define("figure.rotor", "rotor"),
	PartShaft:         say.Define("figure.shaft", "shaft"),
	PartIdler:         say.Define("figure.idler", "idler"),
	PartIdlerBushing:  say.Define("figure.idler_bushing", "idler bushing"),
	PartPin:           say.Define("figure.idler_pin", "idler pin"),
	PartHead:          say.Define("figure.head", "head"),
	PartCrescent:      say.Define("figure.crescent", "crescent"),
	PartGaskets:       say.Define("figure.gaskets", "gasket stack"),
	PartShaftBushing:  say.Define("figure.bracket_bushing", "bracket bushing"),
	PartBearing:       say.Define("figure.thrust_bearing", "thrust bearing"),
	PartSeal:          say.Define("figure.shaft_seal", "shaft seal chamber"),
	GapEnd:            say.Define("figure.end_clearance", "end clearance"),
	GapIdlerFloat:     say.Define("figure.idler_float", "idler float"),
	GapCrescentEnd:    say.Define("figure.crescent_end", "crescent to floor"),
	GapRotor:          say.Define("figure.rotor_gap", "rotor to bore, radial"),
	GapCrescentOuter:  say.Define("figure.crescent_outer", "rotor tip to crescent"),
	GapCrescentInner:  say.Define("figure.crescent_inner", "idler tip to crescent"),
	GapPin:            say.Define("figure.pin_gap", "bushing on pin, radial"),
	GapShaftBushing:   say.Define("figure.bracket_bushing_gap", "shaft in bushing, radial"),
	PartSuctionPort:   say.Define("figure.suction", "suction"),
	PartDischargePort: say.Define("figure.discharge", "discharge"),
}

// PartName returns the name of a part or clearance of the drawings by its id.
func PartName(id string) say.Message {
	if t, ok := partNames[id]; ok {
		return t.With()
	}
	return say.Plain(id)
}
