package fields

import (
	"fmt"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Any is an input whose dimension the person chooses: a quantity with its
// unit, or a plain number.
type Any struct {
	Text   string
	number float64
	plain  bool
}

// AnyNumber makes an Any of a plain number.
func AnyNumber(v float64) Any { return Any{Text: fmt.Sprint(v), number: v, plain: true} }

// IsPlain reports whether a plain number was given.
func (a Any) IsPlain() bool { return a.plain }

// Number returns the plain number.
func (a Any) Number() float64 { return a.number }

// anyOrder is the order in which the dimension of a unit is looked for, so
// that the units of several dimensions (bar, K, lb) have one reading.
var anyOrder = append([]quantity.Dimension{
	quantity.LengthDimension, quantity.PressureDifferenceDimension, quantity.TemperatureDimension,
	quantity.TorqueDimension, quantity.ForceDimension, quantity.VolumeDimension,
}, quantity.Dimensions()...)

// Read reads the text as a quantity of whatever dimension its unit has.
func (a Any) Read() (quantity.Entered, error) {
	if a.plain {
		return quantity.Entered{SI: a.number, Text: a.Text}, nil
	}
	var first error
	for _, d := range anyOrder {
		e, err := quantity.Parse(d, a.Text)
		if err == nil {
			return e, nil
		}
		if first == nil || unitUnknown(first) && !unitUnknown(err) {
			first = err
		}
	}
	return quantity.Entered{}, first
}

// unitUnknown reports whether a dimension was refused because it does not
// have the unit: the refusal of one that has it says more.
func unitUnknown(err error) bool {
	p := say.AsProblem(err)
	return p != nil && (p.Message.ID() == "quantity.unknown_unit" || p.Message.ID() == "quantity.other_kind")
}

// As reads the text as a quantity of the dimension d (or a plain number when d
// is NoDimension).
func (a Any) As(d quantity.Dimension) (quantity.Entered, error) {
	if a.plain && (d == quantity.NoDimension || a.number == 0) {
		return quantity.Entered{Dimension: d, SI: a.number, Text: a.Text}, nil
	}
	if d == quantity.NoDimension {
		v, err := quantity.ReadNumber(a.Text)
		return quantity.Entered{SI: v, Text: a.Text}, err
	}
	return quantity.Parse(d, a.Text)
}

// Difference returns the dimension of a difference of two values of d.
func Difference(d quantity.Dimension) quantity.Dimension {
	switch d {
	case quantity.TemperatureDimension:
		return quantity.TemperatureDifferenceDimension
	case quantity.AbsolutePressureDimension:
		return quantity.PressureDifferenceDimension
	}
	return d
}

// AnyResult is a result whose dimension follows the input.
type AnyResult struct {
	Dimension quantity.Dimension
	SI        float64
	U         float64 // standard uncertainty, SI; 0 = not stated
}

// Show prints the result in the units of a style.
func (r AnyResult) Show(s say.Style) string {
	if r.U > 0 {
		return quantity.ShowWithU(r.Dimension, r.SI, r.U, s)
	}
	return quantity.Show(r.Dimension, r.SI, s)
}

// Hours is a number of hours: a plain number, or a time with its unit.
type Hours float64

// Years is a number of years: a plain number, or a time with its unit.
type Years float64

const (
	secondsPerHour = 3600
	secondsPerYear = 8766 * 3600
)

// ParseAny reads a quantity of whatever dimension its unit has.
func ParseAny(text string) (quantity.Entered, error) { return Any{Text: text}.Read() }
