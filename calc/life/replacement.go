package life

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"

	"pumpwright/calc/say"
)

// Replacement is the best age at which to replace a part before it fails.
type Replacement struct {
	Age          *float64 // nil: run to failure is cheapest
	CostPerHour  float64  // at that age
	RunToFailure float64  // cost per hour without planned replacement
}

var (
	msgCost      = say.Define("life.cost", "a cost is a finite number above 0")
	msgWeibull   = say.Define("life.weibull_only", "this is worked out for a Weibull life only")
	msgBetaAbove = say.Define("life.beta_above_one", "with beta {beta:number} a machine does not get worse, so no interval is best")
	msgAboveOne  = say.Define("life.above_one", "beta above 1")
)

// BestAge returns the age of replacement with the least cost per hour when a
// planned replacement costs planned and a failure costs failure:
//
//	C(T) = (planned·R(T) + failure·F(T)) / ∫₀ᵀ R dt
//	least where h(T)·∫₀ᵀ R dt − F(T) = planned/(failure − planned)
//
// There is none when failure ≤ planned or β ≤ 1.
//
// Source: Barlow & Proschan 1965, ch. 4.
func BestAge(m Model, planned, failure float64) (*Replacement, error) {
	if m.Distribution == Lognormal {
		return nil, say.Refuse("distribution", string(m.Distribution), msgWeibull.With(), say.Message{})
	}
	if err := checkModel(m, 1); err != nil {
		return nil, err
	}
	for field, cost := range map[string]float64{"planned": planned, "failure": failure} {
		if !(cost > 0) || !finite(cost) {
			return nil, say.Refuse(field, fmt.Sprint(cost), msgCost.With(), say.Message{})
		}
	}
	r := &Replacement{RunToFailure: failure / m.Mean()}
	r.CostPerHour = r.RunToFailure
	if failure <= planned || m.Shape <= 1 {
		return r, nil
	}
	want := planned / (failure - planned)
	g := func(x float64) float64 { // x = T/η
		return m.Shape*math.Pow(x, m.Shape-1)*meanUpTo(m.Shape, x) + math.Expm1(-math.Pow(x, m.Shape)) - want
	}
	low, high := 0.0, 1.0
	for g(high) < 0 {
		if low, high = high, high*2; math.Pow(high, m.Shape) > 700 {
			return r, nil // so late that none lives to see it
		}
	}
	for range 200 {
		if mid := (low + high) / 2; g(mid) < 0 {
			low = mid
		} else {
			high = mid
		}
	}
	age := m.Scale * (low + high) / 2
	r.Age = &age
	r.CostPerHour = (planned*m.Reliability(age) + failure*m.Failed(age)) / (m.Scale * meanUpTo(m.Shape, age/m.Scale))
	return r, nil
}

// meanUpTo returns ∫₀ˣ exp(−u^β) du = Γ(1 + 1/β)·P(1/β, x^β).
func meanUpTo(beta, x float64) float64 {
	return math.Gamma(1+1/beta) * mathext.GammaIncReg(1/beta, math.Pow(x, beta))
}

// BestInterval returns the best interval of renewal when failures between are
// only patched (minimal repair) at cost repair each:
//
//	T = η·(planned/(repair·(β − 1)))^(1/β)
//
// Source: Barlow & Proschan 1965, ch. 4.
func BestInterval(m Model, planned, repair float64) (float64, error) {
	if m.Distribution == Lognormal {
		return 0, say.Refuse("distribution", string(m.Distribution), msgWeibull.With(), say.Message{})
	}
	if err := checkModel(m, 1); err != nil {
		return 0, err
	}
	for field, cost := range map[string]float64{"planned": planned, "repair": repair} {
		if !(cost > 0) || !finite(cost) {
			return 0, say.Refuse(field, fmt.Sprint(cost), msgCost.With(), say.Message{})
		}
	}
	if m.Shape <= 1 {
		return 0, say.Refuse("shape", fmt.Sprint(m.Shape), msgBetaAbove.With(m.Shape), msgAboveOne.With())
	}
	return m.Scale * math.Pow(planned/(repair*(m.Shape-1)), 1/m.Shape), nil
}
