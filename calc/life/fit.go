package life

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"

	"pumpwright/calc/say"
)

// Fitted is a life distribution fitted by maximum likelihood.
type Fitted struct {
	Distribution          Distribution
	Shape, Scale          float64 // Weibull β, η; lognormal σ, median; exponential 1, mean
	ShapeSE, ScaleSE      float64 // standard errors from the observed information
	LogLikelihood         float64 // in the unit of the ages
	Failures, Suspensions float64 // counts

	mu, tau            float64 // ln scale, ln σ
	varMu, cov, varTau float64 // of (µ, τ)
	fixed              bool    // τ is not estimated
	rows               []Observation
	sums               *weibullSums
	model              Distribution // the location-scale family behind
	atMaximum          slope2
}

// Fit fits a distribution to parts that failed, still run, failed between two
// looks, or were watched only from an entry age on.
//
//	Weibull       R = exp(−(t/η)^β)
//	Lognormal     R = Φ(−(ln t − ln scale)/σ)
//	Exponential   R = exp(−t/θ)
//
// Standard errors come from the observed information at the maximum.
//
// Valid: ages > 0. Errors: no rows; an age, entry or count that cannot be; no
// failure at all; failures at one single age with nothing beyond it (shape
// unbounded); no maximum.
// Source: Meeker & Escobar 1998, ch. 7, 8 and 11.
func Fit(rows []Observation, d Distribution) (*Fitted, error) {
	t, err := count(rows)
	if err != nil {
		return nil, err
	}
	if t.failures == 0 {
		return nil, say.Refuse("rows", "", msgNoneFailed.With(t.suspensions), msgGiveBeta.With())
	}
	f := &Fitted{Distribution: d, Failures: t.failures, Suspensions: t.suspensions, rows: rows, model: d, fixed: d == Exponential}
	if f.fixed {
		f.model = Weibull
	}
	if !f.fixed && t.lowFailure == t.highFailure && t.highest <= t.highFailure {
		return nil, say.Refuse("rows", fmt.Sprint(t.highFailure), msgOneAgeFailed.With(), msgGiveBeta.With())
	}
	ok := false
	if f.model == Weibull && !t.interval {
		ok = f.fitSums(t)
	} else {
		ok = f.fitRows(t)
	}
	if !ok {
		return nil, say.Refuse("rows", "", msgNoConvergence.With(string(d)), msgGiveBeta.With())
	}
	return f, nil
}

func (f *Fitted) fitSums(t tally) bool {
	f.sums = newWeibullSums(f.rows, t)
	beta, ok := 1.0, true
	if !f.fixed {
		beta, ok = f.sums.shape(f.sums.start(f.rows))
	}
	if !ok {
		return false
	}
	l := f.likelihood()
	f.tau = -math.Log(beta)
	s := f.sums.sums(1 / math.Exp(f.tau))
	if !(s[0] > 0) {
		return false
	}
	f.mu = f.sums.ref + math.Exp(f.tau)*math.Log(s[0]/t.failures)
	return f.finish(l.at(f.mu, f.tau))
}

// fitRows climbs the likelihood by Newton steps, shortened until they climb.
func (f *Fitted) fitRows(t tally) bool {
	l := f.likelihood()
	f.mu, f.tau = f.guess()
	here := l.at(f.mu, f.tau)
	for range 200 {
		dmu, dtau := newtonStep(here, f.fixed)
		size := 1.0
		if big := math.Max(math.Abs(dmu), math.Abs(dtau)); big > 2 {
			size = 2 / big
		}
		next, ok := here, false
		for range 60 {
			next = l.at(f.mu+size*dmu, f.tau+size*dtau)
			if next.l >= here.l || math.Abs(next.l-here.l) <= 1e-13*math.Abs(here.l) {
				ok = true
				break
			}
			size /= 2
		}
		if !ok || math.IsNaN(next.l) || math.Abs(f.tau) > 20 {
			return false
		}
		f.mu += size * dmu
		f.tau += size * dtau
		here = next
		if size == 1 && math.Abs(dmu)+math.Abs(dtau) < 1e-10 {
			return f.finish(here)
		}
	}
	return false
}

