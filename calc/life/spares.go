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

// poissonCDF returns P(N ≤ n).
func poissonCDF(n int, mean float64) float64 {
	if mean == 0 {
		return 1
	}
	return mathext.GammaIncRegComp(float64(n)+1, mean)
}
