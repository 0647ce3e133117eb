package suction

import (
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameSurface   = say.Define("suction.name_surface", "pressure on the liquid")
	nameHead      = say.Define("suction.name_head", "level above the pump")
	nameFlow      = say.Define("suction.name_flow", "flow")
	nameBore      = say.Define("suction.name_bore", "bore of the pipe")
	nameLength    = say.Define("suction.name_length", "length of pipe")
	nameRough     = say.Define("suction.name_roughness", "roughness of the pipe")
	nameFittings  = say.Define("suction.name_fittings", "loss coefficients of the fittings")
	nameViscosity = say.Define("suction.name_viscosity", "viscosity")
	nameDensity   = say.Define("suction.name_density", "density")
	nameVapor     = say.Define("suction.name_vapor", "vapour pressure")
	nameAir       = say.Define("suction.name_air", "allowance for dissolved air")
	nameRequired  = say.Define("suction.name_required", "inlet pressure the pump requires")
	nameVelocity  = say.Define("suction.name_velocity", "velocity in the pipe")
	nameReynolds  = say.Define("suction.name_reynolds", "Reynolds number")
	nameFactor    = say.Define("suction.name_factor", "friction factor (Darcy)")
	namePipeLoss  = say.Define("suction.name_pipe_loss", "loss in the pipe")
	nameFitLoss   = say.Define("suction.name_fittings_loss", "loss in the fittings")
	nameAvailable = say.Define("suction.name_available", "net inlet pressure available, total")
	nameMargin    = say.Define("suction.name_margin", "margin over what is required")
)

const (
	sourceData = "Hydraulic Institute Engineering Data Book, equations 3.A.2 to 3.A.5"
	sourceNPIP = "annex on net positive inlet pressure, API 675 by its wording, equation E.1"
)

// Working returns how the inlet pressure came about.
func (r *Result) Working() *working.Node {
	l := r.Line
	flow := working.Leaf("suction.flow", nameFlow.With(), "Q", l.Flow, "flow")
	bore := working.Leaf("suction.bore", nameBore.With(), "D", l.Bore, "bore")
	density := working.Leaf("suction.density", nameDensity.With(), "ρ", l.Density, "density")
	viscosity := working.Leaf("suction.viscosity", nameViscosity.With(), "μ", l.Viscosity, "viscosity")
	velocity := working.Result("suction.velocity", nameVelocity.With(), "V", r.Velocity, "V = 4Q/(π D²)", "continuity", flow, bore)
	reynolds := &working.Node{ID: "suction.reynolds", Name: nameReynolds.With(), Symbol: "Re", Value: r.Reynolds, Equation: "Re = ρ V D/μ", Source: "definition",
		Inputs: []*working.Node{density, velocity, bore, viscosity}}
	factor := &working.Node{ID: "suction.friction_factor", Name: nameFactor.With(), Symbol: "f", Value: r.FrictionFactor, Equation: "64/Re, or Colebrook–White", Source: sourceData,
		Inputs: []*working.Node{reynolds, working.Leaf("suction.roughness", nameRough.With(), "ε", l.Roughness, "roughness"), bore}}
	pipe := working.Result("suction.pipe_loss", namePipeLoss.With(), "Δp_pipe", r.PipeLoss, "Δp = f (L/D) ρV²/2", sourceData,
		factor, working.Leaf("suction.length", nameLength.With(), "L", l.Length, "length"), bore, density, velocity)
	fittings := working.Result("suction.fittings_loss", nameFitLoss.With(), "Δp_fit", r.FittingsLoss, "Δp = ΣK ρV²/2", sourceData,
		working.Number("suction.fittings_k", nameFittings.With(), "ΣK", l.FittingsK, "fittings_k"), density, velocity)
	inputs := []*working.Node{
		working.Leaf("suction.surface_pressure", nameSurface.With(), "p_surface", l.SurfacePressure, "surface_pressure"),
		working.Leaf("suction.static_head", nameHead.With(), "z", l.StaticHead, "static_head"),
		density, pipe, fittings,
		working.Leaf("suction.vapor_pressure", nameVapor.With(), "p_vapour", l.VaporPressure, "vapor_pressure"),
		working.Leaf("suction.dissolved_air", nameAir.With(), "p_air", l.DissolvedAir, "dissolved_air"),
	}
	available := working.Result("suction.available", nameAvailable.With(), "NPIPA", r.Available,
		"NPIPA = p_surface + ρ g z − Δp_pipe − Δp_fit − p_vapour − p_air", sourceNPIP, inputs...)
	if r.Margin == nil {
		return available
	}
	return working.Result("suction.margin", nameMargin.With(), "", *r.Margin, "available − required", "definition",
		available, working.Leaf("suction.required", nameRequired.With(), "NPIPR", *l.Required, "required"))
}
