package quantity

import (
	"math"
	"strconv"
	"strings"

	"pumpwright/calc/say"
)

var (
	msgMeantUnit  = say.Define("quantity.meant_unit", "{likely}? you typed {typed}")
	msgMeantPoint = say.Define("quantity.meant_point", "{likely}? you typed {typed}; the decimal point may have slipped")
	msgFarOff     = say.Define("quantity.far_off", "{typed} is far from the {nominal:quantity} expected here; read it again")
)

// Slip is the kind of mistake that a typed value looks like.
type Slip uint8

// The mistakes that are looked for.
const (
	NoSlip       Slip = iota
	OtherUnit         // the right digits with the wrong unit: 0.152 in for 0.152 mm
	DecimalPoint      // the decimal point slipped by one, two or three places
	Unexplained       // far off, and no usual mistake explains it
)

// Intention is what somebody may have meant who typed a value that is far from
// what is expected.
type Intention struct {
	Slip    Slip
	Likely  Entered // what may have been meant; zero when Slip is NoSlip or Unexplained
	Message say.Message
}

// usualUnits are the units that are mistaken for each other at the bench.
var usualUnits = map[Dimension][]string{
	LengthDimension:             {"mm", "in", "thou", "µm"},
	PressureDifferenceDimension: {"bar", "psi", "kPa", "MPa", "mbar", "kgf/cm2"},
	AbsolutePressureDimension:   {"bar(a)", "psi(a)", "kPa(a)", "mbar(a)", "mmHg", "inHg(a)"},
	FlowDimension:               {"L/min", "gpm", "m3/h", "L/s", "L/h", "imp gpm"},
	TorqueDimension:             {"N·m", "ft-lb", "in-lb", "kgf·m", "N·mm"},
	KinematicViscosityDimension: {"mm2/s", "SSU", "SSF", "°E", "RI"},
	VolumeDimension:             {"L", "cm3", "gal", "in3", "imp gal"},
}

// Intended compares what was typed with the value expected, which may lie off
// by ± span, and names the usual mistake that would explain a value outside:
// the same digits in another unit (0.152 mm typed as 0.152 in, 6 thou typed as
// 6 mm), or a decimal point that slipped by one to three places. Of several
// the one nearest to the expected value is taken, at equal distance the unit.
// typed, nominal and span are of one dimension; span ≥ 0 in its SI unit. It
// only asks: what was typed stays what was typed.
func Intended(typed Entered, nominal, span float64) Intention {
	finite := !math.IsNaN(nominal) && !math.IsInf(nominal, 0) && span >= 0
	if !finite || math.Abs(typed.SI-nominal) <= span {
		return Intention{}
	}
	digits, value, ok := digitsOf(typed)
	best, bestDistance := Intention{}, math.Inf(1)
	consider := func(slip Slip, text, symbol string, message say.Template) {
		e, err := Parse(typed.Dimension, text+" "+symbol, AbsoluteByNature)
		if err != nil {
			return
		}
		distance := math.Abs(e.SI - nominal)
		if distance > span || distance >= bestDistance-1e-9*math.Abs(nominal) { // a tie keeps the first
			return
		}
		bestDistance = distance
		best = Intention{Slip: slip, Likely: e, Message: message.With(e.Text, typed.Text)}
	}
	if ok {
		for _, symbol := range confusedUnits(typed) {
			if symbol != typed.Unit {
				consider(OtherUnit, digits, symbol, msgMeantUnit)
			}
		}
		for _, factor := range []float64{0.1, 10, 0.01, 100, 0.001, 1000} {
			shifted := strconv.FormatFloat(roundTo12(value*factor), 'f', -1, 64)
			consider(DecimalPoint, shifted, typed.Unit, msgMeantPoint)
		}
	}
	if best.Slip == NoSlip {
		shown := typedNominal{typed.Dimension, nominal}
		return Intention{Slip: Unexplained, Message: msgFarOff.With(typed.Text, shown)}
	}
	return best
}

// IntendedWithin is Intended for a range of plausible values.
func IntendedWithin(typed Entered, low, high float64) Intention {
	return Intended(typed, (low+high)/2, math.Abs(high-low)/2)
}

// Entered returns what was written without its type.
func (g Given[T]) Entered() Entered {
	return Entered{Dimension: g.Value.Dimension(), SI: g.Value.SI(), Text: g.Text, Unit: g.Unit, Resolution: g.Resolution}
}

// typedNominal shows an expected value in the reader's units.
type typedNominal struct {
	dimension Dimension
	si        float64
}

func (n typedNominal) Show(s say.Style) string { return Show(n.dimension, n.si, s) }

// digitsOf takes the number out of the text as typed, unless the text is made
// of several numbers (feet and inches).
func digitsOf(typed Entered) (digits string, value float64, ok bool) {
	clean := normalise(typed.Text)
	n, rest, err := scanNumber(clean)
	if err != nil {
		return "", 0, false
	}
	if u, err := matchUnit(typed.Dimension, strings.TrimSpace(rest)); err != nil || u.symbol != typed.Unit {
		return "", 0, false
	}
	return strings.TrimSpace(clean[:len(clean)-len(rest)]), n.value, true
}

func confusedUnits(typed Entered) []string {
	if usual := usualUnits[typed.Dimension]; usual != nil {
		return usual
	}
	return UnitSymbols(typed.Dimension)
}

func roundTo12(v float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64)
	if err != nil {
		return v
	}
	return r
}
