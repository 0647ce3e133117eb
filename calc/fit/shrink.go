package fit

import (
	"math"
	"sort"

	"pumpwright/calc/material"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

// ShrinkInput asks for the temperature at which a part drops in freely.
type ShrinkInput struct {
	MatingDiameter quantity.Length
	Interference   quantity.Length // diametral, at ambient temperature
	Clearance      quantity.Length // wanted while assembling, diametral
	Material       material.Material
	Ambient        quantity.Temperature
	Cool           bool                           // cool the inner part instead of heating the outer one
	Handling       quantity.TemperatureDifference // lost between oven and bore
}

// ShrinkResult is the answer to a ShrinkInput.
type ShrinkResult struct {
	Input           ShrinkInput
	TemperatureRise quantity.TemperatureDifference // below zero when cooling
	Temperature     quantity.Temperature
	Possible        bool // a temperature that the usual coolant reaches, or a heat that harms nothing
	Warnings        []say.Message
	Cautions        []say.Message
}

// Boiling nitrogen at 1 atm and subliming carbon dioxide: published constants.
// The limit for heating is common practice, no source.
const (
	nitrogenBoils quantity.Temperature = 77.36
	dryIce        quantity.Temperature = 194.7
	heatLimit     quantity.Temperature = 273.15 + 350
	temperLimit   quantity.Temperature = 273.15 + 200
	elastomers    quantity.Temperature = 273.15 + 120
)

var (
	warnNitrogen = say.Define("fit.warn_nitrogen", "{temperature:temperature} is colder than boiling nitrogen: cooling alone does not do it; heat the outer part too, or ask less clearance")
	warnDryIce   = say.Define("fit.warn_dry_ice", "{temperature:temperature} is colder than dry ice (−78.5 °C): it wants liquid nitrogen, or heating the outer part too")
	warnHeat     = say.Define("fit.warn_heat", "{temperature:temperature} is hotter than parts of a pump should be made for a fit: cool the inner part too, or ask less clearance")
	warnTemper   = say.Define("fit.warn_temper", "over 200 °C hardened steel loses its temper and finished parts warp: ask whether {material} may be heated so far")
	warnRubber   = say.Define("fit.warn_rubber", "take out rubber, seals, grease and bearings before heating: {temperature:temperature} harms them")
	warnBrittle  = say.Define("fit.warn_brittle", "{material} is brittle: change its temperature slowly and evenly, never in one plunge")

	cautionHeat = say.Define("fit.caution_heat", "Hot parts burn skin and light vapours: dry, clean parts without solvent, heat evenly in an oven or by induction, no flame in a shop with flammable liquid; gloves and tongs. Never heat a closed hollow part.")
	cautionCold = say.Define("fit.caution_cold", "Dry ice and liquid nitrogen burn skin and displace the air: insulated gloves, face shield, ventilated room, never in a closed vessel. Cold steel is brittle.")
)

// Shrink returns the temperature at which a heated outer part, or a cooled
// inner part, clears the other.
//
//	T = T₀ ± ((δ + c)/(d α) + handling)
//
//	d   mating diameter        m    > 0
//	δ   diametral interference m    > 0
//	c   clearance to assemble  m    ≥ 0
//	α   expansion              1/K  > 0
//
// Valid: expansion taken as constant; it falls in the cold (at −196 °C metals
// shrink some 20 to 25 % less than this: common practice, no source), so leave
// clearance. Errors: a Problem naming the field; a temperature below absolute
// zero.
// Source: linear thermal expansion.
// Checked by: TestShrinkCases.
func Shrink(in ShrinkInput) (ShrinkResult, error) {
	switch {
	case !(in.MatingDiameter > 0) || math.IsInf(float64(in.MatingDiameter), 0):
		return ShrinkResult{}, say.Refuse("mating_diameter", in.MatingDiameter.String(), msgNotPositive.With(), say.Message{})
	case !(in.Interference > 0) || math.IsInf(float64(in.Interference), 0):
		return ShrinkResult{}, say.Refuse("interference", in.Interference.String(), msgNoInterference.With(), msgInterferenceIs.With())
	case !(in.Clearance >= 0) || math.IsInf(float64(in.Clearance), 0):
		return ShrinkResult{}, say.Refuse("clearance", in.Clearance.String(), msgNotNegative.With(), say.Message{})
	case !(in.Handling >= 0) || math.IsInf(float64(in.Handling), 0):
		return ShrinkResult{}, say.Refuse("handling_loss", in.Handling.String(), msgNotNegative.With(), say.Message{})
	case !(in.Ambient > 0) || math.IsInf(float64(in.Ambient), 0):
		return ShrinkResult{}, say.Refuse("ambient", in.Ambient.String(), msgNotPositive.With(), say.Message{})
	}
	alpha, err := in.Material.ThermalExpansion()
	if err != nil {
		return ShrinkResult{}, say.In("material", err)
	}
	if !(alpha > 0) {
		return ShrinkResult{}, say.Refuse("material", alpha.String(), msgNotPositive.With(), say.Message{})
	}
	rise := float64(in.Interference+in.Clearance)/(float64(in.MatingDiameter)*float64(alpha)) + float64(in.Handling)
	r := ShrinkResult{Input: in, Possible: true}
	if in.Cool {
		rise = -rise
	}
	r.TemperatureRise = quantity.TemperatureDifference(rise)
	r.Temperature = in.Ambient + quantity.Temperature(rise)
	if r.Temperature <= 0 {
		return ShrinkResult{}, say.Refuse("method", "cool", msgBelowZero.With(), msgHeatInstead.With())
	}
	r.speak()
	return r, nil
}

var (
	msgBelowZero   = say.Define("fit.below_zero", "this shrinkage would need a temperature below absolute zero")
	msgHeatInstead = say.Define("fit.heat_instead", "heat the outer part instead, or ask less clearance")
)

func (r *ShrinkResult) speak() {
	m := r.Input.Material
	warn := func(message say.Message) { r.Warnings = append(r.Warnings, message) }
	if r.Input.Cool {
		switch {
		case r.Temperature < nitrogenBoils:
			r.Possible = false
			warn(warnNitrogen.With(r.Temperature))
		case r.Temperature < dryIce:
			warn(warnDryIce.With(r.Temperature))
		}
		r.Cautions = append(r.Cautions, cautionCold.With())
	} else {
		if r.Temperature > heatLimit {
			r.Possible = false
			warn(warnHeat.With(r.Temperature))
		} else if r.Temperature > temperLimit {
			warn(warnTemper.With(m.Name))
		}
		if r.Temperature > elastomers {
			warn(warnRubber.With(r.Temperature))
		}
		r.Cautions = append(r.Cautions, cautionHeat.With())
	}
	if m.Brittle {
		warn(warnBrittle.With(m.Name))
	}
}

var (
	nameClearance = say.Define("fit.name_assembly_clearance", "clearance wanted while assembling")
	nameAmbient   = say.Define("fit.name_ambient", "temperature of the room and of the other part")
	nameHandling  = say.Define("fit.name_handling", "temperature lost on the way")
	nameRise      = say.Define("fit.name_rise", "change of temperature")
	nameAssembly  = say.Define("fit.name_assembly", "temperature of the part")
)

// Working tells how the temperature follows from the inputs.
func (r ShrinkResult) Working() *working.Node {
	in := r.Input
	sign := "+"
	if in.Cool {
		sign = "−"
	}
	rise := working.Result("shrink.temperature_rise", nameRise.With(), "ΔT", r.TemperatureRise, "ΔT = "+sign+"((δ + c)/(d α) + handling)", "linear thermal expansion",
		working.Leaf("shrink.interference", nameInterference.With(), "δ", in.Interference, refPress),
		working.Leaf("shrink.clearance", nameClearance.With(), "c", in.Clearance, refPress),
		working.Leaf("shrink.mating_diameter", nameMating.With(), "d", in.MatingDiameter, refPress),
		working.Leaf("shrink.expansion", nameExpansion.With(in.Material.Name), "α", in.Material.Expansion.Value, "").From(in.Material.Expansion.Source),
		working.Leaf("shrink.handling", nameHandling.With(), "", in.Handling, refPress))
	return working.Result("shrink.temperature", nameAssembly.With(), "T", r.Temperature, "T = T₀ + ΔT", "linear thermal expansion",
		working.Leaf("shrink.ambient", nameAmbient.With(), "T₀", in.Ambient, refPress), rise)
}

// ramFactors are the pressure factors of the handbook formula by diameter, in.
var ramFactors = map[float64]float64{1.00: 500, 1.25: 395, 1.50: 325, 2.00: 240, 2.50: 189, 3.00: 155, 4.00: 115}

var (
	msgNoFactor  = say.Define("fit.no_factor", "the handbook table has no factor for {size:length}")
	msgFactorsAt = say.Define("fit.factors_at", "it has factors for {sizes}")
)

// HandbookRamForce returns the ram force of the handbook rule for steel parts
// with a hub about twice the bore.
//
//	P = A a F / 2   (short tons; A in in², a in in, F by diameter)
//
// Only the tabulated diameters are answered: 1, 1 1/4, 1 1/2, 2, 2 1/2, 3 and
// 4 in.
// Source: ram force table after Machinery's Handbook.
func HandbookRamForce(diameter, length, allowance quantity.Length) (quantity.Force, error) {
	const inch, shortTon = 0.0254, 2000 * 0.45359237 * 9.80665
	if !(length > 0) || math.IsInf(float64(length), 0) {
		return 0, say.Refuse("length", length.String(), msgNotPositive.With(), say.Message{})
	}
	if !(allowance > 0) || math.IsInf(float64(allowance), 0) {
		return 0, say.Refuse("interference", allowance.String(), msgNotPositive.With(), say.Message{})
	}
	var sizes []float64
	for size, factor := range ramFactors {
		sizes = append(sizes, size)
		if math.Abs(float64(diameter)/inch-size) < 1e-6 {
			area := math.Pi * size * float64(length) / inch
			return quantity.Force(area * float64(allowance) / inch * factor / 2 * shortTon), nil
		}
	}
	sort.Float64s(sizes)
	texts := make([]string, len(sizes))
	for i, size := range sizes {
		texts[i] = quantity.ShowIn(size, "in", say.Style{})
	}
	return 0, say.Refuse("mating_diameter", diameter.String(), msgNoFactor.With(diameter), msgFactorsAt.With(texts))
}