// newtonStep returns the step to the top of the parabola, or uphill where the
// likelihood is not curved downward.
func newtonStep(s slope2, fixed bool) (dmu, dtau float64) {
	if fixed {
		if s.mumu < 0 {
			return -s.mu / s.mumu, 0
		}
		return math.Copysign(0.5, s.mu), 0
	}
	a, b, c := -s.mumu, -s.mut, -s.tt
	for a <= 0 || a*c-b*b <= 0 {
		lift := math.Max(1, math.Abs(a)+math.Abs(b)+math.Abs(c))
		a += lift
		c += lift
	}
	det := a*c - b*b
	return (c*s.mu - b*s.tau) / det, (a*s.tau - b*s.mu) / det
}

// guess takes ln age of the failures (middles of intervals) as they were.
func (f *Fitted) guess() (mu, tau float64) {
	var n, sum, square, all, allSum float64
	for _, o := range f.rows {
		age := o.Low
		if o.failed() && !o.exact() {
			age = (o.Low + o.High) / 2
		}
		y, k := math.Log(age), o.count()
		all += k
		allSum += k * y
		if o.failed() {
			n += k
			sum += k * y
			square += k * y * y
		}
	}
	sd := math.Sqrt(math.Max(square/n-sum/n*sum/n, 0))
	if f.fixed {
		sd = 1
	}
	if !(sd > 0.05) {
		sd = 0.5
	}
	return math.Max(sum/n, allSum/all) + math.Log(1+(all-n)/n)*sd*0.5, math.Log(sd)
}

func (f *Fitted) likelihood() likelihood {
	if f.sums != nil {
		return &weibullLikelihood{weibullSums: f.sums}
	}
	return rowLikelihood{d: f.model, rows: f.rows}
}

func (f *Fitted) finish(top slope2) bool {
	f.atMaximum = top
	f.LogLikelihood = top.l
	f.Scale = math.Exp(f.mu)
	f.Shape = f.shapeAt(f.tau)
	if f.fixed {
		if !(top.mumu < 0) {
			return false
		}
		f.varMu = -1 / top.mumu
	} else {
		det := top.mumu*top.tt - top.mut*top.mut
		if !(top.mumu < 0 && det > 0) {
			return false
		}
		f.varMu, f.cov, f.varTau = -top.tt/det, top.mut/det, -top.mumu/det
	}
	f.ScaleSE = f.Scale * math.Sqrt(f.varMu)
	f.ShapeSE = f.Shape * math.Sqrt(f.varTau)
	return finite(f.LogLikelihood) && finite(f.Scale) && finite(f.Shape)
}

func (f *Fitted) shapeAt(tau float64) float64 {
	if f.model == Lognormal {
		return math.Exp(tau)
	}
	return math.Exp(-tau)
}

// Covariance returns the variances of µ = ln scale and τ = ln σ and their
// covariance.
func (f *Fitted) Covariance() (varMu, cov, varTau float64) { return f.varMu, f.cov, f.varTau }

// Model returns the distribution with its parameters, to compute with.
func (f *Fitted) Model() Model { return Model{Distribution: f.model, Shape: f.Shape, Scale: f.Scale} }

// Model is a life distribution with known parameters.
type Model struct {
	Distribution Distribution
	Shape, Scale float64
}

func (m Model) sigma() float64 {
	if m.Distribution == Lognormal {
		return m.Shape
	}
	return 1 / m.Shape
}

func (m Model) z(age float64) float64 { return math.Log(age/m.Scale) / m.sigma() }

