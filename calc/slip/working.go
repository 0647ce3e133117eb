package slip

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameFlow        = say.Define("slip.name_flow", "delivered flow")
	nameTheoretical = say.Define("slip.name_theoretical", "theoretical flow")
	nameNetSlip     = say.Define("slip.name_slip", "net slip")
	nameZero        = say.Define("slip.name_zero", "slip without pressure (drag of the walls)")
	nameSpeed       = say.Define("slip.name_speed", "speed of the rotor")
	namePressure    = say.Define("slip.name_pressure", "discharge less suction pressure")
	nameVolume      = say.Define("slip.name_displacement", "displacement of one turn")
	nameDensity     = say.Define("slip.name_density", "density")
	nameViscosity   = say.Define("slip.name_viscosity", "viscosity at rest")
	nameKD          = say.Define("slip.name_k_displacement", "displacement factor")
	nameKS          = say.Define("slip.name_k_slip", "slip factor")
	nameKV          = say.Define("slip.name_k_drag", "drag factor")
	nameBias        = say.Define("slip.name_bias", "end bias")
	nameClearance   = say.Define("slip.name_clearance", "{which}")
	namePath        = say.Define("slip.name_path", "leak: {which}")
	namePower       = say.Define("slip.name_power", "power at the shaft")
	namePart        = say.Define("slip.name_part", "power: {which}")
	nameEfficiency  = say.Define("slip.name_efficiency", "volumetric efficiency")
)

const (
	fromGap  = "gap law: plane Poiseuille flow; R. B. Dean, J. Fluids Eng. 100 (1978) 215; inlet and outlet loss, common practice"
	fromHere = "derived here"
	refInput = "input"
)

// Working returns the reasons behind the result. ref says where the pump's
// numbers came from: a path in a model sheet, or an entry.
func (r *Result) Working(ref string) *working.Node {
	if ref == "" {
		ref = refInput
	}
	speed := working.Leaf("slip.speed", nameSpeed.With(), "N", r.Point.Speed, refInput)
	pressure := working.Leaf("slip.pressure", namePressure.With(), "Δp", r.Point.Pressure, refInput)
	density := working.Leaf("slip.density", nameDensity.With(), "ρ", r.Liquid.Density, refInput)
	viscosity := working.Leaf("slip.viscosity", nameViscosity.With(), "µ₀", r.Liquid.AtRest, refInput)
	kd := working.Number("slip.k_displacement", nameKD.With(), "k_D", r.Factors.Displacement, refInput)
	ks := working.Number("slip.k_slip", nameKS.With(), "k_s", r.Factors.Slip, refInput)
	kv := working.Number("slip.k_drag", nameKV.With(), "k_v", r.Factors.Drag, refInput)
	bias := working.Leaf("slip.end_bias", nameBias.With(), "δ", r.Factors.EndBias, refInput)
	volume := working.Leaf("slip.displacement", nameVolume.With(), "D", r.model.pump.Teeth.Displacement, ref)

	c := r.model.pump.Clearances
	gap := func(id, which, symbol string, v quantity.Length) *working.Node {
		return working.Leaf("slip."+id, nameClearance.With(which), symbol, v, ref)
	}
	end := gap("end_clearance", "end clearance with the end bias", "s_e", c.End)
	float := gap("idler_float", "axial float of the idler with the end bias", "f_i", c.IdlerFloat)
	crescentEnd := gap("crescent_end", "crescent end gap with the end bias", "s_cr", c.CrescentEnd)
	radial := gap("rotor_radial_clearance", "rotor radial clearance", "c_od", c.RotorRadial)
	outer := gap("crescent_outer_clearance", "crescent outer clearance", "c_co", c.CrescentOuter)
	inner := gap("crescent_inner_clearance", "crescent inner clearance", "c_ci", c.CrescentInner)

	path := func(id, which string, q quantity.Flow, inputs ...*working.Node) *working.Node {
		inputs = append(inputs, pressure, speed, density, viscosity, ks)
		return working.Result("slip.path."+id, namePath.With(which), "", q,
			"Δp = f(Re)(L/h)ρWw + Kρw²/2 in every gap; lands in series pass the same flow; k_s(q − q₀) + q₀", fromGap, inputs...)
	}
	theoretical := working.Result("slip.theoretical_flow", nameTheoretical.With(), "Q_th", r.TheoreticalFlow, "Q_th = k_D D N", fromHere, kd, volume, speed)
	zero := working.Result("slip.zero", nameZero.With(), "q₀", r.SlipAtZero, "q₀ = −Σ s B h U/2 over the paths, solved in series", fromHere, speed, radial, outer, inner)
	slip := working.Result("slip.slip", nameNetSlip.With(), "q", r.Slip, "sum of the paths", fromHere,
		path("mesh", "past the mesh", r.Paths.Mesh, radial, end, float),
		path("rotor_crescent", "crescent, rotor side", r.Paths.RotorCrescent, radial, end, outer),
		path("idler_crescent", "crescent, idler side", r.Paths.IdlerCrescent, inner, float),
		path("idler_body", "over the idler's faces", r.Paths.IdlerBody, float),
		path("crescent_end", "crescent end", r.Paths.CrescentEnd, crescentEnd),
		path("back", "behind the disc", r.Paths.Back, radial),
		zero)
	slip.Inputs = append(slip.Inputs, bias)
	flow := working.Result("slip.flow", nameFlow.With(), "Q", r.Flow, "Q = k_D D N − [k_s(q − q₀) + q₀]", fromHere, theoretical, slip)
	efficiency := working.Number("slip.volumetric_efficiency", nameEfficiency.With(), "η_v", r.VolumetricEfficiency, "")
	efficiency.Equation, efficiency.Source, efficiency.Inputs = "η_v = Q/Q_th", "definition", []*working.Node{flow, theoretical}
	if r.Power == nil {
		return efficiency
	}
	p := r.Power
	part := func(id, which, equation, source string, v quantity.Power, inputs ...*working.Node) *working.Node {
		return working.Result("slip.power."+id, namePart.With(which), "", v, equation, source, append(inputs, speed)...)
	}
	const film = "µ_τ U²A/h; film stress after Constantinescu, from memory; bushings after Petroff, from memory"
	efficiency.Inputs = append(efficiency.Inputs, working.Result("slip.power", namePower.With(), "P", p.Total,
		"P = Δp(k_D D N − q₀) + k_v ΣP_drag + P_mesh + P_seal + P_fill", fromHere,
		part("hydraulic", "delivery and slip", "Δp(Q_th − q₀)", fromHere, p.Hydraulic, theoretical, zero, pressure),
		part("gaps", "friction of the gaps", "k_v Σ µ_τ U²A/h", film, p.Gaps, kv, viscosity, density, end, float, crescentEnd, radial, outer, inner),
		part("pin", "idler pin", "k_v 2πrl µ_τ U²/(c√(1 − 0.5²))", film, p.Pin, kv, viscosity),
		part("shaft_bushing", "bushing on the shaft", "k_v 2πrl µ_τ U²/(c√(1 − 0.5²))", film, p.ShaftBushing, kv, viscosity),
		part("mesh", "mesh", "µ_f H_v P_i", "standard gear mesh-loss factor, from memory, sign changed for an internal pair", p.Mesh, pressure),
		part("seal", "shaft seal", "f A (B p_back + p_sp) ω r", "common practice, no source", p.Seal, pressure),
		part("filling", "filling of the tooth spaces", "2Q_th(1.5ρv²/2 + k_v 12µv(R_o − r_ar)/w²)", "common practice, no source", p.Filling, theoretical, density, viscosity, kv)))
	return efficiency
}

