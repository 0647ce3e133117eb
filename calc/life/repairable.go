package life

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/say"
)

// System is one machine that is repaired and runs on: the ages of its failures
// in rising order and the age to which it was watched. When End is the last
// event, watching stopped at that failure.
type System struct {
	Events []float64
	End    float64
}

func (s System) stoppedAtFailure() bool {
	return len(s.Events) > 0 && s.Events[len(s.Events)-1] == s.End
}

var (
	msgNoSystems   = say.Define("life.no_systems", "there are no systems")
	msgEndPositive = say.Define("life.end_positive", "the end of watching is a finite age above 0")
	msgEventOrder  = say.Define("life.event_order", "the hours run backwards here")
	msgEventRange  = say.Define("life.event_range", "events rise from 0 to the end of watching at {end:number}")
	msgNoEvents    = say.Define("life.no_events", "{n:count|failure|failures} cannot carry a trend")
	msgTwoEvents   = say.Define("life.two_events", "at least two failures in all")
)

func checkSystems(systems []System) (events int, err error) {
	if len(systems) == 0 {
		return 0, say.Refuse("systems", "", msgNoSystems.With(), say.Message{})
	}
	for i, s := range systems {
		if !(s.End > 0) || !finite(s.End) {
			return 0, say.Refuse(fmt.Sprintf("systems[%d].end", i), fmt.Sprint(s.End), msgEndPositive.With(), say.Message{})
		}
		for j, e := range s.Events {
			if !(e > 0) || e > s.End || j > 0 && e < s.Events[j-1] {
				return 0, say.Refuse(fmt.Sprintf("systems[%d].events[%d]", i, j), fmt.Sprint(e), msgEventOrder.With(), msgEventRange.With(s.End))
			}
		}
		events += len(s.Events)
	}
	return events, nil
}

// PowerLaw is the failure count of a machine that is repaired to what it was,
// N(t) = λ·t^β for each machine; β > 1 gets worse, β < 1 gets better.
type PowerLaw struct {
	Beta, Lambda float64 // maximum likelihood
	BetaUnbiased float64 // one system: (n−1)/S stopped by time, (n−2)/S at a failure; 0 otherwise
	Events       int
	Intensity    float64 // λβT^(β−1) at the end (the greatest of several)
	MTBF         float64 // 1/Intensity
	Cumulative   float64 // time watched over failures

	TrendStatistic float64 // 2·ΣΣ ln(T/t)
	TrendDegrees   int     // of χ² when there is no trend
	TrendP         float64 // two-sided
	Laplace        float64 // standard normal when there is no trend; > 0 gets worse
	LaplaceP       float64 // two-sided
}

// FitPowerLaw fits the power law by maximum likelihood; several systems share
// β and λ.
//
//	one end T for all:  β = n/ΣΣ ln(T/t),  λ = n/(k·T^β)
//	several ends:       n/β + Σ ln t = λ·Σ T^β ln T,  λ = n/Σ T^β
//
// The trend statistic 2·ΣΣ ln(T/t) is χ² with 2n degrees of freedom when
// watching stops at a time, 2(n − 1) for each system that stops at a failure
// (that failure is left out). Laplace's statistic compares the mean of the
// ages with half the end.
//
// Source: MIL-HDBK-189C 2011; NIST/SEMATECH e-Handbook 8.2.3.4.
func FitPowerLaw(systems []System) (*PowerLaw, error) {
	n, err := checkSystems(systems)
	if err != nil {
		return nil, err
	}
	if n < 2 {
		return nil, say.Refuse("systems", "", msgNoEvents.With(n), msgTwoEvents.With())
	}
	p := &PowerLaw{Events: n}
	var watched, end, laplaceVar float64
	one := true
	for _, s := range systems {
		watched += s.End
		one = one && s.End == systems[0].End
		end = math.Max(end, s.End)
		count := len(s.Events)
		if s.stoppedAtFailure() {
			count--
		}
		for _, e := range s.Events {
			p.TrendStatistic += 2 * math.Log(s.End/e)
		}
		for _, e := range s.Events[:count] {
			p.Laplace += e - s.End/2
		}
		p.TrendDegrees += 2 * count
		laplaceVar += float64(count) * s.End * s.End / 12
	}
	if !(p.TrendStatistic > 0) {
		return nil, say.Refuse("systems", "", msgNoEvents.With(n), msgTwoEvents.With())
	}
	if one {
		p.Beta = 2 * float64(n) / p.TrendStatistic
	} else {
		p.Beta = betaSeveralEnds(systems, float64(n), end)
	}
	var power float64
	for _, s := range systems {
		power += math.Pow(s.End/end, p.Beta)
	}
	p.Lambda = float64(n) / power / math.Pow(end, p.Beta)
	p.Intensity = float64(n) / power * p.Beta / end
	p.MTBF = 1 / p.Intensity
	p.Cumulative = watched / float64(n)
	if len(systems) == 1 {
		less := 1.0
		if systems[0].stoppedAtFailure() {
			less = 2
		}
		p.BetaUnbiased = (float64(n) - less) / (p.TrendStatistic / 2)
	}
	p.TrendP, p.LaplaceP = 1, 1
	if p.TrendDegrees > 0 {
		chi := distuv.ChiSquared{K: float64(p.TrendDegrees)}
		p.TrendP = math.Min(1, 2*math.Min(chi.CDF(p.TrendStatistic), chi.Survival(p.TrendStatistic)))
		p.Laplace /= math.Sqrt(laplaceVar)
		p.LaplaceP = 2 * distuv.UnitNormal.Survival(math.Abs(p.Laplace))
	}
	return p, nil
}

