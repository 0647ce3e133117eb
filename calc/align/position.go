package align

import (
	"math"
	"strconv"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgFarther = say.Define("align.farther", "the far feet must lie beyond the near feet")
	msgAbove   = say.Define("align.above", "this must be a length above zero")
)

// Line is a straight line beside the axis of the stationary shaft: the offset
// at the plane of the movable rim and the slope, both positive up (right).
type Line struct {
	Offset quantity.Length
	Slope  quantity.Angle // offset per length, towards the feet
}

// At returns the offset at a distance from the plane of the movable rim
// towards the feet.
func (l Line) At(x quantity.Length) quantity.Length {
	return l.Offset + quantity.Length(l.Slope.SI()*x.SI())
}

// PerLength is a slope shown as the trade reads it: 0.060 mm per 100 mm, or
// 0.60 mil/in.
type PerLength quantity.Angle

// Show prints the slope in the units of a style.
func (p PerLength) Show(s say.Style) string {
	digits, scale, unit := 3, 100.0, " mm per 100 mm"
	if s.Units == say.Inch {
		digits, scale, unit = 2, 1000, " mil/in"
	}
	text := strconv.FormatFloat(float64(p)*scale, 'f', digits, 64)
	if s.Catalogue != nil {
		text = strings.Replace(text, ".", s.Catalogue.Decimal(), 1)
	}
	return text + unit
}

// Slopes puts the angles between the shafts in words, cold.
func (p Position) Slopes() []say.Message {
	return []say.Message{msgSlope.With(wordVertical.With(), PerLength(p.Vertical.Slope)), msgSlope.With(wordSideways.With(), PerLength(p.Horizontal.Slope))}
}

var msgSlope = say.Define("align.slope_words", "{way}: {slope}")

// Position is where the movable shaft lies, cold, as measured.
type Position struct {
	Vertical   Line
	Horizontal Line
	Closure    quantity.Length // largest closure error of the sets
}

// Bracket says which shaft carries the dial of a rim-and-face set.
type Bracket string

// Show prints the word in the language of a style.
func (v Bracket) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Bracket) Message() say.Message { return say.Word("align", string(v)) }

// On the movable shaft the dials read the stationary hub, as in the usual
// one-page formulas; on the stationary shaft they read the movable hub.
const (
	OnMovable    Bracket = "movable"
	OnStationary Bracket = "stationary"
)

// RimFace is a rim-and-face set.
type RimFace struct {
	FaceDiameter quantity.Length // swept by the face dial
	Rim, Face    Clock
	Sag          quantity.Length // of the rim bar, reading at the bottom; the face dial is taken as stiff
	Bracket      Bracket
}

// Position works out a rim-and-face set. With the bracket on the movable
// shaft
//
//	offset = rim/2,  slope = −face/D
//
// rim and face being bottom less top (left less right) reading, D the swept
// diameter. A dial carried by the stationary shaft reads the rim with the
// other sign. The offset is that at the plane of the rim.
// Errors: *say.Problem naming face_diameter, rim or face.
// Source: the usual one-page rim-and-face formulas, foot move = face·x/D −
// rim/2; signs derived here.
func (s RimFace) Position() (Position, error) {
	if err := above("face_diameter", s.FaceDiameter); err != nil {
		return Position{}, err
	}
	if err := s.Rim.check("rim"); err != nil {
		return Position{}, err
	}
	if err := s.Face.check("face"); err != nil {
		return Position{}, err
	}
	sign := 1.0
	if s.Bracket == OnStationary {
		sign = -1
	}
	rim, d := s.Rim.WithoutSag(s.Sag), s.FaceDiameter.SI()
	return Position{
		Vertical:   Line{quantity.Length(sign * rim.vertical()), quantity.Angle(-2 * s.Face.vertical() / d)},
		Horizontal: Line{quantity.Length(sign * rim.horizontal()), quantity.Angle(-2 * s.Face.horizontal() / d)},
		Closure:    max(s.Rim.ClosureError(), s.Face.ClosureError()),
	}, nil
}

// Reverse is a reverse indicator set.
type Reverse struct {
	Between       quantity.Length // between the planes of the two rims
	StationaryRim Clock           // read by the dial carried by the movable shaft
	MovableRim    Clock           // read by the dial carried by the stationary shaft
	Sag           quantity.Length // of either bar, reading at the bottom
}

// Position works out a reverse indicator set.
//
//	y_S = +RS/2,  y_M = −RM/2,  slope = (y_M − y_S)/L
//
// RS and RM are bottom less top (left less right) readings without sag on the
// stationary and the movable rim, L lies between their planes. The offset is
// that at the movable rim.
// Errors: *say.Problem naming between, stationary_rim or movable_rim.
// Source: geometry as in Bloch and Geitner, Machinery Component Maintenance
// and Repair, ch. 5; signs derived here.
func (s Reverse) Position() (Position, error) {
	if err := above("between", s.Between); err != nil {
		return Position{}, err
	}
	if err := s.StationaryRim.check("stationary_rim"); err != nil {
		return Position{}, err
	}
	if err := s.MovableRim.check("movable_rim"); err != nil {
		return Position{}, err
	}
	rs, rm, l := s.StationaryRim.WithoutSag(s.Sag), s.MovableRim.WithoutSag(s.Sag), s.Between.SI()
	line := func(stationary, movable float64) Line {
		return Line{quantity.Length(-movable), quantity.Angle((-movable - stationary) / l)}
	}
	return Position{
		Vertical:   line(rs.vertical(), rm.vertical()),
		Horizontal: line(rs.horizontal(), rm.horizontal()),
		Closure:    max(s.StationaryRim.ClosureError(), s.MovableRim.ClosureError()),
	}, nil
}

func above(field string, q quantity.Length) error {
	if v := q.SI(); !(v > 0) || v > 1e3 {
		return say.Refuse(field, q.String(), msgAbove.With(), say.Message{})
	}
	return nil
}

func finite(field string, q quantity.Quantity) error {
	if v := q.SI(); math.IsNaN(v) || math.IsInf(v, 0) {
		return say.Refuse(field, q.Show(say.Style{}), msgNotFinite.With(), say.Message{})
	}
	return nil
}
