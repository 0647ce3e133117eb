package life

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/say"
)

// Reading is one reading of a part: its value at an age, both in the caller's
// units, and its standard uncertainty where known (0 = not known).
type Reading struct {
	Hours float64
	Value float64
	U     float64
}

// Line is a straight line through readings by least squares,
//
//	value = intercept + slope · hours
//
// weighted by 1/u² when every reading has a standard uncertainty.
//
// Without uncertainties the scatter of the readings gives their variance
// (n − 2 degrees of freedom, Student's t). With uncertainties the variance is
// theirs; when the readings scatter more than that, all variances are raised
// by χ²/(n − 2) and Student's t is used; they are never lowered.
//
// Source: Montgomery & Runger, Applied Statistics and Probability for
// Engineers, simple linear regression. The raising by χ²/(n − 2) is the
// scale factor of the Particle Data Group, from memory.
type Line struct {
	Intercept, Slope   float64
	InterceptU, SlopeU float64 // standard uncertainties
	Covariance         float64 // of intercept and slope
	ResidualSD         float64 // √(Σ residual²/(n − 2)), not weighted; 0 when n = 2
	ResidualSS         float64
	RSquared           float64
	F                  float64 // regression over residual variance, not weighted; 0 when nothing is left over
	N                  int
	Weighted           bool
	Scale              float64 // by how much the stated variances were raised, 1 = not

	readings  []Reading
	center    float64 // weighted mean of the hours
	atCenter  float64 // value of the line there
	atCenterV float64 // its variance
	slopeV    float64
	newV      float64 // variance of a new reading about the line
	degrees   int     // of Student's t; 0 = normal
}

var (
	msgFewReadings   = say.Define("life.few_readings", "{have:count|reading|readings} cannot carry a line with its scatter")
	msgNeedReadings  = say.Define("life.need_readings", "at least {need} at different hours, or two that all state u")
	msgOneAge        = say.Define("life.one_age", "all readings are at the same hours")
	msgNotFinite     = say.Define("life.not_finite", "this must be a finite number")
	msgNegativeU     = say.Define("life.negative_u", "a standard uncertainty is more than 0")
	msgConfidence    = say.Define("life.confidence", "a confidence lies between 0 and 1")
	msgHoursPositive = say.Define("life.hours_positive", "hours are 0 or more")
)

// FitLine fits a Line. Readings with and without U mixed are not weighted.
//
// Errors: fewer than three readings (two when both have U), all at one age,
// and numbers that are not finite are refused.
func FitLine(readings []Reading) (*Line, error) {
	weighted := len(readings) > 0
	for i, r := range readings {
		at := fmt.Sprintf("points[%d]", i)
		switch {
		case !finite(r.Hours):
			return nil, say.Refuse(at+".hours", fmt.Sprint(r.Hours), msgNotFinite.With(), say.Message{})
		case !finite(r.Value):
			return nil, say.Refuse(at+".value", fmt.Sprint(r.Value), msgNotFinite.With(), say.Message{})
		case !finite(r.U) || r.U < 0:
			return nil, say.Refuse(at+".u", fmt.Sprint(r.U), msgNegativeU.With(), say.Message{})
		}
		weighted = weighted && r.U > 0
	}
	if n := len(readings); n < 2 || n < 3 && !weighted {
		return nil, say.Refuse("points", fmt.Sprint(n), msgFewReadings.With(n), msgNeedReadings.With(3))
	}
	l := &Line{N: len(readings), Weighted: weighted, Scale: 1, readings: readings}
	return l, l.solve()
}

func (l *Line) weight(r Reading) float64 {
	if l.Weighted {
		return 1 / (r.U * r.U)
	}
	return 1
}

// solve uses sums about the means, so that hours far from 0 cost no digits.
func (l *Line) solve() error {
	var w, wx, wy float64
	for _, r := range l.readings {
		k := l.weight(r)
		w += k
		wx += k * r.Hours
		wy += k * r.Value
	}
	l.center, l.atCenter = wx/w, wy/w
	var sxx, sxy, dx, dy float64
	for _, r := range l.readings {
		k := l.weight(r)
		x, y := r.Hours-l.center, r.Value-l.atCenter
		sxx += k * x * x
		sxy += k * x * y
		dx += k * x
		dy += k * y
	}
	// what rounding left in the means
	l.center += dx / w
	l.atCenter += dy / w
	sxx -= dx * dx / w
	sxy -= dx * dy / w
	if !(sxx > 0) {
		return say.Refuse("points", "", msgOneAge.With(), say.Message{})
	}
	l.Slope = sxy / sxx
	l.Intercept = l.atCenter - l.Slope*l.center
	var chi2, meanU2, syy, meanY float64
	for _, r := range l.readings {
		meanY += r.Value / float64(l.N)
	}
	for _, r := range l.readings {
		e := r.Value - l.atCenter - l.Slope*(r.Hours-l.center)
		l.ResidualSS += e * e
		chi2 += l.weight(r) * e * e
		syy += (r.Value - meanY) * (r.Value - meanY)
		meanU2 += r.U * r.U / float64(l.N)
	}
	free := l.N - 2
	if free > 0 {
		l.ResidualSD = math.Sqrt(l.ResidualSS / float64(free))
		if l.ResidualSS > 0 {
			l.F = (syy - l.ResidualSS) / (l.ResidualSS / float64(free))
		}
	}
	if syy > 0 {
		l.RSquared = 1 - l.ResidualSS/syy
	}
	variance := 1.0
	switch {
	case !l.Weighted:
		variance, l.degrees = chi2/float64(free), free
		l.newV = variance
	case free > 0 && chi2 > float64(free):
		variance, l.degrees = chi2/float64(free), free
		l.Scale = variance
		l.newV = variance * meanU2
	default:
		l.newV = meanU2
	}
	l.slopeV = variance / sxx
	l.atCenterV = variance / w
	l.SlopeU = math.Sqrt(l.slopeV)
	l.InterceptU = math.Sqrt(l.atCenterV + l.center*l.center*l.slopeV)
	l.Covariance = -l.center * l.slopeV
	return nil
}

