package align

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Tolerance is one published limit at a speed.
type Tolerance struct {
	Table           string
	Speed           quantity.RotationalSpeed // the speed looked up
	AcceptableShift quantity.Length
	AcceptableAngle quantity.Angle
	ExcellentShift  quantity.Length
	ExcellentAngle  quantity.Angle
	Source          string
}

const (
	mil               = 25.4e-6
	millimetre        = 1e-3
	perHundred        = 1e-2 // mm per 100 mm
	milPerTen         = 1e-4 // mils per 10 in
	milPerInch        = 1e-3
	rpm               = 2 * math.Pi / 60
	tableShortFlex    = "short flexible couplings, by stated speeds"
	tableSpeedBands   = "flexible couplings, by speed bands"
	sourceShortFlex   = "suggested shaft alignment tolerances, alignment handbook of 2000, p. 6-6, and an alignment service's page"
	sourceSpeedBands  = "recommended alignment tolerances by speed, printed alike in the manuals of two alignment instruments"
	lengthTolerance   = 1e-9
	spanRulePerLength = 0.0005
)

// byStatedSpeed is the table of short flexible couplings: metric rows for the
// speeds of a 50 Hz supply, inch rows for those of 60 Hz, in one list. Columns:
// rev/min; offset acceptable, excellent; gap as a slope acceptable, excellent.
var byStatedSpeed = [][5]float64{
	{600, 9.0 * mil, 5.0 * mil, 15 * milPerTen, 10 * milPerTen},
	{750, 0.19 * millimetre, 0.09 * millimetre, 0.13 * perHundred, 0.09 * perHundred},
	{900, 6.0 * mil, 3.0 * mil, 10 * milPerTen, 7 * milPerTen},
	{1200, 4.0 * mil, 2.5 * mil, 8 * milPerTen, 5 * milPerTen},
	{1500, 0.09 * millimetre, 0.06 * millimetre, 0.07 * perHundred, 0.05 * perHundred},
	{1800, 3.0 * mil, 2.0 * mil, 5 * milPerTen, 3 * milPerTen},
	{3000, 0.06 * millimetre, 0.03 * millimetre, 0.04 * perHundred, 0.03 * perHundred},
	{3600, 1.5 * mil, 1.0 * mil, 3 * milPerTen, 2 * milPerTen},
	{6000, 0.03 * millimetre, 0.02 * millimetre, 0.03 * perHundred, 0.02 * perHundred},
	{7200, 1.0 * mil, 0.5 * mil, 2 * milPerTen, 1 * milPerTen},
}

// bySpeedBand: up to rev/min; excellent offset, angle; acceptable offset,
// angle, in mils and mils per inch.
var bySpeedBand = [][5]float64{
	{500, 5.0, 1.5, 6.0, 2.0},
	{1250, 4.0, 1.0, 5.0, 1.5},
	{2000, 3.0, 0.5, 4.0, 1.0},
	{3500, 2.0, 0.3, 3.0, 0.5},
	{7000, 1.0, 0.25, 2.0, 0.3},
	{math.Inf(1), 0.5, 0.2, 1.0, 0.25},
}

var (
	msgSpeedAbove = say.Define("align.speed_above", "the speed must be above zero")
	msgTooFast    = say.Define("align.too_fast", "the published table of {table} ends at {speed:rotational_speed}")
)

// Tolerances looks up the published limits for a speed of rotation, both
// tables. Between the stated speeds of the first the next higher one counts,
// which is the stricter. Above 7200 rev/min only the second answers, and a
// message says so.
// Errors: *say.Problem naming speed.
func Tolerances(speed quantity.RotationalSpeed) ([]Tolerance, []say.Message, error) {
	n := speed.SI() / rpm
	if !(n > 0) || math.IsInf(n, 1) {
		return nil, nil, say.Refuse("speed", speed.String(), msgSpeedAbove.With(), say.Message{})
	}
	n *= 1 - 1e-12 // so that a stated speed is itself, not the next
	var list []Tolerance
	var notes []say.Message
	last := byStatedSpeed[len(byStatedSpeed)-1]
	if n > last[0] {
		notes = append(notes, msgTooFast.With(tableShortFlex, quantity.RotationalSpeed(last[0]*rpm)))
	}
	for _, row := range byStatedSpeed {
		if n <= row[0] {
			list = append(list, Tolerance{tableShortFlex, speed, quantity.Length(row[1]), quantity.Angle(row[3]),
				quantity.Length(row[2]), quantity.Angle(row[4]), sourceShortFlex})
			break
		}
	}
	for _, row := range bySpeedBand {
		if n <= row[0] {
			list = append(list, Tolerance{tableSpeedBands, speed, quantity.Length(row[3] * mil), quantity.Angle(row[4] * milPerInch),
				quantity.Length(row[1] * mil), quantity.Angle(row[2] * milPerInch), sourceSpeedBands})
			break
		}
	}
	return list, notes, nil
}

// Grade says how an alignment stands against one table.
type Grade string

// Show prints the word in the language of a style.
func (v Grade) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Grade) Message() say.Message { return say.Word("align", string(v)) }

// The grades of the published tables.
const (
	Excellent  Grade = "excellent"
	Acceptable Grade = "acceptable"
	Outside    Grade = "outside"
)

// Verdict is an alignment against one table.
type Verdict struct {
	Tolerance
	Shift  quantity.Length // the larger of vertical and horizontal, running
	Angle  quantity.Angle
	Grade  Grade
	Within bool // acceptable or better
}

// judge compares a running alignment with the tables. The offset is that at
// the plane of the coupling where it is larger (0 and −between), vertical
// and horizontal each by itself, as the tables are meant.
func judge(shift quantity.Length, angle quantity.Angle, tables []Tolerance) []Verdict {
	verdicts := make([]Verdict, len(tables))
	for i, t := range tables {
		v := Verdict{Tolerance: t, Shift: shift, Angle: angle, Grade: Outside}
		switch {
		case shift <= t.ExcellentShift+lengthTolerance && angle <= t.ExcellentAngle*(1+1e-9):
			v.Grade = Excellent
		case shift <= t.AcceptableShift+lengthTolerance && angle <= t.AcceptableAngle*(1+1e-9):
			v.Grade = Acceptable
		}
		v.Within = v.Grade != Outside
		verdicts[i] = v
	}
	return verdicts
}

// SpanRule returns the rule-of-thumb limit of offset for a coupling with a
// span between its flexing planes: 0.0005 of the span, up to 3600 rev/min.
// Source: published rule of thumb of an alignment page.
func SpanRule(span quantity.Length) (quantity.Length, error) {
	if err := above("span", span); err != nil {
		return 0, err
	}
	return spanRulePerLength * span, nil
}
