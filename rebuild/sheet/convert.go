package sheet

import (
	"pumpwright/calc/chain"
	"pumpwright/calc/gasket"
	"pumpwright/calc/material"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// ExpansionOf returns the thermal expansion of a group of parts (casing, head,
// rotor …), or nil when neither the sheet nor the table of materials has it.
func (s *Sheet) ExpansionOf(group string) *quantity.Expansion {
	m, there := s.Materials[group]
	if !there {
		return nil
	}
	if m.Expansion != nil {
		return m.Expansion
	}
	found, err := material.Find(m.Name)
	if err != nil {
		return nil
	}
	alpha, err := found.ThermalExpansion()
	if err != nil {
		return nil
	}
	return &alpha
}

func lengthOf(n *Number[quantity.Length]) *quantity.Length {
	if n == nil {
		return nil
	}
	return &n.Value
}

func nominalLength(f *Feature) *quantity.Length {
	if f == nil || f.Nominal == nil || f.Nominal.Dimension != quantity.LengthDimension {
		return nil
	}
	v := quantity.Length(f.Nominal.SI)
	return &v
}

// Nominal returns the nominal length of the feature of a role, or nil.
func (s *Sheet) Nominal(role string) *quantity.Length { return nominalLength(s.ByRole(role)) }

// Expanding returns what the sheet knows of the lengths and materials that
// carry the gaps from the bench to service. What is missing stays nil.
func (s *Sheet) Expanding() chain.Expanding {
	d := s.Dimensions
	e := chain.Expanding{
		Bracket: s.ExpansionOf("bracket"), Casing: s.ExpansionOf("casing"), Gasket: s.ExpansionOf("gasket"),
		Shaft: s.ExpansionOf("shaft"), Rotor: s.ExpansionOf("rotor"), Idler: s.ExpansionOf("idler"), Head: s.ExpansionOf("head"),
		BracketLength: lengthOf(d.BracketLength), CasingLength: lengthOf(d.CasingLength), ShaftLength: lengthOf(d.ShaftLength),
		RotorLength: lengthOf(d.RotorLength), Boss: lengthOf(d.HeadBoss), Gaskets: lengthOf(d.GasketStack),
		Pocket: lengthOf(d.PocketDepth), IdlerHigh: lengthOf(d.IdlerWidth), Crescent: lengthOf(d.CrescentWidth),
		CasingBore: s.Nominal(RoleCasingBore), RotorDiameter: s.Nominal(RoleRotorOD),
		Ref: "sheet:" + s.Name + " " + s.Version,
	}
	if t := s.Teeth; t != nil {
		if m := t.ModuleLength(); m > 0 {
			tip := quantity.Length(m.SI() * (float64(t.Rotor)/2 - t.RotorAddendum))
			idlerTip := quantity.Length(m.SI() * (float64(t.Idler)/2 + t.IdlerAddendum))
			e.RotorTip, e.IdlerTip = &tip, &idlerTip
			if p := s.FlowPath; p != nil {
				out := tip - p.CrescentOuterClearance.Value
				in := idlerTip + p.CrescentInnerClearance.Value
				e.CrescentOutside, e.CrescentInside = &out, &in
			}
		}
	}
	return e
}

// ModuleLength returns the module, from the diametral pitch where that is
// given: m = 25.4 mm/DP.
func (t *Teeth) ModuleLength() quantity.Length {
	if t.Module != nil {
		return t.Module.Value
	}
	if t.DiametralPitch != nil && *t.DiametralPitch > 0 {
		return quantity.Length(0.0254 / *t.DiametralPitch)
	}
	return 0
}

// Block returns the thermal block, or nil when the sheet has none.
func (s *Sheet) Block() *chain.Block {
	t := s.Thermal
	if t == nil {
		return nil
	}
	b := &chain.Block{Ref: "sheet:" + s.Name + " thermal"}
	bodies := map[chain.Mass]Body{chain.RotorMass: t.Rotor, chain.ShaftMass: t.Shaft, chain.CasingMass: t.Casing, chain.HeadMass: t.Head, chain.BracketMass: t.Bracket}
	for mass, body := range bodies {
		b.Capacity[mass] = body.Capacity.Value
		if body.ToLiquid != nil {
			b.ToLiquid[mass] = body.ToLiquid.Value
		}
		if body.ToAmbient != nil {
			b.ToAmbient[mass] = body.ToAmbient.Value
		}
	}
	if t.Jacket != nil {
		b.ToJacket[chain.CasingMass] = t.Jacket.Value
		b.ToJacket[chain.HeadMass] = t.Jacket.Value
	}
	for _, l := range t.Between {
		b.Joints = append(b.Joints, chain.Joint{A: massOf(l.A), B: massOf(l.B), Conductance: l.Conductance.Value})
	}
	return b
}

func massOf(name string) chain.Mass {
	for _, m := range chain.Masses() {
		if m.String() == name {
			return m
		}
	}
	return chain.BracketMass
}

// GasketKinds returns the kinds for the stack solver. stock overrides the
// sheet's counts where the shop keeps its own.
func (s *Sheet) GasketKinds(stock map[string]int) []gasket.Kind {
	kinds := make([]gasket.Kind, len(s.Gaskets))
	for i, g := range s.Gaskets {
		k := gasket.Kind{Name: g.Name, Thickness: g.Thickness.Value, Tolerance: g.Tolerance.Value, Compression: g.Compression, Sealing: g.Sealing, Reusable: g.Reusable}
		if g.Stock != nil {
			k.Stock = *g.Stock
		}
		if n, kept := stock[g.Name]; kept {
			k.Stock = n
		}
		k.Shim, k.Apart = g.Shim, g.Shim && s.Build.Shims == "bearing"
		k.Closes = k.Apart && s.EndClearance.ShimsClose
		if !s.SetsClearance(i) {
			k.Stock = 0
		}
		kinds[i] = k
	}
	return kinds
}

// SetsClearance tells whether a kind of gasket is there to set the end
// clearance; where shims alone do, the gasket of the head is none of it.
func (s *Sheet) SetsClearance(kind int) bool {
	return s.Build.ClearanceBy != "shims" || s.Gaskets[kind].Shim
}

// GasketIndex returns the place of a kind of gasket, or -1.
func (s *Sheet) GasketIndex(name string) int {
	for i, g := range s.Gaskets {
		if g.Name == name {
			return i
		}
	}
	return -1
}

var msgNoLiquid = say.Define("sheet.no_liquid", "the service names no liquid")

// LiquidProblem is said where the liquid is needed and not named.
func LiquidProblem() error {
	return say.Refuse("liquid", "", msgNoLiquid.With(), say.Message{})
}
