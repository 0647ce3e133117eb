package liquid

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgFewShear   = say.Define("liquid.few_shear_points", "{count:count} points are too few for this model")
	msgShearWants = say.Define("liquid.shear_wants", "give at least {count:count} points at different shear rates")
	msgNoThinning = say.Define("liquid.no_thinning", "the points do not show the model's shape: the viscosity does not fall with shear rate")
	msgNoFit      = say.Define("liquid.no_shear_fit", "no curve of this model fits the points")
	msgWiderShear = say.Define("liquid.wider_shear", "give points over a wider range of shear rate, or use power-law")
)

// ShearPoint is a viscosity measured at a shear rate, all at one temperature.
type ShearPoint struct {
	Rate      quantity.ShearRate
	Viscosity quantity.DynamicViscosity
}

// FitShear fits a shear model to measured points by least squares of ln μ.
// It returns the model, the viscosity at rest (for the power law that at 1 1/s)
// and the root mean square deviation of ln μ.
//
// The power law needs two points, Cross and Carreau four. The four numbers ln μ₀,
// ln μ_∞, ln γ₀ and logit n are found by damped Gauss–Newton from several
// starting bends; the best is kept.
func FitShear(model Model, points []ShearPoint) (Shear, quantity.DynamicViscosity, float64, error) {
	least := 2
	if model == Cross || model == Carreau {
		least = 4
	} else if model != PowerLaw {
		return Shear{}, 0, 0, say.Refuse("shear.model", string(model), msgNoModel.With(), msgModelsAre.With())
	}
	rates := map[float64]bool{}
	for i, p := range points {
		if err := positive(indexed("shear_points", i, "shear_rate"), p.Rate.SI()); err != nil {
			return Shear{}, 0, 0, err
		}
		if err := positive(indexed("shear_points", i, "viscosity"), p.Viscosity.SI()); err != nil {
			return Shear{}, 0, 0, err
		}
		rates[p.Rate.SI()] = true
	}
	if len(rates) < least {
		return Shear{}, 0, 0, say.Refuse("shear_points", "", msgFewShear.With(len(rates)), msgShearWants.With(least))
	}
	if model == PowerLaw {
		return fitPowerLaw(points)
	}
	return fitBend(model, points)
}

func fitPowerLaw(points []ShearPoint) (Shear, quantity.DynamicViscosity, float64, error) {
	n := float64(len(points))
	var meanX, meanY, sxx, sxy float64
	for _, p := range points {
		meanX += math.Log(p.Rate.SI()) / n
		meanY += math.Log(p.Viscosity.SI()) / n
	}
	for _, p := range points {
		dx := math.Log(p.Rate.SI()) - meanX
		sxx += dx * dx
		sxy += dx * (math.Log(p.Viscosity.SI()) - meanY)
	}
	slope := sxy / sxx
	s := Shear{Model: PowerLaw, Index: 1 + slope, Consistency: math.Exp(meanY - slope*meanX)}
	if err := s.check(); err != nil {
		return Shear{}, 0, 0, say.Refuse("shear_points", "", msgNoThinning.With(), msgCheckPoints.With())
	}
	var sum float64
	for _, p := range points {
		d := math.Log(s.viscosity(0, 1, p.Rate.SI()) / p.Viscosity.SI())
		sum += d * d
	}
	return s, quantity.DynamicViscosity(s.Consistency), math.Sqrt(sum / n), nil
}

// bendShape turns the four fitted numbers into a model and a viscosity at rest.
func bendShape(model Model, x [4]float64) (Shear, float64) {
	inf := math.Exp(x[1])
	return Shear{Model: model, Index: 1 / (1 + math.Exp(-x[3])), Bend: quantity.ShearRate(math.Exp(x[2])),
		HighShear: quantity.DynamicViscosity(inf)}, inf + math.Exp(x[0])
}

func fitBend(model Model, points []ShearPoint) (Shear, quantity.DynamicViscosity, float64, error) {
	lowRate, highRate := math.Inf(1), 0.0
	least, most := math.Inf(1), 0.0
	for _, p := range points {
		lowRate, highRate = math.Min(lowRate, p.Rate.SI()), math.Max(highRate, p.Rate.SI())
		least, most = math.Min(least, p.Viscosity.SI()), math.Max(most, p.Viscosity.SI())
	}
	if most <= least*(1+1e-9) {
		return Shear{}, 0, 0, say.Refuse("shear_points", "", msgNoThinning.With(), msgCheckPoints.With())
	}
	best, bestCost := [4]float64{}, math.Inf(1)
	for _, bend := range []float64{0.1, 0.3, 0.5, 0.7, 0.9} {
		for _, index := range []float64{0.3, 0.7} {
			start := [4]float64{math.Log(most), math.Log(0.3 * least),
				math.Log(lowRate) + bend*math.Log(highRate/lowRate), math.Log(index / (1 - index))}
			x, cost := descend(model, points, start)
			if cost < bestCost {
				best, bestCost = x, cost
			}
		}
	}
	s, atRest := bendShape(model, best)
	rms := math.Sqrt(bestCost / float64(len(points)))
	if s.check() != nil || math.IsInf(atRest, 0) || math.IsNaN(rms) || rms > 0.2 {
		return Shear{}, 0, 0, say.Refuse("shear_points", "", msgNoFit.With(), msgWiderShear.With())
	}
	return s, quantity.DynamicViscosity(atRest), rms, nil
}

// descend is Gauss–Newton with Levenberg's damping.
func descend(model Model, points []ShearPoint, x [4]float64) ([4]float64, float64) {
	residuals := func(x [4]float64, out []float64) float64 {
		s, atRest := bendShape(model, x)
		var sum float64
		for i, p := range points {
			out[i] = math.Log(s.viscosity(atRest, 1, p.Rate.SI()) / p.Viscosity.SI())
			sum += out[i] * out[i]
		}
		if math.IsNaN(sum) {
			return math.Inf(1)
		}
		return sum
	}
	n := len(points)
	r, trial, plus := make([]float64, n), make([]float64, n), make([]float64, n)
	jac := mat.NewDense(n, 4, nil)
	cost, damping := residuals(x, r), 1e-2
	for range 400 {
		for k := range x {
			shifted := x
			shifted[k] += 1e-6
			residuals(shifted, plus)
			for i := range plus {
				jac.Set(i, k, (plus[i]-r[i])/1e-6)
			}
		}
		var normal mat.Dense
		normal.Mul(jac.T(), jac)
		for k := range x {
			normal.Set(k, k, normal.At(k, k)*(1+damping)+1e-12)
		}
		var gradient, step mat.VecDense
		gradient.MulVec(jac.T(), mat.NewVecDense(n, r))
		if step.SolveVec(&normal, &gradient) != nil {
			break
		}
		next := x
		for k := range next {
			next[k] -= math.Max(-2, math.Min(2, step.AtVec(k)))
		}
		if nextCost := residuals(next, trial); nextCost < cost {
			done := cost-nextCost < 1e-16*(1+cost)
			x, cost = next, nextCost
			copy(r, trial)
			damping = math.Max(1e-12, damping/5)
			if done {
				break
			}
		} else if damping *= 4; damping > 1e12 {
			break
		}
	}
	return x, cost
}