// At returns the value of the line at an age.
func (l *Line) At(hours float64) float64 { return l.atCenter + l.Slope*(hours-l.center) }

// Factor returns the factor of a two-sided band at a confidence: Student's t
// with n − 2 degrees of freedom, or the normal one when the stated
// uncertainties explain the scatter.
func (l *Line) Factor(confidence float64) float64 {
	return quantileFactor((1+confidence)/2, l.degrees)
}

func quantileFactor(p float64, degrees int) float64 {
	if degrees == 0 {
		return distuv.UnitNormal.Quantile(p)
	}
	return distuv.StudentsT{Sigma: 1, Nu: float64(degrees)}.Quantile(p)
}

// MeanHalfWidth returns half the width of the two-sided band of the line
// itself at an age.
func (l *Line) MeanHalfWidth(hours, confidence float64) float64 {
	return l.Factor(confidence) * math.Sqrt(l.meanV(hours))
}

// HalfWidth returns half the width of the two-sided band in which one new
// reading at an age lies.
func (l *Line) HalfWidth(hours, confidence float64) float64 {
	return l.Factor(confidence) * math.Sqrt(l.meanV(hours)+l.newV)
}

func (l *Line) meanV(hours float64) float64 {
	x := hours - l.center
	return l.atCenterV + x*x*l.slopeV
}

// Crossing says when a trend reaches a limit.
type Crossing struct {
	At   *float64 // when the line reaches it; nil = it moves away or stands
	Low  *float64 // when the near edge of the band reaches it
	High *float64 // when the far edge reaches it; nil = not at all
}

// Reach returns when the line reaches a limit from where it stands at hours 0
// or later, with the ages at which the two edges of the prediction band
// (two-sided, at a confidence) reach it: at Low a new reading may lie beyond
// the limit, after High it must. The same with mean = true for the band of the
// line itself.
//
//	At   = (limit − intercept)/slope
//	edge: (limit − ŷ(x))² = k²·(s_new² + s_mean²(x))
//
// Errors: a confidence that does not lie between 0 and 1.
// Source: derived here from the bands (inverse prediction).
func (l *Line) Reach(limit, confidence float64, mean bool) (Crossing, error) {
	if !(confidence > 0 && confidence < 1) {
		return Crossing{}, say.Refuse("confidence", fmt.Sprint(confidence), msgConfidence.With(), say.Message{})
	}
	if !finite(limit) {
		return Crossing{}, say.Refuse("limit", fmt.Sprint(limit), msgNotFinite.With(), say.Message{})
	}
	k := l.Factor(confidence)
	add := l.newV
	if mean {
		add = 0
	}
	var c Crossing
	if l.Slope != 0 {
		at := l.center + (limit-l.atCenter)/l.Slope
		c.At = &at
	}
	if l.slopeV == 0 && l.newV == 0 { // the readings lie on the line: no band
		c.Low, c.High = c.At, c.At
		return c, nil
	}
	// (d − b·x)² = k²(A + x²·V), x from the centre, d = limit − ŷ(centre)
	d := limit - l.atCenter
	a2 := l.Slope*l.Slope - k*k*l.slopeV
	a0 := d*d - k*k*(l.atCenterV+add)
	a1 := -2 * l.Slope * d
	disc := a1*a1 - 4*a2*a0
	if disc < 0 {
		return c, nil
	}
	q := -(a1 + math.Copysign(math.Sqrt(disc), a1)) / 2
	roots := []float64{}
	if a2 != 0 {
		roots = append(roots, q/a2)
	}
	if q != 0 {
		roots = append(roots, a0/q)
	}
	for _, x := range roots {
		age := l.center + x
		// The edge on the limit's side is met where the line has not yet reached
		// it, the other edge where it is past it.
		switch past := (l.Slope*x - d) * math.Copysign(1, l.Slope); {
		case past <= 0 && (a2 > 0 || l.forward(age, d)):
			c.Low = &age
		case past > 0 && (a2 > 0 || l.forward(age, d)):
			c.High = &age
		}
	}
	return c, nil
}

// WithRate returns the line with another slope through the middle of its
// readings: the slope that pooling with sister pumps gives for this one.
func (l *Line) WithRate(r Rate) *Line {
	turned := *l
	turned.Slope, turned.SlopeU, turned.slopeV = r.Slope, r.U, r.U*r.U
	turned.Intercept = l.atCenter - r.Slope*l.center
	turned.InterceptU = math.Sqrt(l.atCenterV + l.center*l.center*turned.slopeV)
	turned.Covariance = -l.center * turned.slopeV
	return &turned
}

// forward tells the edge that lies ahead, on the way from the middle of the
// readings to the limit, from the one that the widening band of an uncertain
// slope meets backwards in time.
func (l *Line) forward(age, d float64) bool {
	return (age-l.center)*l.Slope*d >= 0
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
