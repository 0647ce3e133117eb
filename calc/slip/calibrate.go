package slip

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Factor names one thing that bench points can teach.
type Factor string

// Show prints the word in the language of a style.
func (v Factor) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Factor) Message() say.Message { return say.Word("slip", string(v)) }

// The factors of a fit.
const (
	FitSlip         Factor = "slip"
	FitDrag         Factor = "drag"
	FitDisplacement Factor = "displacement"
	FitEndBias      Factor = "end_bias"
)

// Measurement is one bench point: what was measured, with its standard
// uncertainty.
type Measurement struct {
	Point      Point
	Liquid     Liquid
	Flow       quantity.Estimate[quantity.Flow]
	Power      *quantity.Estimate[quantity.Power] // shaft power; nil when not measured
	Clearances *Clearances                        // where they differ from those of the model
}

// prior is what is believed of a factor before any bench point, in the units
// of the fit: ln k for slip and drag, k for displacement, mm for the end bias.
// Conventions of this program, no source.
type prior struct{ mean, u float64 }

var priors = map[Factor]prior{
	FitSlip:         {0, 0.35},
	FitDrag:         {0, 0.40},
	FitDisplacement: {1, 0.01},
	FitEndBias:      {0, 0.02},
}

const (
	fitStep     = 1e-3 // of the central differences, in the units of the fit
	millimetre  = 1e-3
	tooAlike    = 0.8 // |correlation| above which two factors are not told apart
	taughtLimit = 0.9 // u after over u before above which the points taught nothing
)

// Calibration is the factors that bench points support, with their
// uncertainty.
type Calibration struct {
	Fit         []Factor
	Factors     Factors
	U           []float64   // of ln k for slip and drag, of k for displacement, m for the end bias
	Correlation [][]float64 // in the order of Fit
	Cost        float64     // Σ((predicted − measured)/u)² + Σ((θ − θ₀)/u₀)²
	Limit       float64     // χ²(0.99) of the number of measured values
	Values      int         // number of measured values
	Accepted    bool        // the cost is below the limit
	Fitted      []Fitted    // for each point
	Statements  []say.Message
	Measured    []Measurement

	covariance *mat.SymDense // in the units of the fit
	lnShear    float64       // mean ln µ of the bench points, in the gap at the rotor's outside
}

// Fitted is what the calibrated model gives at a bench point.
type Fitted struct {
	Flow       quantity.Flow
	FlowOff    float64 // (predicted − measured)/u
	Power      *quantity.Power
	PowerOff   float64
	LeakByPath Paths
}

var (
	msgFitRefused    = say.Define("slip.fit_refused", "this is no fit")
	msgFitAccepted   = say.Define("slip.fit_accepted", "each of slip, drag, displacement, end_bias at most once, and at least one")
	msgNoPoints      = say.Define("slip.no_points", "a calibration needs at least one bench point")
	msgWantsU        = say.Define("slip.wants_u", "a measured value needs a standard uncertainty above 0")
	msgUnfit         = say.Define("slip.power_unfit", "the measured power cannot be compared: {reason:message}")
	notSettled       = say.Define("slip.fit_not_settled", "the fit did not settle; look for a point that is far off")
	stateRejected    = say.Define("slip.fit_rejected", "the points do not fit the model: misfit {cost:number} where {limit:number} would be the most in 99 of 100 cases. No prediction is made. Look for a wrong clearance, speed, viscosity or meter, an open relief valve, or air")
	stateTaught      = say.Define("slip.fit_not_taught", "the points say next to nothing about {factor}: it stays what was assumed before")
	stateAlike       = say.Define("slip.fit_alike", "the points cannot tell {one} and {other} apart (correlation {rho:number}); only the two together are known")
	stateBias        = say.Define("slip.fit_bias", "end bias was fitted from points at one end clearance: it takes two different ones to tell it from the slip factor")
	stateZero        = say.Define("slip.fit_zero", "displacement was fitted without a point near zero pressure and without three pressures at one speed: it is not told from the slip factor")
	stateNoPower     = say.Define("slip.fit_no_power", "no power was measured, so the drag factor is not known from these points")
	msgNotAccepted   = say.Define("slip.predict_refused", "no prediction is made from a fit that was not accepted")
	msgSamePumpModel = say.Define("slip.predict_accepted", "bench points that the model can follow")
)

