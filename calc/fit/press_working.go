package fit

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameMating       = say.Define("fit.name_mating", "mating diameter")
	nameInterference = say.Define("fit.name_interference", "diametral interference")
	nameBore         = say.Define("fit.name_bore", "bore of the sleeve before pressing")
	nameOuter        = say.Define("fit.name_outer", "outside of the housing")
	nameLength       = say.Define("fit.name_length", "engaged length")
	nameFriction     = say.Define("fit.name_friction", "coefficient of friction while pressing")
	nameModulus      = say.Define("fit.name_modulus", "modulus of elasticity of {material}")
	namePoisson      = say.Define("fit.name_poisson", "Poisson's ratio of {material}")
	nameExpansion    = say.Define("fit.name_expansion", "thermal expansion of {material}")
	nameBench        = say.Define("fit.name_bench", "bench temperature")
	nameService      = say.Define("fit.name_service", "service temperature")
	namePressure     = say.Define("fit.name_pressure", "contact pressure")
	nameHotPressure  = say.Define("fit.name_hot_pressure", "contact pressure in service")
	nameHot          = say.Define("fit.name_hot", "interference in service")
	nameClosure      = say.Define("fit.name_closure", "closure of the bore")
	nameHotClosure   = say.Define("fit.name_hot_closure", "closure of the bore in service")
	nameAfter        = say.Define("fit.name_after", "bore after pressing")
	nameForce        = say.Define("fit.name_force", "press force at the end of the stroke")
	nameHousingHoop  = say.Define("fit.name_housing_hoop", "hoop stress of the housing at the mating diameter")
	nameSleeveBore   = say.Define("fit.name_sleeve_bore", "hoop stress of the sleeve at its bore")
	nameSleeveFace   = say.Define("fit.name_sleeve_face", "hoop stress of the sleeve at the mating diameter")
	nameLoose        = say.Define("fit.name_loose", "rise above bench temperature at which the fit is loose")
	namePress        = say.Define("fit.name_press", "press fit")
)

const refPress = "input"

