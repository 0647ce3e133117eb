package life

import "math"

// slope2 is a log-likelihood with its gradient and second derivatives in
// (µ, τ = ln σ).
type slope2 struct {
	l             float64
	mu, tau       float64
	mumu, mut, tt float64
}

func (s *slope2) add(k float64, o slope2) {
	s.l += k * o.l
	s.mu += k * o.mu
	s.tau += k * o.tau
	s.mumu += k * o.mumu
	s.mut += k * o.mut
	s.tt += k * o.tt
}

// likelihood is a log-likelihood of a location-scale model.
type likelihood interface {
	at(mu, tau float64) slope2
}

// rowLikelihood sums over rows of any kind. Terms:
//
//	failed       ln f(z) − ln σ − y
//	running      ln R(z)
//	in between   ln (R(z_low) − R(z_high))
//	entry        − ln R(z_entry)
//
// Source: Meeker & Escobar 1998, ch. 8 (censoring) and 11 (truncation).
type rowLikelihood struct {
	d    Distribution
	rows []Observation
}

func (r rowLikelihood) at(mu, tau float64) slope2 {
	var sum slope2
	sigma := math.Exp(tau)
	z := func(age float64) float64 { return (math.Log(age) - mu) / sigma }
	for _, o := range r.rows {
		switch {
		case o.exact():
			y := math.Log(o.Low)
			z := (y - mu) / sigma
			g, g1, g2 := r.d.logDensity(z)
			term := chain(z, sigma, g, g1, g2)
			term.l -= tau + y
			term.tau--
			sum.add(o.count(), term)
		case o.suspended():
			z := z(o.Low)
			g, g1, g2 := r.d.logSurvival(z)
			sum.add(o.count(), chain(z, sigma, g, g1, g2))
		default:
			sum.add(o.count(), r.between(z(o.Low), z(o.High), sigma))
		}
		if o.Entry > 0 {
			z := z(o.Entry)
			g, g1, g2 := r.d.logSurvival(z)
			sum.add(-o.count(), chain(z, sigma, g, g1, g2))
		}
	}
	return sum
}

// chain turns derivatives in z into derivatives in (µ, τ).
func chain(z, sigma, g, g1, g2 float64) slope2 {
	return slope2{
		l: g, mu: -g1 / sigma, tau: -g1 * z,
		mumu: g2 / (sigma * sigma), mut: (g2*z + g1) / sigma, tt: (g2*z + g1) * z,
	}
}

// between is the term of an interval; low may be −Inf (failed before high).
func (r rowLikelihood) between(low, high, sigma float64) slope2 {
	var p slope2 // of the probability itself
	if !math.IsInf(low, -1) {
		f, df := r.d.density(low)
		p.add(1, chain(low, sigma, r.d.survival(low), -f, -df))
	} else {
		p.l = 1
	}
	f, df := r.d.density(high)
	p.add(-1, chain(high, sigma, r.d.survival(high), -f, -df))
	if r.d.normal() && low > 0 { // the difference of small tails keeps its digits only from the log side
		p.l = math.Exp(logSurvivalNormal(low)) - math.Exp(logSurvivalNormal(high))
	}
	if !(p.l > 0) {
		return slope2{l: math.Inf(-1)}
	}
	q := slope2{l: math.Log(p.l), mu: p.mu / p.l, tau: p.tau / p.l}
	q.mumu = p.mumu/p.l - q.mu*q.mu
	q.mut = p.mut/p.l - q.mu*q.tau
	q.tt = p.tt/p.l - q.tau*q.tau
	return q
}
