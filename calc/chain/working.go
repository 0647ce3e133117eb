package chain

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

const (
	lawSource  = "JCGM 100:2008, 5.2.2 equation (13)"
	lawText    = "Y = Σ c·x, u² = Σ Σ c_i·c_j·V_ij"
	growSource = "derived here (linear expansion of the loop)"
)

var (
	nameChain    = say.Define("chain.name_chain", "sum of the chain")
	nameLink     = say.Define("chain.name_link", "{name} (× {sensitivity:number})")
	nameSteady   = say.Define("chain.name_steady", "change of the {gap} at steady state")
	nameClosest  = say.Define("chain.name_closest", "change of the {gap} at the worst moment")
	namePart     = say.Define("chain.name_part", "temperature of the {part}")
	nameWhole    = say.Define("chain.name_whole", "gaps from bench to service")
	growEquation = [gapCount]string{
		"Δs = L_br·α_br·ΔT_br + L_ca·α_ca·ΔT_ca + g·α_g·ΔT_h − L_sh·α_sh·ΔT_sh − L_ro·α_ro·ΔT_ro − p·α_h·ΔT_h",
		"Δf_i = Δs + b·α_ro·ΔT_ro − H_i·α_i·ΔT_ro",
		"Δs_cr = Δs + b·α_ro·ΔT_ro − H_cr·α_h·ΔT_h",
		"Δc_od = ½·(D_b·α_ca·ΔT_ca − D_o·α_ro·ΔT_ro)",
		"Δc_co = r_ar·α_ro·ΔT_ro − r_out·α_h·ΔT_h",
		"Δc_ci = r_in·α_h·ΔT_h − r_ai·α_i·ΔT_ro",
	}
	growSymbol = [gapCount]string{"Δs", "Δf_i", "Δs_cr", "Δc_od", "Δc_co", "Δc_ci"}
)

// Working shows the links and their sum.
func (r *Result) Working() *working.Node {
	root := &working.Node{
		ID: "chain.sum", Name: nameChain.With(), Symbol: "Y", Dimension: r.Chain.Dimension,
		Value: r.Value, U: r.U, Equation: lawText, Source: lawSource,
	}
	for _, l := range r.Chain.Links {
		ref := l.Ref
		if ref == "" {
			ref = l.Name
		}
		root.Inputs = append(root.Inputs, &working.Node{
			ID: "chain.link", Name: nameLink.With(l.Name, l.Sensitivity), Symbol: "x",
			Dimension: r.Chain.Dimension, Value: l.best(), U: l.spread(), Ref: ref,
		})
	}
	return root
}

var basisSource = map[Basis]string{
	MeasuredParts: "measured in service",
	ThermalBlock:  "heat balance of five lumped masses, derived here; conductances are estimates",
	BoundOnly:     "bound: rotor and shaft at liquid temperature, the rest at bench temperature",
}

// Working shows part temperatures and the changes of the gaps.
func (o *Service) Working() *working.Node {
	root := &working.Node{ID: "chain.service", Name: nameWhole.With(), Text: basisSource[o.Basis], Equation: "s(t) = s_cold + Δs(t)", Source: "derived here"}
	var parts []*working.Node
	for k, t := range o.Steady {
		parts = append(parts, working.Leaf("chain.temperature."+Mass(k).String(), namePart.With(Mass(k).String()), "T", t, "").From(basisSource[o.Basis]))
	}
	for i, g := range o.Gaps {
		gap := GapName(i)
		steady := &working.Node{
			ID: "chain.change_steady." + gapIDs[i], Name: nameSteady.With(gap.String()), Symbol: growSymbol[i],
			Dimension: quantity.LengthDimension, Value: float64(g.Steady.Length), Equation: growEquation[i], Source: growSource, Inputs: parts,
		}
		closest := &working.Node{
			ID: "chain.change_worst." + gapIDs[i], Name: nameClosest.With(gap.String()), Symbol: "min " + growSymbol[i],
			Dimension: quantity.LengthDimension, Value: float64(g.Closest.Length), Equation: "min over t ≥ 0 of " + growSymbol[i] + "(t)", Source: growSource, Inputs: []*working.Node{steady},
		}
		if !g.Steady.Known() {
			steady.Text = g.Steady.Unknown.String()
		}
		if !g.Closest.Known() {
			closest.Text = g.Closest.Unknown.String()
		}
		root.Inputs = append(root.Inputs, closest)
	}
	return root
}
