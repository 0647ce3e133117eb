package gearset

import (
	"math"

	"pumpwright/calc/say"
)

// Gate is one condition that a pair of plain involute gears must meet.
type Gate struct {
	Name   string  // stable: "rotor tip involute", …
	Passed bool    // false also when it could not be judged
	Margin float64 // 0 or more when passed; in the measure that What states
	What   say.Message
	Judged bool // false: an earlier gate leaves nothing to judge
}

// Names of the gates, in their order.
const (
	GateInvolute  = "rotor tip involute"
	GateContact   = "contact ratio"
	GateBase      = "contact above the idler base circle"
	GateFouling   = "tips clear on the run-out"
	GateThickness = "tip thickness"
	GateRoots     = "tips clear of the roots"
)

var (
	gateInvolute  = say.Define("gearset.gate_involute", "the rotor tip lies outside the rotor base circle (margin in m)")
	gateContact   = say.Define("gearset.gate_contact", "a new pair of teeth meets before the last one parts (margin: contact ratio − 1)")
	gateBase      = say.Define("gearset.gate_base", "the rotor tip touches no idler flank below its base circle (margin: z_i/z_r − 1 + tan α_ar/tan α_w)")
	gateFouling   = say.Define("gearset.gate_fouling", "the tips pass each other where they leave the mesh (margin in rad, times rotor teeth)")
	gateThickness = say.Define("gearset.gate_thickness", "the teeth keep a land at the tip (margin: the thinner one, in m)")
	gateRoots     = say.Define("gearset.gate_roots", "each tip clears the root of the other gear (margin in m)")

	// WarnContactRatio goes with a contact ratio between 1 and 1.1.
	WarnContactRatio = say.Define("gearset.contact_ratio_low", "contact ratio {ratio:number} is below 1.1: little is left for wear of the tips")
	// WarnNotInvolute goes with a pair that fails a gate.
	WarnNotInvolute = say.Define("gearset.not_involute", "plain involute teeth of these numbers do not run ({gates}); the teeth of such a pump have another curve, or a number is wrong. The closed form and the crescent need only circles and still hold")
)

// judge runs the gates. Sources: internal gear interference inequalities as
// printed in gear technical handbooks (internal gears, involute interference
// and trochoid interference); the gates of tip, land and root follow from the
// circles.
func (g *Geometry) judge() {
	s := &g.f
	add := func(name string, what say.Template, judged bool, margin float64, limitBelongs bool) {
		passed := judged && (margin > 0 || limitBelongs && margin == 0)
		g.Gates = append(g.Gates, Gate{Name: name, Passed: passed, Margin: margin, What: what.With(), Judged: judged})
	}
	add(GateInvolute, gateInvolute, true, s.rar-s.rbr, false)
	ok := s.involuteTip
	contact, base, fouling, land := 0.0, 0.0, 0.0, g.IdlerTipLand.SI()
	if ok {
		contact = *g.ContactRatio - 1
		base = s.zi/s.zr - 1 + math.Sqrt(s.rar*s.rar-s.rbr*s.rbr)/s.rbr/math.Tan(s.aw)
		fouling = 2 * math.Pi // tip circles that do not cross cannot foul: a whole turn free
		if g.Fouling != nil {
			fouling = *g.Fouling
		}
		land = math.Min(land, g.RotorTipLand.SI())
	}
	add(GateContact, gateContact, ok, contact, true)
	add(GateBase, gateBase, ok, base, true)
	add(GateFouling, gateFouling, ok, fouling, true)
	add(GateThickness, gateThickness, ok, land, false)
	add(GateRoots, gateRoots, true, math.Min(g.ClearanceAtRotorRoot.SI(), g.ClearanceAtIdlerRoot.SI()), true)
	g.Valid = true
	for _, gate := range g.Gates {
		g.Valid = g.Valid && gate.Passed
	}
}

// Warnings says what a person should know about the pair.
func (g *Geometry) Warnings() []say.Message {
	var list []say.Message
	if !g.Valid {
		var failed []string
		for _, gate := range g.Gates {
			if !gate.Passed && gate.Judged {
				failed = append(failed, gate.Name)
			}
		}
		list = append(list, WarnNotInvolute.With(failed))
	}
	if g.ContactRatio != nil && *g.ContactRatio >= 1 && *g.ContactRatio < 1.1 {
		list = append(list, WarnContactRatio.With(*g.ContactRatio))
	}
	return list
}
