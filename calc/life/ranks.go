package life

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/mathext"

	"pumpwright/calc/say"
)

// MedianRank returns the exact median rank of the i-th of n failures: the
// median of the beta distribution with i and n − i + 1. i may be an adjusted
// rank.
func MedianRank(i, n float64) float64 { return RankAt(i, n, 0.5) }

// RankAt returns the p-rank of the i-th of n: 0.05 and 0.95 bound the rank at
// 90 %.
func RankAt(i, n, p float64) float64 { return mathext.InvRegIncBeta(i, n-i+1, p) }

// BernardRank is the approximation (i − 0.3)/(n + 0.4) of the median rank.
// Source: Bernard & Bos-Levenbach 1953, from memory.
func BernardRank(i, n float64) float64 { return (i - 0.3) / (n + 0.4) }

// PlotPoint is a failure on a probability plot.
type PlotPoint struct {
	Age    float64
	Rank   float64 // adjusted for suspensions
	Median float64 // exact median rank
	Approx float64 // Bernard's
	Low    float64 // 5 % rank
	High   float64 // 95 % rank
}

var msgRanksExact = say.Define("life.ranks_exact", "a probability plot takes failures at a known age, watched from new")

// mostPlotted is how many failures a plot takes.
const mostPlotted = 100_000

var msgPlotMany = say.Define("life.plot_many", "a plot of so many failures shows nothing")

// Ranks returns the failures with their ranks, adjusted for suspensions:
//
//	rank_i = previous + (n + 1 − previous)/(1 + units from this one on)
//
// A failure comes before a suspension of the same age; failures of one age
// each get a rank. Counts are taken as whole parts.
//
// Source: Johnson 1964 as in Abernethy, The New Weibull Handbook, from memory.
func Ranks(rows []Observation) ([]PlotPoint, error) {
	t, err := count(rows)
	if err != nil {
		return nil, err
	}
	if t.failures > mostPlotted {
		return nil, say.Refuse("rows", fmt.Sprint(t.failures), msgPlotMany.With(), say.Message{})
	}
	if t.failures == 0 {
		return nil, say.Refuse("rows", "", msgNoneFailed.With(t.suspensions), msgGiveBeta.With())
	}
	sorted := append([]Observation(nil), rows...)
	n := 0.0
	for _, o := range sorted {
		if o.failed() && !o.exact() || o.Entry > 0 {
			return nil, say.Refuse("rows", "", msgRanksExact.With(), msgExactFailure.With())
		}
		n += math.Round(o.count())
	}
	sort.SliceStable(sorted, func(i, j int) bool {
		if sorted[i].Low != sorted[j].Low {
			return sorted[i].Low < sorted[j].Low
		}
		return sorted[i].failed() && !sorted[j].failed()
	})
	var points []PlotPoint
	left, rank := n, 0.0
	for _, o := range sorted {
		if o.suspended() {
			left -= math.Round(o.count())
			continue
		}
		for range int(math.Round(o.count())) {
			rank += (n + 1 - rank) / (1 + left)
			points = append(points, PlotPoint{
				Age: o.Low, Rank: rank, Median: MedianRank(rank, n), Approx: BernardRank(rank, n),
				Low: RankAt(rank, n, 0.05), High: RankAt(rank, n, 0.95),
			})
			left--
		}
	}
	return points, nil
}

// RankLine is a Weibull line through the points of a probability plot.
type RankLine struct {
	Beta, Eta float64
	RSquared  float64
}

// RankRegression fits the line ln(−ln(1 − F)) = β·(ln t − ln η) through the
// points with Bernard's ranks, minimising either the distances in ln t (onTime,
// X on Y) or those in rank (Y on X).
//
// Source: Abernethy, The New Weibull Handbook, from memory.
func RankRegression(points []PlotPoint, onTime bool) (*RankLine, error) {
	list := make([]Reading, len(points))
	for i, p := range points {
		list[i] = Reading{Hours: math.Log(-math.Log1p(-p.Approx)), Value: math.Log(p.Age)}
		if !onTime {
			list[i].Hours, list[i].Value = list[i].Value, list[i].Hours
		}
	}
	l, err := FitLine(list)
	if err != nil {
		return nil, err
	}
	r := &RankLine{RSquared: l.RSquared}
	if onTime {
		r.Beta, r.Eta = 1/l.Slope, math.Exp(l.Intercept)
	} else {
		r.Beta, r.Eta = l.Slope, math.Exp(-l.Intercept/l.Slope)
	}
	return r, nil
}
