package fit

import (
	"math"

	"pumpwright/calc/material"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgNoInterference = say.Define("fit.no_interference", "there is no interference: the part is larger in the bore than outside")
	msgTooMuch        = say.Define("fit.too_much", "an interference over 2 % of {diameter:length} is no press fit")
	msgInterferenceIs = say.Define("fit.interference_is", "give the diametral interference: outside of the inner part less bore of the outer part")
	msgBore           = say.Define("fit.bore", "the bore of the sleeve must be smaller than the mating diameter {diameter:length}")
	msgBoreIs         = say.Define("fit.bore_is", "write 0 for a solid part")
	msgHousing        = say.Define("fit.housing", "the housing must be larger than the mating diameter {diameter:length}")
	msgHousingIs      = say.Define("fit.housing_is", "give its outside diameter, or “large” for a housing many times larger")
	msgFriction       = say.Define("fit.friction", "a coefficient of friction lies above 0 and up to 1")
	msgFrictionIs     = say.Define("fit.friction_is", "steel on steel is pressed with 0.12 to 0.15 dry and 0.05 to 0.08 lubricated")

	warnStop = say.Define("fit.warn_stop",
		"STOP: {stress:stress} in the {part} at {temperature:temperature} is over the {limit:stress} at which {material} {fails}; choose less interference, a thicker wall or another material")
	warnUnknown = say.Define("fit.warn_unknown",
		"no strength is stated for {material}: its stress of {stress:stress} was not judged; compare with the maker's data sheet")
	warnMargin = say.Define("fit.warn_margin",
		"{stress:stress} in the {part} uses more than half of what {material} withstands ({limit:stress}); brittle parts want a margin of two")
	warnLoose = say.Define("fit.warn_loose",
		"the fit is loose at service temperature: the interference is gone {rise:temperature difference} above bench temperature; pin the part, or choose more interference")
	warnTighter = say.Define("fit.warn_tighter",
		"the fit tightens in service and closes the bore further, by {closure:length} in all")
	warnLooseCold = say.Define("fit.warn_loose_cold",
		"the interference is gone when the parts are cooled by {fall:temperature difference}")
	warnFriction = say.Define("fit.warn_friction",
		"friction {friction:number} is outside 0.05 to 0.2, where presses of metal and carbon parts usually lie: the force is the least sure number here")
	warnReam = say.Define("fit.warn_ream",
		"the bore closes by {closure:length}: bore the sleeve over size beforehand, or ream it after pressing, and measure it then")

	cautionPress = say.Define("fit.caution_press",
		"Press behind a shield with eye protection: parts under a press can burst or jump out. Keep hands out of the stroke.")
	cautionPressBrittle = say.Define("fit.caution_press_brittle",
		"Carbon and ceramic splinter: use a stepped arbor that guides the bore and bears on the whole face, line it up, and press in one continuous stroke without stopping or starting again. Catch dust wet, wear a dust mask; carbon dust conducts.")
	cautionCapacity = say.Define("fit.caution_capacity",
		"Watch the gauge: stop when the force rises early or well above the computed one, the part is then cocked or over size.")
)

// judge compares the stresses with the strengths and says what follows.
func (r *PressResult) judge() {
	in := r.Input
	states := []State{r.Cold}
	if r.Hot != nil {
		states = append(states, *r.Hot)
	}
	r.judgePart("sleeve", in.Sleeve, in.Sleeve.CompressiveStrength, states, func(s State) float64 {
		if in.SleeveBore > 0 {
			return math.Abs(float64(s.SleeveHoopBore))
		}
		return math.Abs(float64(s.SleeveHoopInterface))
	})
	r.judgePart("housing", in.Housing, in.Housing.TensileStrength, states, func(s State) float64 { return float64(s.HousingHoop) })
	if r.Hot != nil {
		switch {
		case r.Hot.Interference <= 0 && r.LooseTemperatureRise != nil:
			r.Warnings = append(r.Warnings, warnLoose.With(*r.LooseTemperatureRise))
		case r.Hot.BoreClosure > r.Cold.BoreClosure:
			r.Warnings = append(r.Warnings, warnTighter.With(r.Hot.BoreClosure))
		}
	}
	if rise := r.LooseTemperatureRise; rise != nil && *rise < 0 && float64(*rise) > -100 {
		r.Warnings = append(r.Warnings, warnLooseCold.With(-*rise))
	}
	if in.Length > 0 && (in.Friction < 0.05 || in.Friction > 0.2) {
		r.Warnings = append(r.Warnings, warnFriction.With(in.Friction))
	}
	if r.Cold.BoreClosure > 0 {
		r.Warnings = append(r.Warnings, warnReam.With(r.Cold.BoreClosure))
	}
}

func (r *PressResult) judgePart(part string, m material.Material, limit material.Property[quantity.Stress], states []State, stress func(State) float64) {
	worst := states[0]
	for _, s := range states {
		if stress(s) > stress(worst) {
			worst = s
		}
	}
	value := quantity.Stress(stress(worst))
	switch {
	case !limit.Known():
		r.Warnings = append(r.Warnings, warnUnknown.With(m.Name, value))
	case value > limit.Value:
		r.Judged, r.Accepted = true, false
		fails := "yields"
		if m.Brittle {
			fails = "breaks"
		}
		r.Warnings = append(r.Warnings, warnStop.With(value, part, worst.Temperature, limit.Value, m.Name, fails))
	default:
		r.Judged = true
		if m.Brittle && value > limit.Value/2 {
			r.Warnings = append(r.Warnings, warnMargin.With(value, part, m.Name, limit.Value))
		}
	}
}

func (r *PressResult) caution() {
	r.Cautions = append(r.Cautions, cautionPress.With())
	if r.Input.Sleeve.Brittle || r.Input.Housing.Brittle {
		r.Cautions = append(r.Cautions, cautionPressBrittle.With())
	}
	if r.PressForce > 0 {
		r.Cautions = append(r.Cautions, cautionCapacity.With())
	}
}
