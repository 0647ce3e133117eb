package chain

import (
	"math"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Expanding is what a pump's gaps need to know of lengths and materials to be
// carried from the bench to service. A nil piece is not known.
//
// Lengths run from the thrust bearing.
type Expanding struct {
	// Materials: coefficients of linear expansion, of the gaskets across
	// their thickness.
	Bracket, Casing, Gasket, Shaft, Rotor, Idler, Head *quantity.Expansion

	BracketLength *quantity.Length // L_br, thrust bearing to casing
	CasingLength  *quantity.Length // L_ca, bracket to the head's joint
	ShaftLength   *quantity.Length // L_sh, thrust bearing to the rotor's back
	RotorLength   *quantity.Length // L_ro, rotor's back to tooth ends
	Boss          *quantity.Length // p, protrusion of the boss of the head
	Gaskets       *quantity.Length // g, compressed

	Pocket    *quantity.Length // b, depth of the rotor's pocket
	IdlerHigh *quantity.Length // H_i, width of the idler
	Crescent  *quantity.Length // H_cr, height of the crescent

	CasingBore      *quantity.Length // D_b
	RotorDiameter   *quantity.Length // D_o
	RotorTip        *quantity.Length // r_ar
	CrescentOutside *quantity.Length // r_out
	CrescentInside  *quantity.Length // r_in
	IdlerTip        *quantity.Length // r_ai

	Ref string // where in the sheet
}

// GapName names one of the gaps of the pump.
type GapName int

// The gaps, in the order of every array of this package.
const (
	EndGap           GapName = iota // s_e
	IdlerFloatGap                   // f_i
	CrescentEndGap                  // s_cr
	RadialGap                       // c_od
	CrescentOuterGap                // c_co
	CrescentInnerGap                // c_ci
	gapCount
)

// GapCount is the number of gaps.
const GapCount = int(gapCount)

var gapWords = [gapCount]string{"end clearance", "idler float", "crescent end gap", "radial gap of the rotor", "outer crescent gap", "inner crescent gap"}
var gapIDs = [gapCount]string{"end", "idler_float", "crescent_end", "radial", "crescent_outer", "crescent_inner"}

// String returns the trade's words for the gap.
func (g GapName) String() string {
	if g < 0 || g >= gapCount {
		return "?"
	}
	return gapWords[g]
}

// Gaps returns all gaps in order.
func Gaps() []GapName {
	return []GapName{EndGap, IdlerFloatGap, CrescentEndGap, RadialGap, CrescentOuterGap, CrescentInnerGap}
}

// growth is one gap's change as a linear form: Σ m_k·(T_k − T_bench).
type growth struct {
	perKelvin [massCount]float64
	unknown   say.Message
}

// piece is one length that grows: sign·length·expansion for a mass.
type piece struct {
	name      string
	sign      float64
	length    *quantity.Length
	expansion *quantity.Expansion
	material  string
	mass      Mass
}

func (e Expanding) pieces() [gapCount][]piece {
	end := []piece{
		{"bracket length", 1, e.BracketLength, e.Bracket, "bracket", BracketMass},
		{"casing length", 1, e.CasingLength, e.Casing, "casing", CasingMass},
		{"gasket thickness", 1, e.Gaskets, e.Gasket, "gaskets", HeadMass},
		{"shaft length", -1, e.ShaftLength, e.Shaft, "shaft", ShaftMass},
		{"rotor length", -1, e.RotorLength, e.Rotor, "rotor", RotorMass},
		{"boss protrusion", -1, e.Boss, e.Head, "head", HeadMass},
	}
	pocket := append(end[:len(end):len(end)], piece{"pocket depth", 1, e.Pocket, e.Rotor, "rotor", RotorMass})
	return [gapCount][]piece{
		EndGap:         end,
		IdlerFloatGap:  append(pocket[:len(pocket):len(pocket)], piece{"idler width", -1, e.IdlerHigh, e.Idler, "idler", RotorMass}),
		CrescentEndGap: append(pocket[:len(pocket):len(pocket)], piece{"crescent height", -1, e.Crescent, e.Head, "head", HeadMass}),
		RadialGap: {
			{"casing bore", 0.5, e.CasingBore, e.Casing, "casing", CasingMass},
			{"rotor outer diameter", -0.5, e.RotorDiameter, e.Rotor, "rotor", RotorMass},
		},
		CrescentOuterGap: {
			{"rotor tip radius", 1, e.RotorTip, e.Rotor, "rotor", RotorMass},
			{"crescent outer radius", -1, e.CrescentOutside, e.Head, "head", HeadMass},
		},
		CrescentInnerGap: {
			{"crescent inner radius", 1, e.CrescentInside, e.Head, "head", HeadMass},
			{"idler tip radius", -1, e.IdlerTip, e.Idler, "idler", RotorMass},
		},
	}
}

func (e Expanding) growths() ([gapCount]growth, error) {
	var all [gapCount]growth
	for g, list := range e.pieces() {
		var missing []string
		for _, p := range list {
			if p.length == nil {
				missing = append(missing, p.name)
			}
			if p.expansion == nil {
				missing = append(missing, "expansion of the "+p.material)
			}
			if p.length == nil || p.expansion == nil {
				continue
			}
			if !finite(float64(*p.length)) {
				return all, refuseNumber(fieldName(p.name), float64(*p.length), msgNotFinite)
			}
			if *p.length < 0 && p.name != "boss protrusion" {
				return all, refuseNumber(fieldName(p.name), float64(*p.length), msgNotNegative)
			}
			if !finite(float64(*p.expansion)) || math.Abs(float64(*p.expansion)) > 1e-3 {
				return all, refuseNumber("expansion."+p.material, float64(*p.expansion), msgExpansion)
			}
			all[g].perKelvin[p.mass] += p.sign * float64(*p.length) * float64(*p.expansion)
		}
		if len(missing) > 0 {
			all[g].unknown = notKnown(missing)
		}
	}
	return all, nil
}

// fieldName writes the trade's name of a length as a field.
func fieldName(name string) string { return strings.ReplaceAll(name, " ", "_") }

func (g growth) at(parts [massCount]float64, bench float64) float64 {
	s := 0.0
	for k, m := range g.perKelvin {
		s += m * (parts[k] - bench)
	}
	return s
}

var msgExpansion = say.Define("chain.expansion", "a coefficient of expansion is a few millionths per kelvin")

// Change is how a gap differs from the bench; unknown with a reason where a
// length, material or temperature is missing. Below zero: the gap closes.
type Change struct {
	quantity.Length
	Unknown say.Message
}

// Known reports whether there is a value.
func (c Change) Known() bool { return c.Unknown.IsZero() }

// Changes of all gaps.
type Changes [gapCount]Change

// Change returns how the gaps change when the parts go from the bench
// temperature to the given ones.
//
//	Δs    = L_br·α_br·ΔT_br + L_ca·α_ca·ΔT_ca + g·α_g·ΔT_h − L_sh·α_sh·ΔT_sh − L_ro·α_ro·ΔT_ro − p·α_h·ΔT_h
//	Δf_i  = Δs + b·α_ro·ΔT_ro − H_i·α_i·ΔT_ro
//	Δs_cr = Δs + b·α_ro·ΔT_ro − H_cr·α_h·ΔT_h
//	Δc_od = ½·(D_b·α_ca·ΔT_ca − D_o·α_ro·ΔT_ro)
//	Δc_co = r_ar·α_ro·ΔT_ro − r_out·α_h·ΔT_h
//	Δc_ci = r_in·α_h·ΔT_h − r_ai·α_i·ΔT_ro
//
// Lengths in m, α in 1/K, ΔT in K. Rotor and idler share a temperature, the
// gaskets have the head's. Valid: linear expansion, parts free to grow.
// Errors: a say.Problem naming a length below zero or an impossible α.
// Source: derived here.
func (e Expanding) Change(parts Temperatures, bench quantity.Temperature) (Changes, error) {
	growths, err := e.growths()
	if err != nil {
		return Changes{}, err
	}
	return changesAt(growths, parts.plain(), float64(bench)), nil
}

// Part returns what one mass alone contributes to the change of a gap.
func (e Expanding) Part(gap GapName, mass Mass, part, bench quantity.Temperature) (Change, error) {
	growths, err := e.growths()
	if err != nil {
		return Change{}, err
	}
	if gap < 0 || gap >= gapCount || mass < 0 || mass >= massCount {
		return Change{Unknown: notKnown([]string{"gap or part of that name"})}, nil
	}
	g := growths[gap]
	return Change{Length: quantity.Length(g.perKelvin[mass] * float64(part-bench)), Unknown: g.unknown}, nil
}

func changesAt(growths [gapCount]growth, parts [massCount]float64, bench float64) Changes {
	var c Changes
	for i, g := range growths {
		c[i].Unknown = g.unknown
		if g.unknown.IsZero() {
			c[i].Length = quantity.Length(g.at(parts, bench))
		}
	}
	return c
}

func (t Temperatures) plain() [massCount]float64 {
	var p [massCount]float64
	for k, v := range t {
		p[k] = float64(v)
	}
	return p
}
