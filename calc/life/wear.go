package life

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/say"
)

// Split cuts the readings of one place into the readings of each part that
// sat there: a new part begins at each replacement, with hours counted from
// it. Readings taken at the very hours of a replacement belong to the old part
// (taken before) unless they are later in the list than one of the new part.
//
// Errors: hours that run backwards, in readings or in replacements.
func Split(readings []Reading, replacedAt []float64) ([][]Reading, error) {
	for i, r := range readings {
		if !finite(r.Hours) || r.Hours < 0 || i > 0 && r.Hours < readings[i-1].Hours {
			return nil, backwards(fmt.Sprintf("points[%d].hours", i), r.Hours)
		}
	}
	for i, h := range replacedAt {
		if !finite(h) || h < 0 || i > 0 && h <= replacedAt[i-1] {
			return nil, backwards(fmt.Sprintf("replaced[%d]", i), h)
		}
	}
	parts := make([][]Reading, len(replacedAt)+1)
	part, started := 0, 0.0
	for i, r := range readings {
		for part < len(replacedAt) && (r.Hours > replacedAt[part] ||
			r.Hours == replacedAt[part] && i > 0 && readings[i-1].Hours == r.Hours) {
			started = replacedAt[part]
			part++
		}
		r.Hours -= started
		parts[part] = append(parts[part], r)
	}
	return parts, nil
}

var (
	msgBackwards  = say.Define("life.backwards", "the hours run backwards here")
	msgForwards   = say.Define("life.forwards", "hours of one place rise from line to line and are 0 or more")
	msgTooFewLine = say.Define("life.too_few_lines", "{have} wear {have:count|line|lines} cannot be pooled")
	msgTwoLines   = say.Define("life.two_lines", "at least two parts with a line of their own")
	msgBadSlope   = say.Define("life.bad_slope", "a wear rate and its standard uncertainty are finite numbers, the uncertainty more than 0")
)

func backwards(field string, hours float64) error {
	return say.Refuse(field, fmt.Sprint(hours), msgBackwards.With(), msgForwards.With())
}

// Rate is the wear rate of one part with its standard uncertainty.
type Rate struct{ Slope, U float64 }

// Pooled is the wear rate of a family of sister pumps.
//
// Each part has a rate of its own, spread about the family's,
//
//	rate_i ~ N(mean, between²),  slope_i ~ N(rate_i, u_i²)
//
//	between  by restricted maximum likelihood, 0 when the slopes scatter no
//	         more than their uncertainties
//	shrunk   rate_i given all: weight B = between²/(between² + u_i²) on its own
//	         slope, 1 − B on the family's mean
//
// Source: normal-normal hierarchical model, Gelman et al., Bayesian Data
// Analysis, ch. 5, from memory, with the spread estimated by restricted
// maximum likelihood.
type Pooled struct {
	Mean, MeanU float64
	Between     float64 // standard deviation between parts
	Shrunk      []Rate  // in the order given; U holds the part's and the mean's
	Next        Rate    // for a part without readings: mean, √(between² + meanU²)
	Q           float64 // Σ (slope − mean)²/u² with between = 0; χ² with n − 1 when the parts are alike
	QP          float64 // its p-value
}

// Pool pools the wear rates of sister pumps. One rate cannot be pooled.
func Pool(rates []Rate) (*Pooled, error) {
	if len(rates) < 2 {
		return nil, say.Refuse("parts", fmt.Sprint(len(rates)), msgTooFewLine.With(len(rates)), msgTwoLines.With())
	}
	for i, r := range rates {
		if !finite(r.Slope) || !finite(r.U) || !(r.U > 0) {
			return nil, say.Refuse(fmt.Sprintf("parts[%d]", i), fmt.Sprintf("%v ± %v", r.Slope, r.U), msgBadSlope.With(), say.Message{})
		}
	}
	p := &Pooled{}
	mean0, _ := poolMean(rates, 0)
	for _, r := range rates {
		p.Q += (r.Slope - mean0) * (r.Slope - mean0) / (r.U * r.U)
	}
	p.QP = distuv.ChiSquared{K: float64(len(rates) - 1)}.Survival(p.Q)
	v := betweenVariance(rates)
	p.Between = math.Sqrt(v)
	mean, w := poolMean(rates, v)
	p.Mean, p.MeanU = mean, math.Sqrt(1/w)
	p.Next = Rate{Slope: mean, U: math.Sqrt(v + 1/w)}
	for _, r := range rates {
		own := v / (v + r.U*r.U)
		p.Shrunk = append(p.Shrunk, Rate{
			Slope: own*r.Slope + (1-own)*mean,
			U:     math.Sqrt(own*r.U*r.U + (1-own)*(1-own)/w),
		})
	}
	return p, nil
}

func poolMean(rates []Rate, between float64) (mean, weight float64) {
	var sum float64
	for _, r := range rates {
		w := 1 / (between + r.U*r.U)
		weight += w
		sum += w * r.Slope
	}
	return sum / weight, weight
}

// betweenVariance finds the root of the derivative of the restricted
// likelihood in the variance between parts; the derivative falls through zero
// once or is negative from the start (variance 0).
func betweenVariance(rates []Rate) float64 {
	score := func(v float64) float64 {
		mean, w := poolMean(rates, v)
		var s, w2 float64
		for _, r := range rates {
			k := 1 / (v + r.U*r.U)
			s += k*k*(r.Slope-mean)*(r.Slope-mean) - k
			w2 += k * k
		}
		return s + w2/w
	}
	if score(0) <= 0 {
		return 0
	}
	low, high := 0.0, 0.0
	mean, _ := poolMean(rates, 0)
	for _, r := range rates {
		high = math.Max(high, (r.Slope-mean)*(r.Slope-mean)+r.U*r.U)
	}
	for i := 0; i < 60 && score(high) > 0; i++ {
		high *= 2
	}
	for i := 0; i < 200 && high-low > 1e-14*high; i++ {
		if mid := (low + high) / 2; score(mid) > 0 {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