// Working tells how each result follows from the inputs.
func (r PressResult) Working() *working.Node {
	in := r.Input
	d := working.Leaf("press.mating_diameter", nameMating.With(), "d", in.MatingDiameter, refPress)
	delta := working.Leaf("press.interference", nameInterference.With(), "δ", in.Interference, refPress)
	bore := working.Leaf("press.sleeve_bore", nameBore.With(), "d_i", in.SleeveBore, refPress)
	outer := working.Leaf("press.housing_outer", nameOuter.With(), "D", in.HousingOuter, refPress)
	if in.HousingLarge {
		outer = &working.Node{ID: "press.housing_outer", Name: nameOuter.With(), Symbol: "D", Text: "large", Ref: refPress}
	}
	stiffness := []*working.Node{
		working.Leaf("press.sleeve_modulus", nameModulus.With(in.Sleeve.Name), "E_s", in.Sleeve.YoungsModulus.Value, "").From(in.Sleeve.YoungsModulus.Source),
		working.Number("press.sleeve_poisson", namePoisson.With(in.Sleeve.Name), "ν_s", in.Sleeve.Poisson.Value, "").From(in.Sleeve.Poisson.Source),
		working.Leaf("press.housing_modulus", nameModulus.With(in.Housing.Name), "E_h", in.Housing.YoungsModulus.Value, "").From(in.Housing.YoungsModulus.Source),
		working.Number("press.housing_poisson", namePoisson.With(in.Housing.Name), "ν_h", in.Housing.Poisson.Value, "").From(in.Housing.Poisson.Source),
	}
	rings := append([]*working.Node{d, bore, outer}, stiffness...)
	const pressureEquation = "p = δ / (d · [((D²+d²)/(D²−d²)+ν_h)/E_h + ((d²+d_i²)/(d²−d_i²)−ν_s)/E_s])"
	pressure := working.Result("press.contact_pressure", namePressure.With(), "p", r.Cold.ContactPressure, pressureEquation, sourceLame, append([]*working.Node{delta}, rings...)...)
	root := &working.Node{ID: "press", Name: namePress.With(), Text: in.Sleeve.Name + " in " + in.Housing.Name, Equation: "see the results below", Source: sourceLame}
	add := func(n *working.Node) { root.Inputs = append(root.Inputs, n) }
	add(pressure)
	add(working.Result("press.housing_hoop", nameHousingHoop.With(), "σ_h", r.Cold.HousingHoop, "σ_h = p (D²+d²)/(D²−d²)", sourceLame, pressure, d, outer))
	add(working.Result("press.sleeve_hoop_interface", nameSleeveFace.With(), "σ_s", r.Cold.SleeveHoopInterface, "σ_s = −p (d²+d_i²)/(d²−d_i²)", sourceLame, pressure, d, bore))
	if in.SleeveBore > 0 {
		closure := working.Result("press.bore_closure", nameClosure.With(), "Δd_i", r.Cold.BoreClosure, "Δd_i = 2 p d_i d²/(E_s (d²−d_i²))", sourceLame, pressure, bore, d, stiffness[0])
		add(working.Result("press.sleeve_hoop_bore", nameSleeveBore.With(), "σ_i", r.Cold.SleeveHoopBore, "σ_i = −2 p d²/(d²−d_i²)", sourceLame, pressure, d, bore))
		add(working.Result("press.bore_after_press", nameAfter.With(), "", r.BoreAfterPress, "d_i − Δd_i", sourceLame, bore, closure))
	}
	if in.Length > 0 {
		add(working.Result("press.force", nameForce.With(), "F", r.PressForce, "F = π d L p µ", "Coulomb friction on the mating face", d,
			working.Leaf("press.length", nameLength.With(), "L", in.Length, refPress), pressure,
			working.Number("press.friction", nameFriction.With(), "µ", in.Friction, refPress)))
	}
	r.addHot(add, d, delta, bore, rings)
	return root
}

func (r PressResult) addHot(add func(*working.Node), d, delta, bore *working.Node, rings []*working.Node) {
	in := r.Input
	if !in.Sleeve.Expansion.Known() || !in.Housing.Expansion.Known() {
		return
	}
	sleeve := working.Leaf("press.sleeve_expansion", nameExpansion.With(in.Sleeve.Name), "α_s", in.Sleeve.Expansion.Value, "").From(in.Sleeve.Expansion.Source)
	housing := working.Leaf("press.housing_expansion", nameExpansion.With(in.Housing.Name), "α_h", in.Housing.Expansion.Value, "").From(in.Housing.Expansion.Source)
	if r.LooseTemperatureRise != nil {
		add(working.Result("press.loose_temperature_rise", nameLoose.With(), "ΔT", quantity.TemperatureDifference(*r.LooseTemperatureRise), "ΔT = δ/((α_h − α_s) d)", "derived here", delta, housing, sleeve, d))
	}
	if r.Hot == nil {
		return
	}
	hot := working.Result("press.hot_interference", nameHot.With(), "δ_hot", r.Hot.Interference, "δ_hot = δ + (α_s − α_h) d (T_service − T_bench)", "derived here",
		delta, sleeve, housing, d, working.Leaf("press.service", nameService.With(), "T_service", in.Service, refPress), working.Leaf("press.bench", nameBench.With(), "T_bench", in.Bench, refPress))
	pressure := working.Result("press.hot_contact_pressure", nameHotPressure.With(), "p_hot", r.Hot.ContactPressure, "as p, with δ_hot; 0 when δ_hot ≤ 0", sourceLame, append([]*working.Node{hot}, rings...)...)
	add(pressure)
	if in.SleeveBore > 0 {
		add(working.Result("press.hot_bore_closure", nameHotClosure.With(), "", r.Hot.BoreClosure, "2 p_hot d_i d²/(E_s (d²−d_i²))", sourceLame, pressure, bore, d))
	}
}
