package suction

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Gravity is the standard acceleration of free fall, m/s² (3rd CGPM 1901).
const Gravity = 9.80665

// CommercialSteel is the roughness of new commercial steel pipe (Hydraulic
// Institute Engineering Data Book, table 3.A.1).
const CommercialSteel quantity.Length = 0.0457e-3

// Roughness lists the roughness of new pipe by material. Source: Hydraulic
// Institute Engineering Data Book, table 3.A.1.
func Roughness() map[string]quantity.Length {
	return map[string]quantity.Length{
		"commercial steel": CommercialSteel,
		"stainless steel":  0.015e-3,
		"drawn tubing":     0.00152e-3,
		"cast iron":        0.26e-3,
	}
}

// Loss coefficients K of the ends of a line, in velocity heads. Entrance:
// Crane TP-410; exit: textbook, turbulent.
const (
	SharpEntrance = 0.5
	SharpExit     = 1.0
)

// Line is a suction line with the liquid in it.
type Line struct {
	SurfacePressure quantity.AbsolutePressure    // on the liquid in the tank
	StaticHead      quantity.Length              // level above the pump's centre; negative: suction lift
	Flow            quantity.Flow                // ≥ 0
	Bore            quantity.Length              // > 0
	Length          quantity.Length              // of pipe, ≥ 0
	Roughness       quantity.Length              // ≥ 0
	FittingsK       float64                      // sum of loss coefficients, ≥ 0
	Viscosity       quantity.DynamicViscosity    // > 0
	Density         quantity.Density             // > 0
	VaporPressure   quantity.AbsolutePressure    // ≥ 0
	DissolvedAir    quantity.PressureDifference  // allowance for gas that comes out above the vapour pressure, ≥ 0
	Required        *quantity.PressureDifference // net positive inlet pressure the pump requires; nil: not known
}

// Result is what a suction line leaves at the pump.
type Result struct {
	Line            Line
	Velocity        quantity.Speed
	Reynolds        float64
	FrictionFactor  float64 // Darcy; 0 without flow
	PipeLoss        quantity.PressureDifference
	FittingsLoss    quantity.PressureDifference
	VelocityHead    quantity.PressureDifference
	InletPressure   quantity.AbsolutePressure    // total, at the pump's inlet
	Available       quantity.PressureDifference  // total, less vapour pressure and air allowance
	AvailableStatic quantity.PressureDifference  // without the velocity head: what a gauge on the flange shows
	Margin          *quantity.PressureDifference // Available less Required; nil when nothing is required
	Warnings        []say.Message
	OutsideRange    bool // critical zone of the Reynolds number
}

var (
	msgCritical = say.Define("suction.critical", "the Reynolds number {reynolds:number} lies between laminar and turbulent; the larger friction is taken")
	msgBoils    = say.Define("suction.boils", "the liquid boils in the line: its pressure at the inlet would be below its vapour pressure")
	msgShort    = say.Define("suction.short", "the pump lacks {missing:pressure_difference} of inlet pressure: it will not fill")
	msgThin     = say.Define("suction.thin_margin", "the margin is only {margin:pressure_difference}; a few degrees or a dirty strainer can take it")
	msgLaminarK = say.Define("suction.laminar_fittings", "the flow is laminar: fittings lose more than their turbulent coefficients say")
	msgMoreHead = say.Define("suction.more_head", "give an absolute pressure above zero")
)

// reserve is the margin below which it is called small. Common practice, no
// source.
const reserve quantity.PressureDifference = 10e3

func (l Line) check() error {
	for _, v := range []named{{"bore", l.Bore.SI()}, {"viscosity", l.Viscosity.SI()}, {"density", l.Density.SI()}, {"surface_pressure", l.SurfacePressure.SI()}} {
		if err := positive(v.field, v.value); err != nil {
			return err
		}
	}
	for _, v := range []named{{"flow", l.Flow.SI()}, {"length", l.Length.SI()}, {"roughness", l.Roughness.SI()}, {"fittings_k", l.FittingsK},
		{"vapor_pressure", l.VaporPressure.SI()}, {"dissolved_air", l.DissolvedAir.SI()}} {
		if err := notNegative(v.field, v.value); err != nil {
			return err
		}
	}
	if l.Required != nil {
		if err := notNegative("required", l.Required.SI()); err != nil {
			return err
		}
	}
	if l.Roughness.SI() > 0.05*l.Bore.SI() {
		return say.Refuse("roughness", l.Roughness.String(), msgTooRough.With(), msgCheckBore.With())
	}
	return finite("static_head", l.StaticHead.SI())
}

