package bushing

import (
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameDiameter   = say.Define("bushing.diameter", "journal diameter")
	nameLength     = say.Define("bushing.length", "bushing length")
	nameClearance  = say.Define("bushing.clearance", "diametral clearance")
	nameLoad       = say.Define("bushing.load", "load")
	nameSpeed      = say.Define("bushing.speed", "speed of rotation")
	nameViscosity  = say.Define("bushing.viscosity", "dynamic viscosity of the liquid")
	namePressure   = say.Define("bushing.projected_pressure", "pressure on the projected area")
	nameSurface    = say.Define("bushing.surface_speed", "surface speed")
	namePV         = say.Define("bushing.pv", "pressure times surface speed")
	nameLimit      = say.Define("bushing.pv_limit", "published limit of PV")
	nameSommerfeld = say.Define("bushing.sommerfeld", "Sommerfeld number")
	nameEcc        = say.Define("bushing.eccentricity", "eccentricity ratio")
	nameMinFilm    = say.Define("bushing.min_film", "thinnest film")
	nameFriction   = say.Define("bushing.friction", "coefficient of friction")
	namePower      = say.Define("bushing.power_loss", "friction power")
	nameSideFlow   = say.Define("bushing.side_flow", "flow out of the ends")
	nameRegime     = say.Define("bushing.regime", "how the load is carried")
)

const (
	bookPV       = "Mott, Machine Elements in Mechanical Design, ch. 16 (projected area)"
	sourceFilm   = "Reynolds equation of the finite journal bearing, solved here on a 480 x 48 mesh"
	enteredInput = "input"
)

// Working builds the tree of reasons of a running bushing.
func (run Running) Working() *working.Node {
	d := working.Leaf("bushing.diameter", nameDiameter.With(), "d", run.Diameter, enteredInput)
	l := working.Leaf("bushing.length", nameLength.With(), "l", run.Length, enteredInput)
	c := working.Leaf("bushing.clearance", nameClearance.With(), "2c", run.DiametralClearance, enteredInput)
	w := working.Leaf("bushing.load", nameLoad.With(), "W", run.Load, enteredInput)
	n := working.Leaf("bushing.speed", nameSpeed.With(), "N", run.Speed, enteredInput)
	mu := working.Leaf("bushing.viscosity", nameViscosity.With(), "µ", run.Viscosity, enteredInput)
	p := working.Result("bushing.projected_pressure", namePressure.With(), "P", run.ProjectedPressure, "P = W/(l·d)", bookPV, w, l, d)
	v := working.Result("bushing.surface_speed", nameSurface.With(), "V", run.SurfaceSpeed, "V = π·d·N", "geometry", d, n)
	pv := working.Result("bushing.pv", namePV.With(), "PV", run.PV, "PV = P·V", bookPV, p, v)
	if m := run.Material; m != nil {
		pv.Inputs = append(pv.Inputs, working.Leaf("bushing.pv_limit", nameLimit.With(), "PV limit", m.PV, "").From(m.Source))
	}
	s := &working.Node{ID: "bushing.sommerfeld", Name: nameSommerfeld.With(), Symbol: "S", Value: run.Sommerfeld,
		Equation: "S = (d/2c)²·µN/P", Source: "Raimondi and Boyd, ASLE Trans. 1 (1958) 159", Inputs: []*working.Node{d, c, mu, n, p}}
	root := &working.Node{ID: "bushing.regime", Name: nameRegime.With(), Text: string(run.Regime),
		Equation: "h₀ over combined roughness: 3 and above full film, below 1 boundary", Source: "common practice", Inputs: []*working.Node{pv, s}}
	if !run.Carries {
		return root
	}
	eps := &working.Node{ID: "bushing.eccentricity", Name: nameEcc.With(), Symbol: "ε", Value: run.Film.Eccentricity,
		Equation: "S(ε, l/d) = S", Source: sourceFilm, Inputs: []*working.Node{s, l, d}}
	film := working.Result("bushing.min_film", nameMinFilm.With(), "h₀", run.MinFilm, "h₀ = c(1 − ε)", "geometry", eps, c)
	f := &working.Node{ID: "bushing.friction", Name: nameFriction.With(), Symbol: "f", Value: run.Friction,
		Equation: "f = (c/r)·[(r/c)f](ε, l/d)", Source: sourceFilm, Inputs: []*working.Node{eps, c, d}}
	power := working.Result("bushing.power_loss", namePower.With(), "P_f", run.PowerLoss, "P_f = f·W·V", "mechanics", f, w, v)
	side := working.Result("bushing.side_flow", nameSideFlow.With(), "Q_s", run.SideFlow, "Q_s = (Q_s/Q)(ε, l/d)·[Q/(rcNl)](ε, l/d)·rcNl", sourceFilm, eps, c, d, n, l)
	root.Inputs = append(root.Inputs, film, power, side)
	return root
}
