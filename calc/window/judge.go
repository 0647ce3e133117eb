package window

import (
	"pumpwright/calc/chain"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	whyRadial     = say.Define("window.radial", "{gap}: {left:length} is left when hot, less than {need:length}; no gasket helps, only a slower warm-up or more room")
	whyRadialUn   = say.Define("window.radial_unknown", "{gap} when hot: {why:message}")
	whyNoWindow   = say.Define("window.none", "there is no window: the lower limit {lower:length} lies above the upper limit {upper:length}")
	whyMostly     = say.Define("window.mostly", "most of the lower limit comes from: {terms:message}")
	whyTarget     = say.Define("window.target", "target {target:length}: slip and drag together lose least at {optimum:length} running")
	whyTargetHeld = say.Define("window.target_held", "target {target:length}: kept away from the limits; slip and drag alone would ask for {optimum:length} cold, which is no setting")
	whyTargetMid  = say.Define("window.target_middle", "target {target:length}: the middle of the window, since the drag of this pump is not known")
)

// radial judges the gaps that no gasket moves.
//
//	c_od (1 − ε_od) + min Δc_od ≥ 0.025 mm + k u,  c_ci + min Δc_ci likewise
//
// Convention of this program, no source.
func (r *Result) radial() {
	in := r.Inputs
	pump := in.Model.Pump()
	need := quantity.Length(radialNeed + in.Coverage*in.RadialU.SI())
	r.RadialOK, r.RadialKnown = true, true
	for _, gap := range []struct {
		name chain.GapName
		cold quantity.Length
	}{
		{chain.RadialGap, quantity.Length(pump.Clearances.RotorRadial.SI() * (1 - pump.RotorDisplacement))},
		{chain.CrescentInnerGap, pump.Clearances.CrescentInner},
	} {
		left, known := gap.cold, true
		for _, d := range in.Duties {
			change := d.Service.Gaps[gap.name]
			if !change.Steady.Known() {
				r.Warnings = append(r.Warnings, whyRadialUn.With(gap.name.String(), change.Steady.Unknown))
				known = false
				break
			}
			left = min(left, gap.cold+closing(change))
		}
		r.RadialKnown = r.RadialKnown && known
		if known && left < need {
			r.RadialOK = false
			r.Reasons = append(r.Reasons, whyRadial.With(gap.name.String(), left, need))
		}
	}
	r.RadialOK = r.RadialOK && r.RadialKnown
}

// judge says whether there is a window, and sets the target in it.
func (r *Result) judge() {
	if r.Lower == nil || r.Upper == nil {
		return
	}
	low, high := r.Lower.Value, r.Upper.Value
	if low > high {
		r.Reasons = append(r.Reasons, whyNoWindow.With(low, high), whyMostly.With(r.heaviest()))
		return
	}
	r.Possible = true
	away := min((high-low)/4, keepAway)
	optimum := r.LossOptimum[0]
	if optimum == nil {
		middle := (low + high) / 2
		r.Target = &middle
		r.Reasons = append(r.Reasons, whyTargetMid.With(middle))
		return
	}
	cold := *optimum
	if d := r.Inputs.Duties[0]; !d.Cold {
		cold -= d.Service.Gaps[chain.EndGap].Steady.Length
	}
	target := max(low+away, min(high-away, cold))
	r.Target = &target
	if target == cold {
		r.Reasons = append(r.Reasons, whyTarget.With(target, *optimum))
		return
	}
	r.Reasons = append(r.Reasons, whyTargetHeld.With(target, cold))
}

// heaviest names the two largest terms of the lower limit.
func (r *Result) heaviest() []say.Message {
	first, second := Term{}, Term{}
	for _, t := range r.Lower.Terms {
		switch {
		case t.Value > first.Value:
			first, second = t, first
		case t.Value > second.Value:
			second = t
		}
	}
	var names []say.Message
	for _, t := range []Term{first, second} {
		if t.Value > 0 {
			names = append(names, t.Name)
		}
	}
	return names
}