// At computes the losses of a line and what is left at the pump's inlet.
//
//	Δp_pipe = f (L/D) ρV²/2,  Δp_fittings = ΣK ρV²/2,  V = 4Q/(π D²)
//	available = p_surface + ρ g z − Δp_pipe − Δp_fittings − p_vapour − p_air
//	static    = available − ρV²/2
//
// The acceleration loss of reciprocating pumps is zero for a rotary pump that
// turns steadily. Newtonian liquids; see PowerLawLoss for others.
// Source: annex on net positive inlet pressure, API 675 by its wording,
// equation E.1; friction as FrictionFactor.
func At(l Line) (*Result, error) {
	if err := l.check(); err != nil {
		return nil, err
	}
	r := l.solve()
	r.say()
	return &r, nil
}

func (l Line) solve() Result {
	d := l.Bore.SI()
	v := 4 * l.Flow.SI() / (math.Pi * d * d)
	head := l.Density.SI() * v * v / 2
	r := Result{Line: l, Velocity: quantity.Speed(v), Reynolds: l.Density.SI() * v * d / l.Viscosity.SI(), VelocityHead: quantity.PressureDifference(head)}
	if r.Reynolds > 0 {
		r.FrictionFactor = friction(r.Reynolds, l.Roughness.SI()/d)
		r.PipeLoss = quantity.PressureDifference(r.FrictionFactor * l.Length.SI() / d * head)
	}
	r.FittingsLoss = quantity.PressureDifference(l.FittingsK * head)
	r.InletPressure = l.SurfacePressure + quantity.AbsolutePressure(l.Density.SI()*Gravity*l.StaticHead.SI()) - quantity.AbsolutePressure(r.PipeLoss+r.FittingsLoss)
	r.Available = quantity.PressureDifference(r.InletPressure-l.VaporPressure) - l.DissolvedAir
	r.AvailableStatic = r.Available - r.VelocityHead
	if l.Required != nil {
		margin := r.Available - *l.Required
		r.Margin = &margin
	}
	return r
}

func (r *Result) say() {
	if r.Reynolds >= laminarLimit && r.Reynolds <= turbulentLimit {
		r.OutsideRange = true
		r.Warnings = append(r.Warnings, msgCritical.With(r.Reynolds))
	}
	if r.Reynolds > 0 && r.Reynolds < laminarLimit && r.FittingsLoss.SI() > 0.1*r.PipeLoss.SI() {
		r.Warnings = append(r.Warnings, msgLaminarK.With())
	}
	switch {
	case r.Available <= 0:
		r.Warnings = append(r.Warnings, msgBoils.With())
	case r.Margin != nil && *r.Margin < 0:
		r.Warnings = append(r.Warnings, msgShort.With(-*r.Margin))
	case r.Margin != nil && *r.Margin < reserve:
		r.Warnings = append(r.Warnings, msgThin.With(*r.Margin))
	}
}

// margin is what is left above what is required; nothing required counts as
// zero.
func (r Result) margin() float64 {
	if r.Margin != nil {
		return r.Margin.SI()
	}
	return r.Available.SI()
}

// FromGauge returns the net positive inlet pressure (total) that a gauge on
// the suction side shows while the pump runs.
//
//	NPIPA = p_gauge + p_ambient − p_vapour + ρV²/2 + ρ g z
//
// z is the height of the gauge above the pump's centre.
// Source: as At; the form of a worked example on a stored page of practice.
func FromGauge(reading quantity.PressureDifference, ambient quantity.AbsolutePressure, gaugeHeight quantity.Length, velocity quantity.Speed, density quantity.Density, vapor quantity.AbsolutePressure) (quantity.PressureDifference, error) {
	for _, v := range []named{{"gauge", reading.SI()}, {"gauge_height", gaugeHeight.SI()}, {"velocity", velocity.SI()}} {
		if err := finite(v.field, v.value); err != nil {
			return 0, err
		}
	}
	if err := positive("density", density.SI()); err != nil {
		return 0, err
	}
	if err := notNegative("vapor_pressure", vapor.SI()); err != nil {
		return 0, err
	}
	if absolute := reading.SI() + ambient.SI(); !(absolute > 0) || math.IsInf(absolute, 0) {
		return 0, say.Refuse("gauge", reading.String(), msgMorePositive.With(), msgMoreHead.With())
	}
	v := velocity.SI()
	return quantity.PressureDifference(reading.SI() + ambient.SI() - vapor.SI() + density.SI()*(v*v/2+Gravity*gaugeHeight.SI())), nil
}
