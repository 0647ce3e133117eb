package identify

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/sheet"
)

// What is one thing that can be measured, counted or looked at.
type What struct {
	ID        string
	Name      say.Message
	Dimension quantity.Dimension // NoDimension for a count or a look
	Words     []string           // for a look: what can be seen
	Minutes   float64            // what it takes; more where the pump must be opened
	Opens     bool               // the pump must be open

	relative, absolute float64 // how far the metal lies from the drawing
	usualU             float64 // standard uncertainty with which it is usually measured
	of                 func(*sheet.Sheet) *float64
	word               string // field of the build
}

// Count reports whether it is counted.
func (w *What) Count() bool { return w.Dimension == quantity.NoDimension && w.Words == nil }

var (
	nameSuctionPort   = say.Define("identify.suction_port", "bore of the suction port")
	nameDischargePort = say.Define("identify.discharge_port", "bore of the discharge port")
	nameBoltCircle    = say.Define("identify.bolt_circle", "bolt circle of the head")
	nameBoltCount     = say.Define("identify.bolt_count", "bolts of the head")
	nameMass          = say.Define("identify.mass", "mass of the bare pump")
	nameCasingLength  = say.Define("identify.casing_length", "length of the casing up to its head face")
	nameShaft         = say.Define("identify.shaft", "shaft in its bushing, outside diameter")
	nameRotor         = say.Define("identify.rotor_diameter", "rotor outside diameter")
	nameRotorHeight   = say.Define("identify.rotor_height", "rotor height, back to tooth ends")
	nameBore          = say.Define("identify.casing_bore", "casing bore")
	namePin           = say.Define("identify.idler_pin", "idler pin, outside diameter")
	nameWidth         = say.Define("identify.idler_width", "idler width over its faces")
	nameRotorTeeth    = say.Define("identify.rotor_teeth", "teeth of the rotor")
	nameIdlerTeeth    = say.Define("identify.idler_teeth", "teeth of the idler")
	nameSeal          = say.Define("identify.shaft_seal", "kind of shaft seal")
	nameRelief        = say.Define("identify.relief_valve", "where the relief valve sits")
	nameJacket        = say.Define("identify.jacketed", "jacket")
	nameClearance     = say.Define("identify.clearance_by", "what sets the end clearance")
)

// openMinutes is what opening the pump takes. [common practice, no source]
const openMinutes = 40

