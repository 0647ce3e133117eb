package liquid

import (
	"fmt"

	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameTemperature = say.Define("liquid.name_temperature", "temperature of the liquid")
	namePoint       = say.Define("liquid.name_point", "viscosity at {temperature:temperature}")
	nameIntercept   = say.Define("liquid.name_intercept", "intercept of the viscosity line")
	nameSlope       = say.Define("liquid.name_slope", "slope of the viscosity line")
	nameKinematic   = say.Define("liquid.name_kinematic", "kinematic viscosity")
	nameDynamic     = say.Define("liquid.name_dynamic", "dynamic viscosity")
	nameDensity     = say.Define("liquid.name_density", "density")
	nameDensityAt   = say.Define("liquid.name_density_at", "density at {temperature:temperature}")
	nameVapor       = say.Define("liquid.name_vapor", "vapour pressure")
	nameWater       = say.Define("liquid.name_water", "water")
	namePressure    = say.Define("liquid.name_pressure", "pressure of the liquid")
)

const sourceWalther = "ASTM D341"

// Working returns how density and viscosity came about.
func (s *State) Working() *working.Node {
	t := working.Leaf("liquid.temperature", nameTemperature.With(), "T", s.Temperature, "temperature")
	if s.Liquid.Family == IsWater {
		density := working.Result("liquid.density", nameDensity.With(), "ρ", s.Density, "IAPWS-IF97 region 1", "IAPWS-IF97", t)
		dynamic := working.Result("liquid.dynamic", nameDynamic.With(), "μ", s.Dynamic, "μ₀(T)·μ₁(T, ρ)", "IAPWS R12-08", t, density)
		return working.Result("liquid.kinematic", nameKinematic.With(), "ν", s.Kinematic, "ν = μ/ρ", "definition", dynamic, density)
	}
	kinematic := working.Result("liquid.kinematic", nameKinematic.With(), "ν", s.Kinematic, "", "", append([]*working.Node{t}, s.Liquid.pointNodes()...)...)
	if line := s.Liquid.line; line != nil {
		kinematic.Equation, kinematic.Source = "log₁₀ log₁₀ Z = A − B log₁₀ T", sourceWalther
		a, b := line.nodes(s.Liquid.pointNodes())
		kinematic.Inputs = []*working.Node{t, a, b}
	} else {
		kinematic.Equation, kinematic.Source = "ln ν linear in T between the points", "common practice, no source"
	}
	density := working.Result("liquid.density", nameDensity.With(), "ρ", s.Density, "linear in T, or ρ₀/(1 + β(T − T₀))", "definition of the expansion", append([]*working.Node{t}, s.Liquid.densityNodes()...)...)
	return working.Result("liquid.dynamic", nameDynamic.With(), "μ", s.Dynamic, "μ = ν ρ", "definition", kinematic, density)
}

// nodes returns intercept and slope with the points below them.
func (w Walther) nodes(points []*working.Node) (a, b *working.Node) {
	a = &working.Node{ID: "liquid.intercept_a", Name: nameIntercept.With(), Symbol: "A", Value: w.A, Equation: "least squares of log₁₀ log₁₀ Z over log₁₀ T", Source: sourceWalther, Inputs: points}
	b = &working.Node{ID: "liquid.slope_b", Name: nameSlope.With(), Symbol: "B", Value: w.B, Equation: a.Equation, Source: sourceWalther, Inputs: points}
	return a, b
}

func (l *Liquid) pointNodes() []*working.Node {
	nodes := make([]*working.Node, len(l.Points))
	for i, p := range l.Points {
		nodes[i] = working.Leaf(fmt.Sprintf("liquid.point_%d", i), namePoint.With(p.Temperature), "ν", p.Viscosity, fmt.Sprintf("points[%d]", i)).From(l.Source)
	}
	return nodes
}

func (l *Liquid) densityNodes() []*working.Node {
	nodes := make([]*working.Node, len(l.Density))
	for i, p := range l.Density {
		nodes[i] = working.Leaf(fmt.Sprintf("liquid.density_%d", i), nameDensityAt.With(p.Temperature), "ρ", p.Density, "density").From(l.Source)
	}
	return nodes
}

// Working returns how the properties of water came about.
func (w *Water) Working() *working.Node {
	t := working.Leaf("liquid.temperature", nameTemperature.With(), "T", w.Temperature, "temperature")
	p := working.Leaf("liquid.pressure", namePressure.With(), "p", w.Pressure, "pressure")
	vapor := working.Result("liquid.vapor_pressure", nameVapor.With(), "p_s", w.VaporPressure, "p_s(T)", "IAPWS-IF97, region 4, equation 30", t)
	density := working.Result("liquid.density", nameDensity.With(), "ρ", w.Density, "1/ρ = (R T/p) π γ_π", "IAPWS-IF97, region 1, equation 7", t, p)
	dynamic := working.Result("liquid.dynamic", nameDynamic.With(), "μ", w.Dynamic, "μ = μ₀(T̄) μ₁(T̄, ρ̄)", "IAPWS R12-08, equations 11 and 12", t, density)
	return &working.Node{ID: "liquid.water", Name: nameWater.With(), Text: "IAPWS", Equation: "IAPWS formulations", Source: "IAPWS-IF97 and IAPWS R12-08",
		Inputs: []*working.Node{density, dynamic, vapor}}
}