// Reliability returns the share that lasts longer than an age (≥ 0).
func (m Model) Reliability(age float64) float64 {
	if age <= 0 {
		return 1
	}
	return m.Distribution.survival(m.z(age))
}

// Failed returns the share that has failed by an age.
func (m Model) Failed(age float64) float64 {
	if age <= 0 {
		return 0
	}
	if m.Distribution == Lognormal {
		return m.Distribution.survival(-m.z(age))
	}
	return -math.Expm1(-math.Exp(m.z(age)))
}

// AgeAt returns the age by which a share p (0 < p < 1) has failed: B10 is
// AgeAt(0.1).
func (m Model) AgeAt(p float64) float64 {
	return m.Scale * math.Exp(m.sigma()*m.Distribution.zAt(p))
}

// Hazard returns the failure rate at an age (> 0) among those that last.
func (m Model) Hazard(age float64) float64 {
	z := m.z(age)
	if m.Distribution == Lognormal {
		return hazardNormal(z) / (m.sigma() * age)
	}
	return math.Exp(z) / (m.sigma() * age)
}

// Mean returns the mean life.
func (m Model) Mean() float64 {
	if m.Distribution == Lognormal {
		return m.Scale * math.Exp(m.Shape*m.Shape/2)
	}
	return m.Scale * math.Gamma(1+1/m.Shape)
}

// SD returns the standard deviation of life.
func (m Model) SD() float64 {
	if m.Distribution == Lognormal {
		return m.Mean() * math.Sqrt(math.Expm1(m.Shape*m.Shape))
	}
	mean := math.Gamma(1 + 1/m.Shape)
	return m.Scale * math.Sqrt(math.Max(math.Gamma(1+2/m.Shape)-mean*mean, 0))
}

// Conditional returns the share that lasts more hours beyond an age, of those
// that reached it.
func (m Model) Conditional(age, more float64) float64 {
	if m.Distribution == Lognormal {
		if age <= 0 {
			return m.Reliability(more)
		}
		return math.Exp(logSurvivalNormal(m.z(age+more)) - logSurvivalNormal(m.z(age)))
	}
	return math.Exp(m.cumulative(age) - m.cumulative(age+more))
}

// cumulative is the Weibull cumulative hazard.
func (m Model) cumulative(age float64) float64 {
	if age <= 0 {
		return 0
	}
	return math.Pow(age/m.Scale, m.Shape)
}

// MedianRemaining returns the hours in which half of those that reached an age
// fail.
func (m Model) MedianRemaining(age float64) float64 {
	if m.Distribution == Lognormal {
		if age <= 0 {
			return m.Scale
		}
		r := m.Reliability(age) / 2
		return m.Scale*math.Exp(m.Shape*m.Distribution.zAt(1-r)) - age
	}
	return m.Scale*math.Pow(m.cumulative(age)+math.Ln2, 1/m.Shape) - age
}

// MeanRemaining returns the mean hours left of those that reached an age,
// ∫ R(u)du from the age on / R(age).
func (m Model) MeanRemaining(age float64) float64 {
	if age <= 0 {
		return m.Mean()
	}
	if m.Distribution == Lognormal {
		z := m.z(age)
		above := m.Mean() * m.Distribution.survival(z-m.Shape)
		return above/m.Reliability(age) - age
	}
	// η·Γ(1/β, h)·e^h/β with h the cumulative hazard; far out the tail is
	// taken by its series η·h^(1/β − 1)/β·(1 + (a − 1)/h + …), a = 1/β.
	h, a := m.cumulative(age), 1/m.Shape
	if h > 600 {
		sum, term := 1.0, 1.0
		for k := 1.0; k < 30 && math.Abs(term) > 1e-16*sum; k++ {
			term *= (a - k) / h
			sum += term
		}
		return m.Scale * a * math.Pow(h, a-1) * sum
	}
	return m.Scale * a * math.Gamma(a) * mathext.GammaIncRegComp(a, h) * math.Exp(h)
}
