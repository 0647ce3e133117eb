package proof

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/machine"
)

// Curve is the pump on the stand over pressure: in the liquid, at the speed
// and the temperature of most of the points; as planned while none was run.
type Curve struct {
	Liquid      string
	Temperature quantity.Temperature
	Speed       quantity.RotationalSpeed
	Pressures   []quantity.PressureDifference
	Expected    Line     // before any fit
	Fitted      *Line    // nil without an accepted fit
	Points      []*Point // that belong to it
	Elsewhere   int      // usable points in another liquid, at another speed or temperature
}

// Line is flow and power over the pressures, with standard uncertainties; the
// power is empty when it is not known.
type Line struct {
	Flow          []quantity.Flow
	Power         []quantity.Power
	FlowU, PowerU []float64
}

// curvePlaces is the number of places on the curve.
const curvePlaces = 13

// Points belong to one curve when they were run in the same liquid, and speed
// and temperature are as near to each other as a stand holds them. Conventions
// of this program, no source.
const (
	sameSpeed       = 0.02 // part of the speed
	sameTemperature = 2.0  // K
)

// group is what points of one curve share.
type group struct {
	liquid string
	t      quantity.Temperature
	speed  quantity.RotationalSpeed
}

func groupOf(p *Point) group { return group{p.Entry.Body.Liquid, p.Temperature, p.Point.Speed} }

func (g group) holds(p *Point) bool {
	return p.Expected != nil && p.Entry.Body.Liquid == g.liquid && math.Abs((p.Temperature-g.t).SI()) <= sameTemperature &&
		math.Abs((p.Point.Speed-g.speed).SI()) <= sameSpeed*g.speed.SI()
}

// curve draws the line for the points that have most in common; for the points
// that are planned while there are none.
func (c *Chapter) curve() {
	var most group
	best := 0
	for i := range c.Points {
		if c.Points[i].Expected == nil {
			continue
		}
		g, n := groupOf(&c.Points[i]), 0
		for k := range c.Points {
			if g.holds(&c.Points[k]) {
				n++
			}
		}
		if n > best {
			best, most = n, g
		}
	}
	s := c.bench.stand
	if best == 0 {
		if s == nil {
			return
		}
		most = group{s.named, s.temperature, s.point.Speed}
	}
	m, err := c.bench.at(machine.Left, most.t)
	if err != nil || !m.Contact.IsZero() {
		return
	}
	out := &Curve{Liquid: titleOf(namedLiquid(most.liquid, c.bench.in.Service, c.bench.in.Liquid), most.liquid), Temperature: most.t, Speed: most.speed}
	top := quantity.PressureDifference(0)
	var l slip.Liquid
	if s != nil { // the scale stands still while the points land
		top, l = s.point.Pressure, s.liquid
	}
	for i := range c.Points {
		p := &c.Points[i]
		switch {
		case most.holds(p):
			out.Points = append(out.Points, p)
			top, l = max(top, p.Point.Pressure), p.Liquid
		case p.Expected != nil:
			out.Elsewhere++
		}
	}
	if top <= 0 {
		return
	}
	for i := range curvePlaces {
		out.Pressures = append(out.Pressures, quantity.PressureDifference(1.15*top.SI()*float64(i)/(curvePlaces-1)))
	}
	line := func(fit *slip.Calibration) *Line {
		var made Line
		for _, at := range out.Pressures {
			e, err := m.Predict(fit, l, slip.Point{Speed: most.speed, Pressure: at})
			if err != nil {
				return nil
			}
			made.Flow, made.FlowU = append(made.Flow, e.Flow.Value), append(made.FlowU, e.Flow.U)
			if e.Power != nil {
				made.Power, made.PowerU = append(made.Power, e.Power.Value), append(made.PowerU, e.Power.U)
			}
		}
		return &made
	}
	expected := line(nil)
	if expected == nil {
		return
	}
	out.Expected = *expected
	if c.Accepts() {
		out.Fitted = line(c.Calibration)
	}
	c.Curve = out
}
