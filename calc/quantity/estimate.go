package quantity

import (
	"math"

	"pumpwright/calc/say"
)

// Estimate is a value with its standard uncertainty. U is in the SI unit of a
// difference of T (kelvin for a temperature).
type Estimate[T Of] struct {
	Value T
	U     float64
}

// Within makes an Estimate.
func Within[T Of](value T, u float64) Estimate[T] { return Estimate[T]{Value: value, U: u} }

// Show prints value and uncertainty at the same number of digits.
func (e Estimate[T]) Show(s say.Style) string {
	return ShowWithU(e.Value.Dimension(), e.Value.SI(), e.U, s)
}

// String prints the estimate in metric units.
func (e Estimate[T]) String() string { return e.Show(say.Style{}) }

// Relative returns U divided by the magnitude of the value.
func (e Estimate[T]) Relative() float64 { return e.U / math.Abs(e.Value.SI()) }