// betaSeveralEnds solves the likelihood equation; ages are taken relative to
// the greatest end. The left side less the right falls with β.
func betaSeveralEnds(systems []System, n, end float64) float64 {
	var sumLog float64
	for _, s := range systems {
		for _, e := range s.Events {
			sumLog += math.Log(e / end)
		}
	}
	g := func(beta float64) float64 {
		var power, weighted float64
		for _, s := range systems {
			x := s.End / end
			k := math.Pow(x, beta)
			power += k
			weighted += k * math.Log(x)
		}
		return n/beta + sumLog - n*weighted/power
	}
	low, high := 0.0, 1.0
	for g(high) > 0 && high < 1e6 {
		low, high = high, 2*high
	}
	for range 200 {
		mid := (low + high) / 2
		if g(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
		if high-low < 1e-14*high {
			break
		}
	}
	return (low + high) / 2
}

// BetaBounds returns two-sided bounds of β at a confidence for one system:
// β·χ²(p; df)/(2n).
func (p *PowerLaw) BetaBounds(confidence float64) (low, high float64, err error) {
	if !(confidence > 0 && confidence < 1) {
		return 0, 0, say.Refuse("confidence", fmt.Sprint(confidence), msgConfidence.With(), say.Message{})
	}
	chi := distuv.ChiSquared{K: float64(p.TrendDegrees)}
	k := p.Beta / float64(2*p.Events)
	return k * chi.Quantile((1-confidence)/2), k * chi.Quantile((1+confidence)/2), nil
}

// CountPoint is the mean cumulative number of failures for one machine.
type CountPoint struct {
	Age    float64
	AtRisk int // machines still watched at this age, an end at it included
	Mean   float64
	SE     float64 // robust, Lawless & Nadeau; 0 with one machine, which tells no spread
	Low    float64
	High   float64
}

// MeanCumulative returns the mean cumulative function without a model, with
// two-sided bounds at a confidence that stay above 0: M·exp(±k·se/M). The
// spread is that between machines: with a handful of machines it is unsure,
// where all have failed equally often it is 0, and one machine has none.
//
// Source: Nelson, Recurrent Events Data Analysis, 2003; variance of Lawless &
// Nadeau, Technometrics 37, 1995.
func MeanCumulative(systems []System, confidence float64) ([]CountPoint, error) {
	if _, err := checkSystems(systems); err != nil {
		return nil, err
	}
	if !(confidence > 0 && confidence < 1) {
		return nil, say.Refuse("confidence", fmt.Sprint(confidence), msgConfidence.With(), say.Message{})
	}
	k := distuv.UnitNormal.Quantile((1 + confidence) / 2)
	counts := map[float64]int{}
	for _, s := range systems {
		for _, e := range s.Events {
			counts[e]++
		}
	}
	ages := make([]float64, 0, len(counts))
	for age := range counts {
		ages = append(ages, age)
	}
	sort.Float64s(ages)
	ends := make([]float64, len(systems))
	for i, s := range systems {
		ends[i] = s.End
	}
	sort.Float64s(ends)
	deviation := make([]float64, len(systems)) // Σ over ages of (own − mean)/at risk
	next := make([]int, len(systems))
	points := make([]CountPoint, 0, len(ages))
	mean := 0.0
	for _, age := range ages {
		atRisk := len(ends) - sort.SearchFloat64s(ends, age)
		step := float64(counts[age]) / float64(atRisk)
		mean += step
		var variance float64
		for i, s := range systems {
			if s.End >= age {
				own := 0.0
				for next[i] < len(s.Events) && s.Events[next[i]] == age {
					own++
					next[i]++
				}
				deviation[i] += (own - step) / float64(atRisk)
			}
			variance += deviation[i] * deviation[i]
		}
		p := CountPoint{Age: age, AtRisk: atRisk, Mean: mean, SE: math.Sqrt(variance)}
		spread := math.Exp(k * p.SE / mean)
		p.Low, p.High = mean/spread, mean*spread
		points = append(points, p)
	}
	return points, nil
}
