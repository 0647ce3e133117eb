package quantity

import (
	"strconv"

	"pumpwright/calc/say"
)

// Like shows a quantity in the unit in which another of its dimension is
// shown, so that the numbers of one table or one tool have one unit.
func Like[T Of](q, reference T) say.Shower {
	return like{q.Dimension(), q.SI(), reference.SI()}
}

type like struct {
	dimension     Dimension
	si, reference float64
}

// Show prints the quantity in the units of a style.
func (l like) Show(s say.Style) string {
	unit := ShowUnit(l.dimension, l.reference, s)
	v, err := InUnit(Entered{Dimension: l.dimension, SI: l.si}, unit)
	if err != nil {
		return Show(l.dimension, l.si, s)
	}
	// Four digits: as many as a scale is read to.
	if rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 4, 64), 64); err == nil {
		v = rounded
	}
	return ShowIn(v, unit, s)
}