var (
	nameCost   = say.Define("slip.name_cost", "misfit of the calibration")
	nameFitted = say.Define("slip.name_fitted", "{which}")
	nameBench  = say.Define("slip.name_bench", "flow measured at the bench")
)

// Working returns the reasons behind the calibration.
func (c *Calibration) Working() *working.Node {
	var points []*working.Node
	for _, p := range c.Measured {
		points = append(points, working.Leaf("calibrate.flow", nameBench.With(), "Q", p.Flow.Value, refInput).WithU(p.Flow.U))
	}
	root := working.Number("calibrate.cost", nameCost.With(), "", c.Cost, "")
	root.Equation = "Σ((predicted − measured)/u)² + Σ((θ − θ₀)/u₀)²"
	root.Source = "Bayes' rule with normal priors: k_D 1 ± 0.01, ln k_s 0 ± 0.35, ln k_v 0 ± 0.40, δ 0 ± 0.02 mm, conventions of this program"
	for i, f := range c.Fit {
		var n *working.Node
		id := "calibrate." + string(f)
		switch f {
		case FitEndBias:
			n = working.Leaf(id, nameFitted.With(f.Name()), "δ", c.Factors.EndBias, "").WithU(c.U[i])
		case FitDisplacement:
			n = working.Number(id, nameFitted.With(f.Name()), "k_D", c.Factors.Displacement, "").WithU(c.U[i])
		case FitDrag:
			n = working.Number(id, nameFitted.With(f.Name()), "k_v", c.Factors.Drag, "").WithU(c.U[i] * c.Factors.Drag)
		default:
			n = working.Number(id, nameFitted.With(f.Name()), "k_s", c.Factors.Slip, "").WithU(c.U[i] * c.Factors.Slip)
		}
		n.Equation, n.Source, n.Inputs = "Gauss–Newton with step halving, covariance (JᵀJ)⁻¹", fromHere, points
		root.Inputs = append(root.Inputs, n)
	}
	return root
}

// Working returns the reasons behind the two numbers.
func (s *Simple) Working() *working.Node {
	var points []*working.Node
	for _, p := range s.Measured {
		points = append(points, working.Leaf("calibrate.flow", nameBench.With(), "Q", p.Flow.Value, refInput).WithU(p.Flow.U))
	}
	const equation, source = "Q = D·N − c·Δp/µ, weighted least squares", "laminar slip; textbook least squares"
	root := working.Number("calibrate.cost", nameCost.With(), "", s.Cost, "")
	root.Equation, root.Source = "Σ((predicted − measured)/u)²", source
	root.Inputs = []*working.Node{
		working.Result("calibrate.displacement", nameVolume.With(), "D", s.Displacement.Value, equation, source, points...).WithU(s.Displacement.U),
		working.Result("calibrate.slip_constant", nameFitted.With("slip constant"), "c", s.SlipConstant.Value, equation, source, points...).WithU(s.SlipConstant.U),
	}
	return root
}