// Calibrate fits factors to bench points: the most probable values under the
// priors, by Gauss–Newton with step halving and central differences.
//
//	minimise Σ((predicted − measured)/u)² + Σ((θ − θ₀)/u₀)²,  covariance (JᵀJ)⁻¹
//
// The clearances of the model must be those the pump had on the bench. Default
// choice: slip, and drag when power was measured.
// Errors: a Problem for values without uncertainty, unknown factors, points
// that no pump has. A misfit is no error: Accepted is false and says why.
// Source: Bayes' rule with normal priors; the priors are conventions of this
// program.
func (m *Model) Calibrate(points []Measurement, fit []Factor) (*Calibration, error) {
	b, err := m.bench(points, fit)
	if err != nil {
		return nil, err
	}
	theta := make([]float64, len(fit))
	for i, f := range fit {
		theta[i] = priors[f].mean
	}
	residual, err := b.residuals(theta)
	if err != nil {
		return nil, err
	}
	cost := squares(residual)
	var normal *mat.SymDense
	settled := false
	for range 60 {
		jacobian, err := b.jacobian(theta, residual)
		if err != nil {
			return nil, err
		}
		var step []float64
		normal, step = gaussNewton(jacobian, residual)
		if step == nil {
			break
		}
		better := false
		size := 0.0
		for half := 1.0; half > 1e-9; half /= 2 {
			next := make([]float64, len(theta))
			size = 0
			for i := range theta {
				next[i] = theta[i] + half*step[i]
				size = math.Max(size, math.Abs(half*step[i]))
			}
			r, err := b.residuals(next)
			if err != nil { // the step would close a clearance
				continue
			}
			if c := squares(r); c <= cost*(1+1e-12) {
				theta, residual, cost, better = next, r, c, true
				break
			}
		}
		if !better || size < 1e-9 {
			settled = true
			break
		}
	}
	if !settled {
		return nil, say.Refuse("measured", "", notSettled.With(), say.Message{})
	}
	return b.calibration(theta, cost, normal)
}

// bench is a calibration at work.
type bench struct {
	model  *Model
	models []*Model // of each point, before the end bias
	points []Measurement
	fit    []Factor
	bias   map[float64][]raw // what the model gives, by end bias
}

func (m *Model) bench(points []Measurement, fit []Factor) (*bench, error) {
	if len(points) == 0 {
		return nil, say.Refuse("measured", "", msgNoPoints.With(), say.Message{})
	}
	seen := map[Factor]bool{}
	for i, f := range fit {
		if _, known := priors[f]; !known || seen[f] {
			return nil, say.Refuse("fit["+strconv.Itoa(i)+"]", string(f), msgFitRefused.With(), msgFitAccepted.With())
		}
		seen[f] = true
	}
	if len(fit) == 0 {
		return nil, say.Refuse("fit", "", msgFitRefused.With(), msgFitAccepted.With())
	}
	b := &bench{model: m, points: points, fit: fit, bias: map[float64][]raw{}}
	for i, p := range points {
		if err := b.checkPoint(p); err != nil {
			return nil, say.In("measured["+strconv.Itoa(i)+"]", err)
		}
		model := m
		if p.Clearances != nil {
			other, err := m.With(*p.Clearances)
			if err != nil {
				return nil, say.In("measured["+strconv.Itoa(i)+"]", err)
			}
			model = other
		}
		b.models = append(b.models, model)
		if p.Power != nil {
			if r, err := model.At(p.Liquid, p.Point, DefaultFactors()); err == nil && r.Power == nil {
				return nil, say.Refuse("measured["+strconv.Itoa(i)+"].power", p.Power.String(), msgUnfit.With(r.Unknown), say.Message{})
			}
		}
	}
	return b, nil
}

func (b *bench) checkPoint(p Measurement) error {
	if err := p.Point.check(); err != nil {
		return err
	}
	if err := p.Liquid.check(); err != nil {
		return err
	}
	if !finite(p.Flow.Value.SI()) || !(p.Flow.U > 0) || !finite(p.Flow.U) {
		return say.Refuse("flow", p.Flow.Value.String(), msgWantsU.With(), say.Message{})
	}
	if p.Power != nil && (!finite(p.Power.Value.SI()) || !(p.Power.U > 0) || !finite(p.Power.U)) {
		return say.Refuse("power", p.Power.Value.String(), msgWantsU.With(), say.Message{})
	}
	return nil
}

// factors turns what the fit varies into factors.
func factorsOf(fit []Factor, theta []float64) Factors {
	k := DefaultFactors()
	for i, f := range fit {
		switch f {
		case FitSlip:
			k.Slip = math.Exp(theta[i])
		case FitDrag:
			k.Drag = math.Exp(theta[i])
		case FitDisplacement:
			k.Displacement = theta[i]
		case FitEndBias:
			k.EndBias = quantity.Length(theta[i] * millimetre)
		}
	}
	return k
}

// raws is what the model gives at the bench points under an end bias; the
// other factors need no new solution of the paths.
func (b *bench) raws(bias quantity.Length) ([]raw, error) {
	if known, ok := b.bias[bias.SI()]; ok {
		return known, nil
	}
	list := make([]raw, len(b.points))
	var s state
	var last *Model
	var moved *Model
	for i, p := range b.points {
		if b.models[i] != last {
			m, err := b.models[i].biased(Factors{EndBias: bias})
			if err != nil {
				return nil, err
			}
			last, moved = b.models[i], m
		}
		moved.turn(&s, p.Liquid, p.Point.Speed)
		list[i] = s.at(p.Point.Pressure.SI())
	}
	b.bias[bias.SI()] = list
	return list, nil
}

