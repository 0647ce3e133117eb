package metrology

import (
	"math"
	"strconv"

	"pumpwright/calc/say"
)

var (
	msgNotFinite      = say.Define("metrology.not_finite", "the number must be finite")
	msgPlainNumber    = say.Define("metrology.plain_number", "write an ordinary number")
	msgNegative       = say.Define("metrology.negative", "this cannot be negative")
	msgZeroOrMore     = say.Define("metrology.zero_or_more", "write zero or more")
	msgUnknownShape   = say.Define("metrology.unknown_shape", "this shape of a distribution is not known")
	msgShapesAre      = say.Define("metrology.shapes_are", "the shapes are {shapes:list}")
	msgTooFewReadings = say.Define("metrology.too_few_readings", "there are too few readings")
	msgNeedsReadings  = say.Define("metrology.needs_readings", "give at least {n:count|reading|readings}")
	msgConfidence     = say.Define("metrology.confidence", "the confidence must lie above 0.5 and below 1")
	msgWriteConfident = say.Define("metrology.write_confidence", "write a fraction like 0.95")
)

// Shape is the form of a distribution that is known by its limits.
type Shape string

// Show prints the word in the language of a style.
func (v Shape) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Shape) Message() say.Message { return say.Word("metrology", string(v)) }

// The shapes of JCGM 100, 4.3.
const (
	Rectangular Shape = "rectangular" // any value between the limits alike
	Triangular  Shape = "triangular"  // the middle likelier
	Arcsine     Shape = "arcsine"     // swings between the limits
	NormalK2    Shape = "normal"      // an expanded uncertainty with k = 2, as on a certificate
)

// Shapes lists the shapes.
func Shapes() []string {
	return []string{string(Rectangular), string(Triangular), string(Arcsine), string(NormalK2)}
}

// OfHalfWidth returns the standard uncertainty of a value known to lie within
// ± a:
//
//	rectangular a/√3 · triangular a/√6 · arcsine a/√2 · normal a/2
//
// a ≥ 0, any unit; the result has the same. Source: JCGM 100:2008, 4.3.7 and
// 4.3.9; normal: a certificate that states k = 2 (4.3.3).
func OfHalfWidth(a float64, shape Shape) (float64, error) {
	if err := zeroOrMore("half_width", a); err != nil {
		return 0, err
	}
	switch shape {
	case Rectangular:
		return a / math.Sqrt(3), nil
	case Triangular:
		return a / math.Sqrt(6), nil
	case Arcsine:
		return a / math.Sqrt2, nil
	case NormalK2:
		return a / 2, nil
	}
	return 0, say.Refuse("shape", string(shape), msgUnknownShape.With(), msgShapesAre.With(Shapes()))
}

// OfResolution returns the standard uncertainty that the step r of a display
// or scale leaves: u = r/√12. r ≥ 0, any unit. Source: JCGM 100:2008, F.2.2.1.
func OfResolution(r float64) float64 { return math.Abs(r) / math.Sqrt(12) }

// Sample is what repeated readings of one thing say (type A).
type Sample struct {
	N    int
	Mean float64
	SD   float64 // experimental standard deviation, n − 1
	U    float64 // of the mean: SD/√n
	DOF  float64 // n − 1
}

// TypeA evaluates repeated readings of one thing, in any unit. At least two,
// all finite. Source: JCGM 100:2008, 4.2.
func TypeA(readings []float64) (Sample, error) {
	if len(readings) < 2 {
		return Sample{}, say.Refuse("readings", strconv.Itoa(len(readings)), msgTooFewReadings.With(), msgNeedsReadings.With(2))
	}
	for i, v := range readings {
		if err := finite("readings["+strconv.Itoa(i)+"]", v); err != nil {
			return Sample{}, err
		}
	}
	mean, ss := meanAndSquares(readings)
	n := float64(len(readings))
	sd := math.Sqrt(ss / (n - 1))
	return Sample{N: len(readings), Mean: mean, SD: sd, U: sd / math.Sqrt(n), DOF: n - 1}, nil
}

func meanAndSquares(values []float64) (mean, squares float64) {
	for _, v := range values {
		mean += v
	}
	mean /= float64(len(values))
	for _, v := range values {
		squares += (v - mean) * (v - mean)
	}
	return mean, squares
}

// PooledSD joins sums of squares of several groups, each with its degrees of
// freedom: s = √(ΣSS/Σν). Source: NIST/SEMATECH e-Handbook, 2.4.4.
func PooledSD(squares, dof []float64) (sd, total float64, err error) {
	if len(squares) == 0 || len(squares) != len(dof) {
		return 0, 0, say.Refuse("squares", strconv.Itoa(len(squares)), msgTooFewReadings.With(), msgNeedsReadings.With(1))
	}
	sum := 0.0
	for i := range squares {
		if err := zeroOrMore("squares["+strconv.Itoa(i)+"]", squares[i]); err != nil {
			return 0, 0, err
		}
		if err := zeroOrMore("dof["+strconv.Itoa(i)+"]", dof[i]); err != nil {
			return 0, 0, err
		}
		sum += squares[i]
		total += dof[i]
	}
	if total == 0 {
		return 0, 0, say.Refuse("dof", "0", msgTooFewReadings.With(), msgNeedsReadings.With(2))
	}
	return math.Sqrt(sum / total), total, nil
}

func finite(field string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return say.Refuse(field, formatNumber(v), msgNotFinite.With(), msgPlainNumber.With())
	}
	return nil
}

func zeroOrMore(field string, v float64) error {
	if err := finite(field, v); err != nil {
		return err
	}
	if v < 0 {
		return say.Refuse(field, formatNumber(v), msgNegative.With(), msgZeroOrMore.With())
	}
	return nil
}

func checkConfidence(confidence float64) error {
	if !(confidence > 0.5 && confidence < 1) {
		return say.Refuse("confidence", formatNumber(confidence), msgConfidence.With(), msgWriteConfident.With())
	}
	return nil
}

func formatNumber(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }
