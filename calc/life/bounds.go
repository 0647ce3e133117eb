package life

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/say"
)

// Bounds are two-sided bounds of one number. A bound that the data do not set
// is nil.
type Bounds struct{ Low, High *float64 }

// Target is what bounds are asked for.
type Target struct {
	kind targetKind
	p    float64 // share failed, or age
}

type targetKind uint8

const (
	shapeTarget targetKind = iota
	quantileTarget
	reliabilityTarget
)

// TheShape asks for bounds of the shape (β or σ).
func TheShape() Target { return Target{kind: shapeTarget} }

// TheAge asks for bounds of the age by which a share p has failed (0 < p < 1).
func TheAge(p float64) Target { return Target{kind: quantileTarget, p: p} }

// TheReliability asks for bounds of the share that lasts longer than an age.
func TheReliability(age float64) Target { return Target{kind: reliabilityTarget, p: age} }

// TheScale asks for bounds of the scale (η, the median, the mean).
func TheScale() Target { return Target{kind: quantileTarget, p: math.NaN()} }

var (
	msgShare = say.Define("life.share", "a share failed lies between 0 and 1")
	msgAge   = say.Define("life.age", "an age is more than 0")
)

func (f *Fitted) check(t Target, confidence float64) error {
	switch {
	case !(confidence > 0 && confidence < 1):
		return say.Refuse("confidence", fmt.Sprint(confidence), msgConfidence.With(), say.Message{})
	case t.kind == quantileTarget && !math.IsNaN(t.p) && !(t.p > 0 && t.p < 1):
		return say.Refuse("p", fmt.Sprint(t.p), msgShare.With(), say.Message{})
	case t.kind == reliabilityTarget && !(t.p > 0 && finite(t.p)):
		return say.Refuse("age", fmt.Sprint(t.p), msgAge.With(), say.Message{})
	}
	return nil
}

// z returns z_p of a quantile target; the scale is where z = 0.
func (f *Fitted) z(t Target) float64 {
	if math.IsNaN(t.p) {
		return 0
	}
	return f.model.zAt(t.p)
}

// psi is the quantity in which bounds are symmetric (Fisher) or searched for
// (likelihood ratio): τ, ln of the age, or z of the age.
func (f *Fitted) psi(t Target) float64 {
	switch t.kind {
	case shapeTarget:
		return f.tau
	case quantileTarget:
		return f.mu + f.z(t)*math.Exp(f.tau)
	}
	return (math.Log(t.p) - f.mu) / math.Exp(f.tau)
}

// gradient of psi in (µ, τ).
func (f *Fitted) gradient(t Target) (dmu, dtau float64) {
	sigma := math.Exp(f.tau)
	switch t.kind {
	case shapeTarget:
		return 0, 1
	case quantileTarget:
		return 1, f.z(t) * sigma
	}
	return -1 / sigma, -f.psi(t)
}

// value turns psi into what was asked for.
func (f *Fitted) value(t Target, psi float64) float64 {
	switch t.kind {
	case shapeTarget:
		return f.shapeAt(psi)
	case quantileTarget:
		return math.Exp(psi)
	}
	return f.model.survival(psi)
}

func (f *Fitted) bounds(t Target, low, high *float64) Bounds {
	var b Bounds
	for _, p := range []*float64{low, high} {
		if p == nil {
			continue
		}
		*p = f.value(t, *p)
	}
	b.Low, b.High = low, high
	if f.value(t, 0) > f.value(t, 1) {
		b.Low, b.High = high, low
	}
	return b
}

// psiSE is the standard error of psi.
func (f *Fitted) psiSE(t Target) float64 {
	dm, dt := f.gradient(t)
	return math.Sqrt(math.Max(dm*dm*f.varMu+2*dm*dt*f.cov+dt*dt*f.varTau, 0))
}

// Fisher returns bounds from the normal approximation with the observed
// information: symmetric in ln β (ln σ), in the logarithm of an age, and in
// z = (ln age − µ)/σ for a reliability.
//
// Source: Meeker & Escobar 1998, section 8.4.
func (f *Fitted) Fisher(t Target, confidence float64) (Bounds, error) {
	if err := f.check(t, confidence); err != nil {
		return Bounds{}, err
	}
	k := distuv.UnitNormal.Quantile((1 + confidence) / 2)
	psi, se := f.psi(t), f.psiSE(t)
	low, high := psi-k*se, psi+k*se
	return f.bounds(t, &low, &high), nil
}

// Ratio returns likelihood-ratio bounds: the ends of the range of the target
// in which 2·(l_max − l) stays below the χ² quantile with one degree of
// freedom, all else chosen best. A bound that the likelihood never sets (few
// failures) is nil.
//
// Source: Meeker & Escobar 1998, section 8.3.
func (f *Fitted) Ratio(t Target, confidence float64) (Bounds, error) {
	if err := f.check(t, confidence); err != nil {
		return Bounds{}, err
	}
	if f.fixed && t.kind == shapeTarget {
		one, same := 0.0, 0.0
		return f.bounds(t, &one, &same), nil
	}
	drop := distuv.ChiSquared{K: 1}.Quantile(confidence)
	p := profile{f: f, t: t, l: f.likelihood(), floor: f.LogLikelihood - drop/2}
	k := math.Sqrt(drop)
	return f.bounds(t, p.bound(-k), p.bound(k)), nil
}

