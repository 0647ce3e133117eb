package liquid

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgShare      = say.Define("liquid.share", "the share must lie between 0 and 1")
	msgOnlyOil    = say.Define("liquid.blend_petroleum", "only petroleum liquids are blended by calculation: water, glycols and syrups mix in ways that must be measured")
	msgMeasureMix = say.Define("liquid.measure_mix", "measure the mixture and give its points")
)

// Blend returns the mixture of two petroleum liquids, with the volume share of
// the first. The points are made at the two ends of the range that both
// liquids cover.
//
//	W = φ W₁ + (1 − φ) W₂,  W = log₁₀ log₁₀ Z (ASTM D341)
//	ρ = φ ρ₁ + (1 − φ) ρ₂
//
//	φ  share by volume of the first liquid  0 … 1
//
// Valid for petroleum products that dissolve in each other; error of a few per
// cent, more for very unlike liquids. Others are refused: measure the mixture.
// Source: ASTM D7152, procedure by volume, from memory.
func Blend(name string, first, second *Liquid, share float64) (*Liquid, error) {
	if !(share >= 0 && share <= 1) {
		return nil, say.Refuse("share", "", msgShare.With(), say.Message{})
	}
	for _, l := range []*Liquid{first, second} {
		if l.line == nil {
			return nil, say.Refuse("family", string(l.Family), msgOnlyOil.With(), msgMeasureMix.With())
		}
	}
	low1, high1 := first.Range()
	low2, high2 := second.Range()
	low, high := max(low1, low2), min(high1, high2)
	if high-low < 20 {
		low, high = min(low1, low2), max(high1, high2)
	}
	mixed := Liquid{Name: name, Family: Petroleum, Source: "blend, ASTM D7152 by volume",
		Typical: first.Typical || second.Typical, Invented: first.Invented || second.Invented,
		Lubricates: first.Lubricates && second.Lubricates}
	for _, t := range []quantity.Temperature{low, high} {
		a, err := first.At(t)
		if err != nil {
			return nil, err
		}
		b, err := second.At(t)
		if err != nil {
			return nil, err
		}
		w := share*waltherW(a.Kinematic) + (1-share)*waltherW(b.Kinematic)
		nu := FromWaltherZ(math.Pow(10, math.Pow(10, w)))
		rho := quantity.Density(share*a.Density.SI() + (1-share)*b.Density.SI())
		mixed.Points = append(mixed.Points, Point{t, nu})
		mixed.Density = append(mixed.Density, DensityPoint{t, rho})
	}
	return New(mixed)
}
