package life

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mathext"

	"pumpwright/calc/say"
)

// Spares is a stock of one part.
type Spares struct {
	MeanDemand    float64 // in the lead time
	Stock         int
	Achieved      float64 // chance that demand in the lead time is at most the stock
	NoWait        float64 // chance that a part is on the shelf when the next is needed: P(demand < stock)
	ExpectedShort float64 // mean number missing
}

// Demand is the need of one site: units fitted, failures of each per hour, and
// hours from order to shelf.
type Demand struct {
	Rate, Units, LeadTime float64
}

var (
	msgDemand       = say.Define("life.demand", "this is a finite number, 0 or more")
	msgServiceLevel = say.Define("life.service_level", "a service level lies between 0 and 1")
	msgTooMany      = say.Define("life.too_many", "a mean demand of {mean:number} parts in the lead time is more than this is made for")
	msgUpTo         = say.Define("life.up_to", "up to a million")
)

// Stock returns the least stock that covers the demand in the lead time with
// the chance level; the demand of all sites is pooled into one shelf. Demand
// is Poisson: many units, or failures at a steady rate.
//
//	mean = Σ rate·units·lead time,  smallest s with P(N ≤ s) ≥ level
//
// Source: Poisson spares model, Blanchard, Logistics Engineering and
// Management, from memory.
func Stock(level float64, sites ...Demand) (*Spares, error) {
	if !(level > 0 && level < 1) {
		return nil, say.Refuse("service_level", fmt.Sprint(level), msgServiceLevel.With(), say.Message{})
	}
	var mean float64
	for i, d := range sites {
		for _, f := range []struct {
			name  string
			value float64
		}{{"rate", d.Rate}, {"units", d.Units}, {"lead_time", d.LeadTime}} {
			if !(f.value >= 0) || !finite(f.value) {
				field := f.name
				if len(sites) > 1 {
					field = fmt.Sprintf("sites[%d].%s", i, f.name)
				}
				return nil, say.Refuse(field, fmt.Sprint(f.value), msgDemand.With(), say.Message{})
			}
		}
		mean += d.Rate * d.Units * d.LeadTime
	}
	if mean > 1e6 {
		return nil, say.Refuse("rate", "", msgTooMany.With(mean), msgUpTo.With())
	}
	// The quantile lies near mean + z·√mean; walk from there.
	s := int(math.Max(0, mean-1))
	for s > 0 && poissonCDF(s-1, mean) >= level {
		s = max(0, s-max(1, s/64))
	}
	for poissonCDF(s, mean) < level {
		s++
	}
	return Stocked(s, mean), nil
}

// Stocked says what a given stock achieves against a mean demand.
func Stocked(stock int, mean float64) *Spares {
	sp := &Spares{MeanDemand: mean, Stock: stock, Achieved: poissonCDF(stock, mean)}
	if stock > 0 {
		sp.NoWait = poissonCDF(stock-1, mean)
	}
	// E(N − s)+ = mean·P(N ≥ s) − s·P(N ≥ s + 1)
	sp.ExpectedShort = math.Max(0, mean*(1-sp.NoWait)-float64(stock)*(1-sp.Achieved))
	return sp
}

var (
	msgUnits     = say.Define("life.units", "the number of places is 1 to {most:count}")
	msgTooSoon   = say.Define("life.too_soon", "parts that last {mean:number} on average fail too often in {span:number} to be counted one by one")
	msgLongerFew = say.Define("life.shorter_span", "a span of up to {most:count} mean lives, {all:count} over all places")
)

const (
	mostPlaces = 10_000
	mostLives  = 60    // mean lives in the span of StockForLives
	mostInAll  = 5_000 // mean lives of all places together
)

// StockForLives returns the least stock that covers, with the chance level,
// all failures of a number of places over a span, when all start with new
// parts and each failed part is replaced at once by a new one. Unlike Stock it
// knows that parts wear out: failures come late and then together.
//
// Source: renewal counts of RenewalCounts, summed over independent places;
// derived here.
func StockForLives(level float64, m Model, span float64, places int) (*Spares, error) {
	if !(level > 0 && level < 1) {
		return nil, say.Refuse("service_level", fmt.Sprint(level), msgServiceLevel.With(), say.Message{})
	}
	if places < 1 || places > mostPlaces {
		return nil, say.Refuse("units", fmt.Sprint(places), msgUnits.With(mostPlaces), say.Message{})
	}
	if err := checkModel(m, span); err != nil {
		return nil, err
	}
	lives := span / m.Mean()
	if lives > mostLives || lives*float64(places) > mostInAll {
		return nil, say.Refuse("span", fmt.Sprint(span), msgTooSoon.With(m.Mean(), span), msgLongerFew.With(mostLives, mostInAll))
	}
	counts, err := RenewalCounts(m, span, min(mostCounts, int(lives+10*math.Sqrt(lives)*math.Max(1, m.SD()/m.Mean()))+10))
	if err != nil {
		return nil, err
	}
	one := make([]float64, len(counts)) // chance of exactly n
	for n := range counts {
		one[n] = counts[n]
		if n > 0 {
			one[n] = math.Max(0, counts[n]-counts[n-1])
		}
	}
	all := []float64{1}
	for bit, power := places, one; bit > 0; bit >>= 1 {
		if bit&1 == 1 {
			all = convolve(all, power)
		}
		if bit > 1 {
			power = convolve(power, power)
		}
	}
	s := &Spares{Stock: -1}
	for n, p := range all {
		s.MeanDemand += float64(n) * p
		if s.Stock < 0 {
			s.NoWait = s.Achieved
			s.Achieved += p
			if s.Achieved >= level {
				s.Stock = n
			}
		} else {
			s.ExpectedShort += float64(n-s.Stock) * p
		}
	}
	if s.Stock < 0 {
		return nil, say.Refuse("service_level", fmt.Sprint(level), msgNotFound.With(), say.Message{})
	}
	return s, nil
}

// convolve returns the distribution of a sum; ends without weight are cut off.
func convolve(a, b []float64) []float64 {
	sum := make([]float64, len(a)+len(b)-1)
	for i, p := range a {
		if p == 0 {
			continue
		}
		for j, q := range b {
			sum[i+j] += p * q
		}
	}
	const nothing = 1e-18
	for i := range sum {
		if sum[i] < nothing {
			sum[i] = 0
		}
	}
	last := len(sum)
	for last > 1 && sum[last-1] == 0 {
		last--
	}
	return sum[:last]
}

// poissonCDF returns P(N ≤ n).
func poissonCDF(n int, mean float64) float64 {
	if mean == 0 {
		return 1
	}
	return mathext.GammaIncRegComp(float64(n)+1, mean)
}