// profile is the likelihood in (ψ, nuisance); the nuisance is τ, or µ when ψ
// is the shape.
type profile struct {
	f     *Fitted
	t     Target
	l     likelihood
	floor float64 // l at the bounds
}

// point is the likelihood with derivatives in (ψ, n): l, ψ, n, ψψ, ψn, nn.
type point struct{ l, p, n, pp, pn, nn float64 }

func (p *profile) at(psi, n float64) point {
	if p.t.kind == shapeTarget {
		s := p.l.at(n, psi)
		return point{s.l, s.tau, s.mu, s.tt, s.mut, s.mumu}
	}
	sigma := math.Exp(n)
	mu, mp, mt, mpt, mtt := psi, 1.0, 0.0, 0.0, 0.0
	if p.t.kind == quantileTarget {
		z := p.f.z(p.t)
		mu, mt, mtt = psi-z*sigma, -z*sigma, -z*sigma
	} else {
		mu = math.Log(p.t.p) - psi*sigma
		mp, mt, mpt, mtt = -sigma, -psi*sigma, -sigma, -psi*sigma
	}
	s := p.l.at(mu, n)
	return point{
		l: s.l, p: s.mu * mp, n: s.tau + s.mu*mt,
		pp: s.mumu * mp * mp,
		pn: (s.mumu*mt+s.mut)*mp + s.mu*mpt,
		nn: s.mumu*mt*mt + 2*s.mut*mt + s.tt + s.mu*mtt,
	}
}

// bound finds ψ on one side, k standard errors away at first. It solves
// l = floor and ∂l/∂n = 0 together by Newton's method and, where that fails,
// walks outward along the profile and halves.
func (p *profile) bound(k float64) *float64 {
	f := p.f
	psi0, se := f.psi(p.t), f.psiSE(p.t)
	n0, slope := f.tau, 0.0
	if p.t.kind == shapeTarget {
		n0 = f.mu
	}
	if !f.fixed {
		if here := p.at(psi0, n0); here.nn < 0 {
			slope = -here.pn / here.nn
		}
	}
	psi, n := psi0+k*se, n0+k*se*slope
	for range 25 {
		q := p.at(psi, n)
		r1, r2 := q.l-p.floor, q.n
		if !finite(r1) || !finite(r2) {
			break
		}
		if f.fixed {
			step := r1 / q.p
			psi -= step
			if math.Abs(step) < 1e-10 && (psi-psi0)*k > 0 {
				return &psi
			}
			continue
		}
		det := q.p*q.nn - q.n*q.pn
		dpsi := (r1*q.nn - r2*q.n) / det
		dn := (q.p*r2 - q.pn*r1) / det
		if !finite(dpsi) || !finite(dn) || math.Abs(dpsi) > 3 || math.Abs(dn) > 3 {
			break
		}
		psi -= dpsi
		n -= dn
		if math.Abs(dpsi)+math.Abs(dn) < 1e-9 {
			if (psi-psi0)*k > 0 && q.nn < 0 {
				return &psi
			}
			break
		}
	}
	return p.walk(psi0, n0, k*se)
}

// farthest is how far from the best value a bound of ln age, ln σ or z is
// looked for.
const farthest = 25

func (p *profile) walk(psi0, n0, step float64) *float64 {
	near, far, n := psi0, psi0, n0
	for {
		far += step
		step *= 1.5
		if math.Abs(far-psi0) > farthest {
			return nil
		}
		l, top := p.highest(far, n)
		if l < p.floor {
			break
		}
		near, n = far, top
	}
	for range 100 {
		mid := (near + far) / 2
		l, top := p.highest(mid, n)
		if l < p.floor {
			far = mid
		} else {
			near, n = mid, top
		}
		if math.Abs(far-near) < 1e-11*(1+math.Abs(mid)) {
			break
		}
	}
	psi := (near + far) / 2
	return &psi
}

// highest climbs in the nuisance at a fixed ψ.
func (p *profile) highest(psi, n float64) (l, top float64) {
	q := p.at(psi, n)
	if p.f.fixed {
		return q.l, n
	}
	for range 60 {
		step := math.Copysign(0.5, q.n)
		if q.nn < 0 {
			step = math.Max(-1, math.Min(1, -q.n/q.nn))
		}
		next := p.at(psi, n+step)
		for i := 0; i < 40 && !(next.l >= q.l); i++ {
			step /= 2
			next = p.at(psi, n+step)
		}
		if !(next.l >= q.l) {
			return q.l, n
		}
		n += step
		q = next
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	return q.l, n
}
