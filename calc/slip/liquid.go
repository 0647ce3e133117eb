package slip

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Liquid is what the pump moves, at one temperature. A liquid that thins when
// sheared follows the Cross form
//
//	µ = µ_∞ + (µ₀ − µ_∞)/(1 + (γ/γ₀)^(1−n))
//
// With Index 1 (or 0) it does not thin: Newtonian, at AtRest.
type Liquid struct {
	Density   quantity.Density
	AtRest    quantity.DynamicViscosity // µ₀
	Index     float64                   // n, 0 < n ≤ 1
	Bend      quantity.ShearRate        // γ₀, where thinning begins
	HighShear quantity.DynamicViscosity // µ_∞
}

// Newtonian makes a liquid that does not thin.
func Newtonian(density quantity.Density, viscosity quantity.DynamicViscosity) Liquid {
	return Liquid{Density: density, AtRest: viscosity, Index: 1}
}

// Thins reports whether the viscosity depends on the shear rate.
func (l Liquid) Thins() bool { return l.Index > 0 && l.Index < 1 && l.AtRest > l.HighShear }

// Viscosity returns the viscosity at a shear rate.
func (l Liquid) Viscosity(rate quantity.ShearRate) quantity.DynamicViscosity {
	f := l.flow(0)
	return quantity.DynamicViscosity(f.viscosity(math.Abs(rate.SI())))
}

var (
	msgLiquidRefused = say.Define("slip.liquid_refused", "no liquid has this value")
	msgDensity       = say.Define("slip.density_accepted", "a density from 100 to 5000 kg/m3")
	msgViscosity     = say.Define("slip.viscosity_accepted", "a viscosity greater than 0")
	msgIndex         = say.Define("slip.index_accepted", "a flow index above 0 up to 1 (a liquid that thickens when sheared is not in this model)")
	msgBend          = say.Define("slip.bend_accepted", "a shear rate greater than 0 (a power law is a bend far below every shear rate)")
	msgHighShear     = say.Define("slip.high_shear_accepted", "a viscosity from 0 to that at rest")
)

// leastBend keeps (γ/γ₀)^(1−n) within what a float64 can hold.
const leastBend = 1e-220

func (l Liquid) check() error {
	if d := l.Density.SI(); !(d >= 100) || d > 5000 {
		return say.Refuse("liquid.density", l.Density.String(), msgLiquidRefused.With(), msgDensity.With())
	}
	if v := l.AtRest.SI(); !(v > 0) || math.IsInf(v, 0) {
		return say.Refuse("liquid.viscosity", l.AtRest.String(), msgLiquidRefused.With(), msgViscosity.With())
	}
	if !(l.Index >= 0) || l.Index > 1 {
		return say.Refuse("liquid.shear.n", number(l.Index), msgLiquidRefused.With(), msgIndex.With())
	}
	if l.Index == 0 || l.Index == 1 {
		return nil
	}
	if b := l.Bend.SI(); !(b >= leastBend) || b > 1e12 {
		return say.Refuse("liquid.shear.gamma_0", number(b), msgLiquidRefused.With(), msgBend.With())
	}
	if h := l.HighShear; !(h >= 0) || h > l.AtRest {
		return say.Refuse("liquid.shear.mu_inf", h.String(), msgLiquidRefused.With(), msgHighShear.With())
	}
	return nil
}

// flow makes the liquid ready for the gap law; k is the sum of inlet and
// outlet loss coefficients.
func (l Liquid) flow(k float64) flow {
	f := flow{rho: l.Density.SI(), mu: l.AtRest.SI(), k: k, thins: l.Thins()}
	if f.thins {
		n := l.Index
		f.muInf, f.extra, f.power = l.HighShear.SI(), f.mu-l.HighShear.SI(), 1-n
		f.lnBend = math.Log(l.Bend.SI())
		// a = ((2n+1)/3n)^(n/(n−1)): where the shear rate of a power-law liquid
		// in a slit stands for its whole profile.
		f.six = 6 * math.Pow((2*n+1)/(3*n), n/(n-1))
	}
	return f
}

// viscosity is µ at a shear rate.
func (f *flow) viscosity(rate float64) float64 {
	if !f.thins || rate <= 0 {
		return f.mu
	}
	return f.muInf + f.extra/(1+math.Exp(f.power*(math.Log(rate)-f.lnBend)))
}
