package align

import (
	"math"
	"strconv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func place(name string, i int) string { return name + "[" + strconv.Itoa(i) + "]" }

// Clock holds the readings of one dial at four places, as seen from the back
// of the movable machine. The dial may have been zeroed anywhere.
type Clock struct {
	Top, Right, Bottom, Left quantity.Length
}

// ClosureError returns by how much the set misses the rule of the closed
// circle, top + bottom = left + right. It tells of a dial that slipped, a
// loose bracket or a misread; it does not tell of a wrong sag.
func (c Clock) ClosureError() quantity.Length {
	off := math.Abs((c.Top + c.Bottom - c.Left - c.Right).SI())
	if off < 1e-12 {
		return 0 // what binary fractions leave
	}
	return quantity.Length(off)
}

// WithoutSag takes the sag of the bar off a set that was zeroed at the top.
// sag is what the dial reads at the bottom when bar and bracket are turned on
// a stiff straight pipe, zero at the top: usually negative. At the sides the
// bar gives half of it.
func (c Clock) WithoutSag(sag quantity.Length) Clock {
	c.Bottom -= sag
	c.Right -= sag / 2
	c.Left -= sag / 2
	return c
}

// vertical and horizontal return half the difference of opposite readings,
// positive when the dial is pushed in more at the bottom (at the left).
func (c Clock) vertical() float64   { return (c.Bottom - c.Top).SI() / 2 }
func (c Clock) horizontal() float64 { return (c.Left - c.Right).SI() / 2 }

func (c Clock) check(field string) error {
	for _, r := range []struct {
		name string
		v    quantity.Length
	}{{"top", c.Top}, {"right", c.Right}, {"bottom", c.Bottom}, {"left", c.Left}} {
		if v := r.v.SI(); math.IsNaN(v) || math.Abs(v) > 0.1 {
			return say.In(field, say.Refuse(r.name, r.v.String(), msgNoDial.With(), say.Message{}))
		}
	}
	return nil
}

var msgNoDial = say.Define("align.no_dial", "no dial reads that: the reading must lie within 100 mm of zero")
