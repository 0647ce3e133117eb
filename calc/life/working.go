package life

import (
	"strconv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameShape      = say.Define("life.shape", "shape")
	nameScale      = say.Define("life.scale", "scale")
	nameLogLik     = say.Define("life.log_likelihood", "log-likelihood at the best fit")
	nameFailures   = say.Define("life.failures", "parts that failed")
	nameRunning    = say.Define("life.running", "parts that had not failed")
	nameSlope      = say.Define("life.slope", "rise for each hour")
	nameIntercept  = say.Define("life.intercept", "value at hours 0")
	nameScatter    = say.Define("life.scatter", "scatter of the readings about the line")
	nameReading    = say.Define("life.reading", "reading {n:count} at {hours:number} h")
	nameBeta       = say.Define("life.power_beta", "growth exponent")
	nameLambda     = say.Define("life.power_lambda", "failures at age 1")
	nameEvents     = say.Define("life.events", "failures in all")
	nameTrendP     = say.Define("life.trend_p", "chance of such a trend by accident")
	nameStatistic  = say.Define("life.trend_statistic", "trend statistic")
	nameStock      = say.Define("life.stock", "parts to hold")
	nameAchieved   = say.Define("life.achieved", "chance that demand is at most the stock")
	nameMeanDemand = say.Define("life.mean_demand", "mean demand in the lead time")
)

const (
	sourceFit    = "Meeker & Escobar, Statistical Methods for Reliability Data, 1998, ch. 8"
	sourceLine   = "Montgomery & Runger, Applied Statistics and Probability for Engineers, simple linear regression"
	sourcePower  = "MIL-HDBK-189C, 2011"
	sourceSpares = "Poisson demand, Blanchard, Logistics Engineering and Management"
)

// Working returns the fit with its inputs; ref says where the rows came from.
func (f *Fitted) Working(ref string) *working.Node {
	failed := working.Number("life.failures", nameFailures.With(), "r", f.Failures, ref)
	running := working.Number("life.running", nameRunning.With(), "", f.Suspensions, ref)
	equation, shape := "R = exp(−(t/η)^β), largest likelihood", "β"
	switch f.Distribution {
	case Lognormal:
		equation, shape = "R = Φ(−(ln t − ln scale)/σ), largest likelihood", "σ"
	case Exponential:
		equation = "R = exp(−t/θ), largest likelihood"
	}
	top := &working.Node{ID: "life.log_likelihood", Name: nameLogLik.With(), Symbol: "ln L", Value: f.LogLikelihood,
		Equation: equation, Source: sourceFit, Inputs: []*working.Node{failed, running}}
	s := &working.Node{ID: "life.shape", Name: nameShape.With(), Symbol: shape, Value: f.Shape, U: f.ShapeSE,
		Equation: equation, Source: sourceFit, Inputs: []*working.Node{failed, running}}
	return &working.Node{ID: "life.scale", Name: nameScale.With(), Symbol: "η", Value: f.Scale, U: f.ScaleSE,
		Equation: equation, Source: sourceFit, Inputs: []*working.Node{s, top}}
}

// Working returns the scale with its inputs.
func (w *WeibayesFit) Working(ref string) *working.Node {
	return &working.Node{ID: "life.scale", Name: nameScale.With(), Symbol: "η", Value: w.Eta,
		Equation: "η = (Σ t^β / r)^(1/β)", Source: "Abernethy, The New Weibull Handbook, ch. 6",
		Inputs: []*working.Node{
			working.Number("life.shape", nameShape.With(), "β", w.Beta, "beta"),
			working.Number("life.failures", nameFailures.With(), "r", w.Failures, ref),
			working.Number("life.running", nameRunning.With(), "", w.Suspensions, ref),
		}}
}

// Working returns the slope with the readings it comes from. Readings have
// the dimension of value, differences the dimension of difference; ref is the
// path of the readings.
func (l *Line) Working(value, difference quantity.Dimension, ref string) *working.Node {
	var readings []*working.Node
	for i, r := range l.readings {
		readings = append(readings, &working.Node{
			ID: "life.reading", Name: nameReading.With(i+1, r.Hours), Dimension: value, Value: r.Value, U: r.U,
			Ref: ref + "[" + strconv.Itoa(i) + "]",
		})
	}
	scatter := &working.Node{ID: "life.scatter", Name: nameScatter.With(), Symbol: "s", Dimension: difference, Value: l.ResidualSD,
		Equation: "s = √(Σ e²/(n − 2))", Source: sourceLine, Inputs: readings}
	intercept := &working.Node{ID: "life.intercept", Name: nameIntercept.With(), Symbol: "a", Dimension: value, Value: l.Intercept, U: l.InterceptU,
		Equation: "a = ȳ − b·x̄", Source: sourceLine, Inputs: readings}
	return &working.Node{ID: "life.slope", Name: nameSlope.With(), Symbol: "b", Dimension: difference, Value: l.Slope, U: l.SlopeU,
		Equation: "b = Σ w·(x − x̄)·(y − ȳ)/Σ w·(x − x̄)²", Source: sourceLine, Inputs: append([]*working.Node{intercept, scatter}, readings...)}
}

// Working returns the exponent with its inputs.
func (p *PowerLaw) Working(ref string) *working.Node {
	events := working.Number("life.events", nameEvents.With(), "n", float64(p.Events), ref)
	statistic := &working.Node{ID: "life.trend_statistic", Name: nameStatistic.With(), Symbol: "χ²", Value: p.TrendStatistic,
		Equation: "χ² = 2·ΣΣ ln(T/t)", Source: sourcePower, Inputs: []*working.Node{events}}
	trend := &working.Node{ID: "life.trend_p", Name: nameTrendP.With(), Symbol: "p", Value: p.TrendP,
		Equation: "p = 2·min(P(χ² ≤), P(χ² ≥)), degrees 2n, less 2 for each stop at a failure", Source: sourcePower, Inputs: []*working.Node{statistic}}
	lambda := &working.Node{ID: "life.lambda", Name: nameLambda.With(), Symbol: "λ", Value: p.Lambda,
		Equation: "λ = n/Σ T^β", Source: sourcePower, Inputs: []*working.Node{events}}
	return &working.Node{ID: "life.beta", Name: nameBeta.With(), Symbol: "β", Value: p.Beta,
		Equation: "N(t) = λ·t^β, largest likelihood", Source: sourcePower, Inputs: []*working.Node{events, lambda, trend}}
}

// Working returns the stock with the demand it comes from.
func (s *Spares) Working(ref string) *working.Node {
	mean := working.Number("life.mean_demand", nameMeanDemand.With(), "m", s.MeanDemand, ref)
	achieved := &working.Node{ID: "life.achieved", Name: nameAchieved.With(), Symbol: "P", Value: s.Achieved,
		Equation: "P(N ≤ s) = Σ m^k·e^(−m)/k!", Source: sourceSpares, Inputs: []*working.Node{mean}}
	return &working.Node{ID: "life.stock", Name: nameStock.With(), Symbol: "s", Value: float64(s.Stock),
		Equation: "least s with P(N ≤ s) ≥ service level", Source: sourceSpares, Inputs: []*working.Node{achieved}}
}
