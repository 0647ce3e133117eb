package quantity

import (
	"math"

	"pumpwright/calc/say"
)

// Column shows values of one column in one unit: that of the largest.
type Column struct {
	dimension Dimension
	largest   float64
}

// ColumnOf takes the values that will stand below each other.
func ColumnOf[T Of](values ...T) Column {
	c := Column{dimension: T(0).Dimension()}
	for _, v := range values {
		if a := math.Abs(v.SI()); !math.IsInf(a, 0) && a > c.largest {
			c.largest = a
		}
	}
	return c
}

// Cell returns a value of the column.
func (c Column) Cell(q Quantity) say.Shower { return columnCell{c, q} }

type columnCell struct {
	column Column
	q      Quantity
}

// Show prints the value in the unit of its column.
func (c columnCell) Show(s say.Style) string {
	d, si := c.column.dimension, c.q.SI()
	if d != c.q.Dimension() || d == NoDimension || d >= dimensionCount || math.IsNaN(si) || math.IsInf(si, 0) {
		return c.q.Show(s)
	}
	unit := chooseUnit(d, c.column.largest, s)
	shown, err := fromSI(d, si, unit.symbol)
	if err != nil {
		return c.q.Show(s)
	}
	return join(localise(trimDecimals(shown, unit), s), unit.symbol)
}
