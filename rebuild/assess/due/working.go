package due

import (
	"fmt"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameHours   = say.Define("due.name_hours", "hours of the part at which the limit is reached")
	nameRate    = say.Define("due.name_rate", "wear in 1000 h, toward the limit")
	nameStart   = say.Define("due.name_start", "size in the middle of the part's readings, at {hours:number} h")
	nameLimit   = say.Define("due.name_limit", "limit")
	nameFamily  = say.Define("due.name_family", "mean wear in 1000 h of {n:count|part|parts} alike")
	nameBetween = say.Define("due.name_between", "spread between parts, in 1000 h")
	nameReading = say.Define("due.name_reading", "reading {n:count} at {hours:number} h")
)

const per = 1000 // hours for which a rate is shown

// Working returns the tree of reasons; nil when there is no forecast. ref names
// where the readings stand.
func (f *Forecast) Working(ref string) *working.Node {
	if f.Hours.At == nil {
		return nil
	}
	difference := f.Inputs.Dimension
	if difference == quantity.TemperatureDimension {
		difference = quantity.TemperatureDifferenceDimension
	}
	rate := &working.Node{ID: "due.rate", Name: nameRate.With(), Symbol: "b", Dimension: difference, Value: per * f.Rate.Slope, U: per * f.Rate.U}
	var readings []*working.Node
	for i, r := range f.Inputs.Current.Readings {
		readings = append(readings, &working.Node{ID: "due.reading", Name: nameReading.With(i+1, r.Hours), Dimension: f.Inputs.Dimension,
			Value: r.Value, U: r.U, Ref: fmt.Sprintf("%s[%d]", ref, i)})
	}
	rate.Inputs = readings
	switch {
	case f.Pool != nil:
		rate.Equation = "b = B·own + (1 − B)·mean, B = τ²/(τ² + u²)"
		rate.Source = "normal-normal hierarchical model, Gelman et al., Bayesian Data Analysis, ch. 5"
		rate.Inputs = append(rate.Inputs,
			(&working.Node{ID: "due.family", Name: nameFamily.With(f.Parts), Symbol: "mean", Dimension: difference, Value: per * f.Pool.Mean, U: per * f.Pool.MeanU}).From("readings of the parts before and of sister pumps, restricted maximum likelihood"),
			(&working.Node{ID: "due.between", Name: nameBetween.With(), Symbol: "τ", Dimension: difference, Value: per * f.Pool.Between}).From("restricted maximum likelihood"))
	case f.Basis == OnePart:
		rate.Source = "readings of the part before"
	default:
		rate.Equation, rate.Source = "least squares", "Montgomery & Runger, Applied Statistics and Probability for Engineers, simple linear regression"
	}
	start := &working.Node{ID: "due.start", Name: nameStart.With(f.Start.Hours), Symbol: "y", Dimension: f.Inputs.Dimension,
		Value: f.Inputs.toward(f.Start.Value), U: f.Start.U, Equation: "weighted mean", Source: "least squares", Inputs: readings}
	limit := &working.Node{ID: "due.limit", Name: nameLimit.With(), Symbol: "L", Dimension: f.Inputs.Dimension, Value: f.Inputs.Limit, Ref: "limit"}
	return &working.Node{ID: "due.hours", Name: nameHours.With(), Symbol: "h", Value: *f.Hours.At,
		Equation: "h = h_y + |L − y|/b", Source: "derived here", Inputs: []*working.Node{start, rate, limit}}
}
