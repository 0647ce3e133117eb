package align

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	msgTooFewReadings = say.Define("align.too_few_readings", "at least three directions around the shaft are needed")
	msgNotFinite      = say.Define("align.not_finite", "this must be a finite number")
	msgExactFit       = say.Define("align.exact_fit", "three readings fit any circle: out-of-round cannot be seen, read at least eight places")
	msgSampledTIR     = say.Define("align.sampled_tir", "the readings may have missed the highest and lowest place: twice the eccentricity is {full:length}")
)

// Reading is one dial reading around a shaft.
type Reading struct {
	Angle quantity.Angle
	Dial  quantity.Length
}

// Runout is what a set of readings around a shaft holds.
type Runout struct {
	Readings     []Reading
	TIR          quantity.Length // highest less lowest reading
	Eccentricity quantity.Length // of the once-per-turn part
	HighAngle    quantity.Angle  // direction of the high point, 0 to 2π
	Mean         quantity.Length
	Residual     quantity.Length // highest less lowest of what is left: out-of-round
	Warnings     []say.Message
}

// FitRunout fits a circle that runs off centre to readings around a shaft.
//
//	reading(θ) ≈ a + b cos θ + c sin θ,  e = √(b² + c²),  high point at atan2(c, b)
//
//	θ  direction of the reading  rad   at least three different ones
//	e  eccentricity              m
//
// What the fit leaves is out-of-round: highest less lowest residual.
// Errors: *say.Problem naming readings[i].angle, readings[i].reading or
// readings.
// Source: least squares; derived here. The full circle's run-out is 2e, which
// readings at few places may miss.
func FitRunout(readings []Reading) (Runout, error) {
	n := len(readings)
	directions := map[int64]bool{}
	for i, r := range readings {
		if a := r.Angle.SI(); math.IsNaN(a) || math.Abs(a) > 1e6 {
			return Runout{}, say.In(place("readings", i), say.Refuse("angle", r.Angle.String(), msgNotFinite.With(), say.Message{}))
		}
		if v := r.Dial.SI(); math.IsNaN(v) || math.IsInf(v, 0) {
			return Runout{}, say.In(place("readings", i), say.Refuse("reading", r.Dial.String(), msgNotFinite.With(), say.Message{}))
		}
		turn := math.Mod(r.Angle.SI()/(2*math.Pi), 1)
		if turn < 0 {
			turn++
		}
		directions[int64(math.Round(turn*3600))%3600] = true
	}
	if len(directions) < 3 {
		return Runout{}, say.Refuse("readings", "", msgTooFewReadings.With(), say.Message{})
	}
	design, dial := mat.NewDense(n, 3, nil), mat.NewVecDense(n, nil)
	for i, r := range readings {
		sin, cos := math.Sincos(r.Angle.SI())
		design.SetRow(i, []float64{1, cos, sin})
		dial.SetVec(i, r.Dial.SI())
	}
	var fit mat.VecDense
	if err := fit.SolveVec(design, dial); err != nil {
		return Runout{}, say.Refuse("readings", "", msgTooFewReadings.With(), say.Message{})
	}
	a, b, c := fit.AtVec(0), fit.AtVec(1), fit.AtVec(2)
	low, high := math.Inf(1), math.Inf(-1)
	leastLeft, mostLeft := math.Inf(1), math.Inf(-1)
	for _, r := range readings {
		v := r.Dial.SI()
		sin, cos := math.Sincos(r.Angle.SI())
		left := v - a - b*cos - c*sin
		low, high = min(low, v), max(high, v)
		leastLeft, mostLeft = min(leastLeft, left), max(mostLeft, left)
	}
	out := Runout{Readings: readings, TIR: quantity.Length(high - low), Eccentricity: quantity.Length(math.Hypot(b, c)),
		Mean: quantity.Length(a), Residual: quantity.Length(mostLeft - leastLeft)}
	angle := math.Atan2(c, b)
	if angle < 0 {
		angle += 2 * math.Pi
	}
	out.HighAngle = quantity.Angle(angle)
	if len(directions) == 3 {
		out.Warnings = append(out.Warnings, msgExactFit.With())
	}
	if full := 2 * out.Eccentricity; full > out.TIR*1.02 {
		out.Warnings = append(out.Warnings, msgSampledTIR.With(full))
	}
	return out, nil
}

var (
	nameReading      = say.Define("align.reading", "reading {place:count}")
	nameTIR          = say.Define("align.tir", "total indicator reading")
	nameEccentricity = say.Define("align.eccentricity", "eccentricity")
	nameHighAngle    = say.Define("align.high_angle", "direction of the high point")
	nameResidual     = say.Define("align.residual", "out-of-round left after the fit")
)

const fittedCircle = "reading ≈ a + b cos θ + c sin θ, least squares"

// Working builds the tree of reasons.
func (r Runout) Working() *working.Node {
	leaves := make([]*working.Node, len(r.Readings))
	for i, one := range r.Readings {
		leaves[i] = working.Leaf(place("runout.readings", i), nameReading.With(i+1), "", one.Dial, "input "+place("readings", i))
	}
	tir := working.Result("runout.tir", nameTIR.With(), "TIR", r.TIR, "TIR = highest − lowest reading", "definition", leaves...)
	angle := working.Result("runout.high_angle", nameHighAngle.With(), "θ_h", r.HighAngle, "θ_h = atan2(c, b)", fittedCircle, leaves...)
	left := working.Result("runout.residual", nameResidual.With(), "", r.Residual, "highest − lowest of reading − fit", fittedCircle, leaves...)
	return working.Result("runout.eccentricity", nameEccentricity.With(), "e", r.Eccentricity, "e = √(b² + c²)", fittedCircle, tir, angle, left)
}
