package liquid

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgFlowIndex      = say.Define("liquid.flow_index", "the flow index must be above 0 and at most 2")
	msgFlowIndexBelow = say.Define("liquid.flow_index_below", "the flow index of this model must be above 0 and at most 1")
	msgNoModel        = say.Define("liquid.no_shear_model", "the shear model is not known")
	msgModelsAre      = say.Define("liquid.shear_models_are", "write power-law, cross or carreau")
	msgHighShear      = say.Define("liquid.high_shear", "the viscosity at high shear is not below the viscosity at rest")
)

// Model is how a liquid thins when it is sheared.
type Model string

// Show prints the word in the language of a style.
func (v Model) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Model) Message() say.Message { return say.Word("liquid", string(v)) }

// The shear models.
const (
	Newtonian Model = "newtonian"
	PowerLaw  Model = "power-law"
	Cross     Model = "cross"
	Carreau   Model = "carreau"
)

// Shear is the shear thinning of a liquid.
//
//	power-law  μ = K γ^(n−1)
//	cross      μ = μ_∞ + (μ₀ − μ_∞)/(1 + (γ/γ₀)^(1−n))
//	carreau    μ = μ_∞ + (μ₀ − μ_∞)(1 + (γ/γ₀)²)^((n−1)/2)
//
//	γ    shear rate             1/s
//	n    flow index             –      0 < n ≤ 1 (power-law up to 2)
//	K    consistency            Pa·sⁿ  at the temperature Reference
//	γ₀   shear rate of the bend 1/s
//	μ₀   viscosity at rest      Pa·s   from the viscosity over temperature
//	μ_∞  viscosity at high shear Pa·s
//
// K follows the temperature as the viscosity at rest does; n, γ₀ and μ_∞ are
// held constant.
// Source: Bird, Armstrong and Hassager, Dynamics of Polymeric Liquids, from
// memory.
type Shear struct {
	Model       Model
	Index       float64
	Consistency float64 // Pa·sⁿ, power-law only
	Reference   quantity.Temperature
	Bend        quantity.ShearRate
	HighShear   quantity.DynamicViscosity
}

func (s Shear) check() error {
	switch s.Model {
	case "", Newtonian:
		return nil
	case PowerLaw:
		if !(s.Index > 0 && s.Index <= 2) {
			return say.Refuse("shear.n", "", msgFlowIndex.With(), say.Message{})
		}
		return positive("shear.consistency", s.Consistency)
	case Cross, Carreau:
		if !(s.Index > 0 && s.Index <= 1) {
			return say.Refuse("shear.n", "", msgFlowIndexBelow.With(), say.Message{})
		}
		if s.HighShear < 0 || math.IsNaN(s.HighShear.SI()) || math.IsInf(s.HighShear.SI(), 0) {
			return positive("shear.mu_inf", s.HighShear.SI())
		}
		return positive("shear.gamma_0", s.Bend.SI())
	}
	return say.Refuse("shear.model", string(s.Model), msgNoModel.With(), msgModelsAre.With())
}

// viscosity returns the viscosity at a shear rate, for the viscosity at rest
// and the ratio of it to that at the reference temperature.
func (s Shear) viscosity(atRest, ratio, rate float64) float64 {
	inf := s.HighShear.SI()
	switch s.Model {
	case PowerLaw:
		return s.Consistency * ratio * math.Pow(rate, s.Index-1)
	case Cross:
		return inf + (atRest-inf)/(1+math.Pow(rate/s.Bend.SI(), 1-s.Index))
	case Carreau:
		x := rate / s.Bend.SI()
		return inf + (atRest-inf)*math.Pow(1+x*x, (s.Index-1)/2)
	}
	return atRest
}

// CrossForm holds the numbers of the Cross form at one temperature, for those
// who compute with it in gaps. A liquid that does not thin has N = 1.
type CrossForm struct {
	Density   quantity.Density
	AtRest    quantity.DynamicViscosity // μ₀
	Index     float64                   // n
	Bend      quantity.ShearRate        // γ₀
	HighShear quantity.DynamicViscosity // μ_∞
}

var (
	msgThickens  = say.Define("liquid.thickens", "a liquid that thickens when sheared cannot be written in the Cross form")
	msgNoCarreau = say.Define("liquid.no_carreau", "the Carreau model cannot be written in the Cross form; fit the Cross model to its points instead")
)

// crossForm writes the shear model in the Cross form. The power law is the
// Cross form far above its bend: the bend is put so low that the two agree
// within 1e-6 from 1 1/s up.
func (s Shear) crossForm(density quantity.Density, atRest, ratio float64) (CrossForm, error) {
	form := CrossForm{Density: density, AtRest: quantity.DynamicViscosity(atRest), Index: 1, Bend: 1}
	switch s.Model {
	case Cross:
		form.Index, form.Bend, form.HighShear = s.Index, s.Bend, s.HighShear
	case Carreau:
		return CrossForm{}, say.Refuse("shear.model", string(s.Model), msgNoCarreau.With(), msgModelsAre.With())
	case PowerLaw:
		if s.Index > 1 {
			return CrossForm{}, say.Refuse("shear.n", "", msgThickens.With(), msgFlowIndexBelow.With())
		}
		form.AtRest = quantity.DynamicViscosity(s.Consistency * ratio)
		if s.Index < 1 {
			bend := math.Max(1e-200, math.Pow(10, -6/(1-s.Index)))
			form.Index, form.Bend = s.Index, quantity.ShearRate(bend)
			form.AtRest = quantity.DynamicViscosity(s.Consistency * ratio * math.Pow(bend, s.Index-1))
		}
	}
	return form, nil
}