// Whats lists what can be measured, counted or looked at.
func Whats() []What {
	length := quantity.LengthDimension
	number := func(n *sheet.Number[quantity.Length]) *float64 {
		if n == nil {
			return nil
		}
		v := n.Value.SI()
		return &v
	}
	nominal := func(role string) func(*sheet.Sheet) *float64 {
		return func(s *sheet.Sheet) *float64 {
			if v := s.Nominal(role); v != nil {
				si := v.SI()
				return &si
			}
			return nil
		}
	}
	count := func(n int) *float64 {
		if n <= 0 {
			return nil
		}
		v := float64(n)
		return &v
	}
	return []What{
		{ID: "suction_port", Name: nameSuctionPort.With(), Dimension: length, Minutes: 2, relative: 0.04, absolute: 1.5e-3, usualU: 0.5e-3,
			of: func(s *sheet.Sheet) *float64 { return number(s.Rating.SuctionPort) }},
		{ID: "discharge_port", Name: nameDischargePort.With(), Dimension: length, Minutes: 2, relative: 0.04, absolute: 1.5e-3, usualU: 0.5e-3,
			of: func(s *sheet.Sheet) *float64 { return number(s.Rating.DischargePort) }},
		{ID: "bolt_circle", Name: nameBoltCircle.With(), Dimension: length, Minutes: 3, relative: 0.002, absolute: 0.5e-3, usualU: 0.5e-3,
			of: func(s *sheet.Sheet) *float64 {
				if f := headBolts(s); f != nil {
					return number(f.Circle)
				}
				return nil
			}},
		{ID: "bolt_count", Name: nameBoltCount.With(), Minutes: 1,
			of: func(s *sheet.Sheet) *float64 {
				if f := headBolts(s); f != nil {
					return count(f.Count)
				}
				return nil
			}},
		{ID: "mass", Name: nameMass.With(), Dimension: quantity.MassDimension, Minutes: 8, relative: 0.08, absolute: 0.5, usualU: 1,
			of: func(s *sheet.Sheet) *float64 {
				if s.Rating.Mass == nil {
					return nil
				}
				v := s.Rating.Mass.Value.SI()
				return &v
			}},
		{ID: "casing_length", Name: nameCasingLength.With(), Dimension: length, Minutes: 3, relative: 0.01, absolute: 1e-3, usualU: 0.5e-3,
			of: func(s *sheet.Sheet) *float64 { return number(s.Dimensions.CasingLength) }},
		{ID: "shaft", Name: nameShaft.With(), Dimension: length, Minutes: openMinutes + 5, Opens: true, relative: 0.001, absolute: 0.1e-3, usualU: 0.02e-3, of: nominal(sheet.RoleShaftOD)},
		{ID: "rotor_diameter", Name: nameRotor.With(), Dimension: length, Minutes: openMinutes + 5, Opens: true, relative: 0.001, absolute: 0.1e-3, usualU: 0.02e-3, of: nominal(sheet.RoleRotorOD)},
		{ID: "rotor_height", Name: nameRotorHeight.With(), Dimension: length, Minutes: openMinutes + 5, Opens: true, relative: 0.002, absolute: 0.1e-3, usualU: 0.02e-3, of: nominal(sheet.RoleRotorHeight)},
		{ID: "casing_bore", Name: nameBore.With(), Dimension: length, Minutes: openMinutes + 5, Opens: true, relative: 0.001, absolute: 0.2e-3, usualU: 0.02e-3, of: nominal(sheet.RoleCasingBore)},
		{ID: "idler_pin", Name: namePin.With(), Dimension: length, Minutes: openMinutes + 5, Opens: true, relative: 0.001, absolute: 0.1e-3, usualU: 0.01e-3, of: nominal(sheet.RolePinOD)},
		{ID: "idler_width", Name: nameWidth.With(), Dimension: length, Minutes: openMinutes + 5, Opens: true, relative: 0.001, absolute: 0.1e-3, usualU: 0.02e-3, of: nominal(sheet.RoleIdlerWidth)},
		{ID: "rotor_teeth", Name: nameRotorTeeth.With(), Minutes: openMinutes + 2, Opens: true,
			of: func(s *sheet.Sheet) *float64 {
				if s.Teeth == nil {
					return nil
				}
				return count(s.Teeth.Rotor)
			}},
		{ID: "idler_teeth", Name: nameIdlerTeeth.With(), Minutes: openMinutes + 2, Opens: true,
			of: func(s *sheet.Sheet) *float64 {
				if s.Teeth == nil {
					return nil
				}
				return count(s.Teeth.Idler)
			}},
		{ID: "shaft_seal", Name: nameSeal.With(), Minutes: 2, word: "shaft_seal", Words: []string{"bellows", "wedge", "o-ring", "cartridge", "packing", "lip"}},
		{ID: "relief_valve", Name: nameRelief.With(), Minutes: 1, word: "relief_valve", Words: []string{"none", "head", "casing"}},
		{ID: "jacketed", Name: nameJacket.With(), Minutes: 1, word: "jacketed", Words: []string{"yes", "no"}},
		{ID: "clearance_by", Name: nameClearance.With(), Minutes: 2, word: "clearance_by", Words: []string{"gaskets", "housing"}},
	}
}

// headBolts are the bolts of the head: those called so, else the first group
// with a bolt circle.
func headBolts(s *sheet.Sheet) *sheet.Fastener {
	for i := range s.Fasteners {
		if s.Fasteners[i].ID == "head-bolts" {
			return &s.Fasteners[i]
		}
	}
	for i := range s.Fasteners {
		if s.Fasteners[i].Circle != nil {
			return &s.Fasteners[i]
		}
	}
	return nil
}