func (b *bench) residuals(theta []float64) ([]float64, error) {
	k := factorsOf(b.fit, theta)
	raws, err := b.raws(k.EndBias)
	if err != nil {
		return nil, err
	}
	list := make([]float64, 0, 2*len(raws)+len(theta))
	for i := range raws {
		p := &b.points[i]
		list = append(list, (raws[i].flow(&k)-p.Flow.Value.SI())/p.Flow.U)
		if p.Power != nil {
			list = append(list, (raws[i].power(&k)-p.Power.Value.SI())/p.Power.U)
		}
	}
	for i, f := range b.fit {
		list = append(list, (theta[i]-priors[f].mean)/priors[f].u)
	}
	return list, nil
}

// jacobian is by central differences; where one side would close a clearance,
// by the other side alone.
func (b *bench) jacobian(theta, at []float64) (*mat.Dense, error) {
	j := mat.NewDense(len(at), len(theta), nil)
	for c := range theta {
		up, down := append([]float64(nil), theta...), append([]float64(nil), theta...)
		up[c] += fitStep
		down[c] -= fitStep
		high, err := b.residuals(up)
		if err != nil {
			return nil, err
		}
		low, err := b.residuals(down)
		width := 2 * fitStep
		if err != nil {
			low, width = at, fitStep
		}
		for r := range at {
			j.Set(r, c, (high[r]-low[r])/width)
		}
	}
	return j, nil
}

// gaussNewton returns JᵀJ and the step −(JᵀJ)⁻¹Jᵀr; priors make it regular.
func gaussNewton(j *mat.Dense, residual []float64) (*mat.SymDense, []float64) {
	_, n := j.Dims()
	var full mat.Dense
	full.Mul(j.T(), j)
	normal := mat.NewSymDense(n, nil)
	for a := range n {
		for b := a; b < n; b++ {
			normal.SetSym(a, b, full.At(a, b))
		}
	}
	var right mat.VecDense
	right.MulVec(j.T(), mat.NewVecDense(len(residual), residual))
	var chol mat.Cholesky
	if !chol.Factorize(normal) {
		return normal, nil
	}
	var step mat.VecDense
	if err := chol.SolveVecTo(&step, &right); err != nil {
		return normal, nil
	}
	list := make([]float64, n)
	for i := range list {
		list[i] = -step.AtVec(i)
	}
	return normal, list
}

func squares(list []float64) float64 {
	sum := 0.0
	for _, v := range list {
		sum += v * v
	}
	return sum
}

func (b *bench) calibration(theta []float64, cost float64, normal *mat.SymDense) (*Calibration, error) {
	n := len(theta)
	var chol mat.Cholesky
	cov := mat.NewSymDense(n, nil)
	if !chol.Factorize(normal) || chol.InverseTo(cov) != nil {
		return nil, say.Refuse("measured", "", notSettled.With(), say.Message{})
	}
	c := &Calibration{Fit: b.fit, Factors: factorsOf(b.fit, theta), Cost: cost, Measured: b.points, covariance: cov}
	for i := range n {
		u := math.Sqrt(cov.At(i, i))
		if b.fit[i] == FitEndBias {
			u *= millimetre
		}
		c.U = append(c.U, u)
		row := make([]float64, n)
		for j := range n {
			row[j] = cov.At(i, j)/math.Sqrt(cov.At(i, i)*cov.At(j, j)) + 0 // no −0
		}
		c.Correlation = append(c.Correlation, row)
	}
	raws, err := b.raws(c.Factors.EndBias)
	if err != nil {
		return nil, err
	}
	for i := range raws {
		p := &b.points[i]
		var r Result
		r.Point = p.Point
		r.fill(b.models[i], &raws[i], c.Factors)
		f := Fitted{Flow: r.Flow, FlowOff: (r.Flow - p.Flow.Value).SI() / p.Flow.U, LeakByPath: r.Paths}
		c.Values++
		if p.Power != nil {
			total := r.Power.Total
			f.Power, f.PowerOff = &total, (total-p.Power.Value).SI()/p.Power.U
			c.Values++
		}
		c.Fitted = append(c.Fitted, f)
		c.lnShear += math.Log(b.model.shearViscosity(p.Liquid, p.Point.Speed)) / float64(len(raws))
	}
	c.Limit = distuv.ChiSquared{K: float64(c.Values)}.Quantile(0.99)
	c.Accepted = cost <= c.Limit
	c.judge()
	return c, nil
}

// shearViscosity is the viscosity in the gap at the rotor's outside, by which
// two liquids are compared.
func (m *Model) shearViscosity(l Liquid, speed quantity.RotationalSpeed) float64 {
	f := l.flow(0)
	if m.c.od <= 0 {
		return f.mu
	}
	return f.viscosity(speed.SI() * m.ro / m.c.od)
}
