package suction

import (
	"fmt"
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgNotFinite    = say.Define("suction.not_finite", "the number must be finite")
	msgMorePositive = say.Define("suction.more_positive", "the value must be above zero")
	msgNotNegative  = say.Define("suction.not_negative", "the value must not be below zero")
	msgTooRough     = say.Define("suction.too_rough", "the roughness is above a twentieth of the bore")
	msgCheckBore    = say.Define("suction.check_bore", "check bore and roughness and their units")
)

// Limits of the Reynolds number of pipe flow: laminar below the first,
// turbulent above the second, in between either.
const (
	laminarLimit   = 2100
	turbulentLimit = 4000
)

// FrictionFactor returns Darcy's friction factor of a round pipe.
//
//	Re < 2100         f = 64/Re
//	2100 … 4000       the larger of both (critical zone)
//	Re > 4000         1/√f = −2 log₁₀(ε/(3.7 D) + 2.51/(Re √f))
//
//	Re    Reynolds number       –   > 0
//	ε/D   relative roughness    –   0 … 0.05
//
// Colebrook–White is solved by Newton's method in 1/√f to the last digits.
// Source: Hydraulic Institute Engineering Data Book, equations 3.A.2, 3.A.3
// and 3.A.5.
func FrictionFactor(reynolds, relativeRoughness float64) (float64, error) {
	if err := positive("reynolds", reynolds); err != nil {
		return 0, err
	}
	if err := notNegative("roughness", relativeRoughness); err != nil {
		return 0, err
	}
	if relativeRoughness > 0.05 {
		return 0, say.Refuse("roughness", fmt.Sprint(relativeRoughness), msgTooRough.With(), msgCheckBore.With())
	}
	return friction(reynolds, relativeRoughness), nil
}

func friction(reynolds, rough float64) float64 {
	laminar := 64 / reynolds
	if reynolds < laminarLimit {
		return laminar
	}
	turbulent := colebrook(reynolds, rough)
	if reynolds < turbulentLimit {
		return math.Max(laminar, turbulent)
	}
	return turbulent
}

func colebrook(reynolds, rough float64) float64 {
	x := 1 / math.Sqrt(explicitFriction(reynolds, rough))
	for range 20 {
		inside := rough/3.7 + 2.51*x/reynolds
		value := x + 2*math.Log10(inside)
		slope := 1 + 2*2.51/(reynolds*inside*math.Ln10)
		step := value / slope
		x -= step
		if math.Abs(step) < 1e-14*x {
			break
		}
	}
	return 1 / (x * x)
}

// explicitFriction is the explicit form of the turbulent friction factor, with
// which Newton's method starts: f = 0.25/[log₁₀(ε/(3.7 D) + 5.74/Re^0.9)]²,
// Hydraulic Institute Engineering Data Book, equation 3.A.3.
func explicitFriction(reynolds, rough float64) float64 {
	l := math.Log10(rough/3.7 + 5.74/math.Pow(reynolds, 0.9))
	return 0.25 / (l * l)
}

// PowerLawFlow returns the laminar flow of a power-law liquid through a round
// pipe.
//
//	Q = π R³ n/(3n + 1) [R Δp/(2 K L)]^(1/n)
//
//	R   radius of the bore  m      > 0
//	L   length              m      > 0
//	Δp  pressure loss       Pa     > 0
//	K   consistency         Pa·sⁿ  > 0
//	n   flow index          –      > 0
//
// Source: Bird, Stewart and Lightfoot, Transport Phenomena, from memory.
func PowerLawFlow(bore, length quantity.Length, loss quantity.PressureDifference, consistency, index float64) (quantity.Flow, error) {
	for _, v := range []named{{"bore", bore.SI()}, {"length", length.SI()}, {"loss", loss.SI()}, {"consistency", consistency}, {"n", index}} {
		if err := positive(v.field, v.value); err != nil {
			return 0, err
		}
	}
	r := bore.SI() / 2
	return quantity.Flow(math.Pi * r * r * r * index / (3*index + 1) * math.Pow(r*loss.SI()/(2*consistency*length.SI()), 1/index)), nil
}

// PowerLawLoss is the inverse of PowerLawFlow: the pressure loss of a flow.
//
//	Δp = (2 K L/R) [Q (3n + 1)/(π R³ n)]ⁿ
func PowerLawLoss(bore, length quantity.Length, flow quantity.Flow, consistency, index float64) (quantity.PressureDifference, error) {
	for _, v := range []named{{"bore", bore.SI()}, {"length", length.SI()}, {"flow", flow.SI()}, {"consistency", consistency}, {"n", index}} {
		if err := positive(v.field, v.value); err != nil {
			return 0, err
		}
	}
	r := bore.SI() / 2
	return quantity.PressureDifference(2 * consistency * length.SI() / r * math.Pow(flow.SI()*(3*index+1)/(math.Pi*r*r*r*index), index)), nil
}

type named struct {
	field string
	value float64
}

func positive(field string, v float64) error {
	if err := finite(field, v); err != nil {
		return err
	}
	if v <= 0 {
		return say.Refuse(field, fmt.Sprint(v), msgMorePositive.With(), say.Message{})
	}
	return nil
}

func notNegative(field string, v float64) error {
	if err := finite(field, v); err != nil {
		return err
	}
	if v < 0 {
		return say.Refuse(field, fmt.Sprint(v), msgNotNegative.With(), say.Message{})
	}
	return nil
}

func finite(field string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return say.Refuse(field, fmt.Sprint(v), msgNotFinite.With(), say.Message{})
	}
	return nil
}
