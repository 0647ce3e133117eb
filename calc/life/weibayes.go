package life

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/say"
)

// WeibayesFit is the scale of a Weibull distribution whose shape is taken from
// experience.
type WeibayesFit struct {
	Beta, Eta             float64
	Failures, Suspensions float64
	LogLikelihood         float64 // at r failures; 0 when there are none
	Assumed               bool    // none failed: one failure is assumed to be about to happen
	exposure              float64 // Σ t^β, scaled by e^(β·ref)
	ref                   float64
}

var (
	msgBeta         = say.Define("life.beta", "beta is a finite number above 0")
	msgNoIntervals  = say.Define("life.no_intervals", "a given beta takes failures at a known age only")
	msgExactFailure = say.Define("life.exact_failure", "state the age at failure as time")
)

// Weibayes fits the scale for a given β.
//
//	η = (Σ t^β / r)^(1/β), over all ages t, failed or running, r failures
//
// With no failure r is set to 1: a failure is assumed to be imminent, which is
// a cautious low value of η.
//
// Source: Abernethy, The New Weibull Handbook, ch. 6, from memory.
func Weibayes(rows []Observation, beta float64) (*WeibayesFit, error) {
	if !(beta > 0) || !finite(beta) {
		return nil, say.Refuse("beta", fmt.Sprint(beta), msgBeta.With(), say.Message{})
	}
	t, err := count(rows)
	if err != nil {
		return nil, err
	}
	if t.interval {
		return nil, say.Refuse("rows", "", msgNoIntervals.With(), msgExactFailure.With())
	}
	s := newWeibullSums(rows, t)
	p := s.sums(beta)
	if !(p[0] > 0) {
		return nil, say.Refuse("rows", "", msgNoConvergence.With(string(Weibull)), say.Message{})
	}
	w := &WeibayesFit{Beta: beta, Failures: t.failures, Suspensions: t.suspensions, exposure: p[0], ref: s.ref, Assumed: t.failures == 0}
	w.Eta = w.scaleAt(math.Max(t.failures, 1))
	if t.failures > 0 {
		l := &weibullLikelihood{weibullSums: s}
		w.LogLikelihood = l.at(math.Log(w.Eta), -math.Log(beta)).l
	}
	return w, nil
}

func (w *WeibayesFit) scaleAt(r float64) float64 {
	return math.Exp(w.ref + math.Log(w.exposure/r)/w.Beta)
}

// Low returns the one-sided lower bound of η at a confidence C,
//
//	(2·Σ t^β / χ²(C; 2r + 2))^(1/β)
//
// the bound for watching that ends at a time.
func (w *WeibayesFit) Low(confidence float64) (float64, error) {
	if !(confidence > 0 && confidence < 1) {
		return 0, say.Refuse("confidence", fmt.Sprint(confidence), msgConfidence.With(), say.Message{})
	}
	return w.scaleAt(distuv.ChiSquared{K: 2*w.Failures + 2}.Quantile(confidence) / 2), nil
}

// High returns the one-sided upper bound of η, with χ²(1 − C; 2r); nil when
// none has failed.
func (w *WeibayesFit) High(confidence float64) (*float64, error) {
	if !(confidence > 0 && confidence < 1) {
		return nil, say.Refuse("confidence", fmt.Sprint(confidence), msgConfidence.With(), say.Message{})
	}
	if w.Failures == 0 {
		return nil, nil
	}
	eta := w.scaleAt(distuv.ChiSquared{K: 2 * w.Failures}.Quantile(1-confidence) / 2)
	return &eta, nil
}

// Model returns the distribution.
func (w *WeibayesFit) Model() Model { return Model{Weibull, w.Beta, w.Eta} }

// UnitsWithoutFailure returns how many units must run without failure to show
// a reliability at a confidence, each for the given number of lives:
//
//	n = ln(1 − C) / (lives^β · ln R), rounded up
func UnitsWithoutFailure(reliability, confidence, lives, beta float64) (exact float64, units int, err error) {
	switch {
	case !(confidence > 0 && confidence < 1):
		return 0, 0, say.Refuse("confidence", fmt.Sprint(confidence), msgConfidence.With(), say.Message{})
	case !(reliability > 0 && reliability < 1):
		return 0, 0, say.Refuse("reliability", fmt.Sprint(reliability), msgConfidence.With(), say.Message{})
	case !(lives > 0) || !finite(lives):
		return 0, 0, say.Refuse("lives", fmt.Sprint(lives), msgAge.With(), say.Message{})
	case !(beta > 0) || !finite(beta):
		return 0, 0, say.Refuse("beta", fmt.Sprint(beta), msgBeta.With(), say.Message{})
	}
	exact = math.Log(1-confidence) / (math.Pow(lives, beta) * math.Log(reliability))
	return exact, int(math.Ceil(exact - 1e-9)), nil
}
