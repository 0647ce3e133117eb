package proof

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/machine"
)

// Curve is the pump on the stand over pressure: in the liquid, at the speed
// and the temperature of most of the points.
type Curve struct {
	Liquid      string
	Temperature quantity.Temperature
	Speed       quantity.RotationalSpeed
	Pressures   []quantity.PressureDifference
	Expected    Line     // before any fit
	Fitted      *Line    // nil without an accepted fit
	Points      []*Point // that belong to it
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

// group is what points of one curve share.
type group struct {
	liquid string
	t      quantity.Temperature
	speed  quantity.RotationalSpeed
}

// curve draws the line for the points that have most in common.
func (c *Chapter) curve() {
	counts := map[group]int{}
	var most group
	for i := range c.Points {
		p := &c.Points[i]
		if p.Expected == nil {
			continue
		}
		g := group{p.Entry.Body.Liquid, p.Temperature, p.Point.Speed}
		counts[g]++
		if counts[g] > counts[most] {
			most = g
		}
	}
	if counts[most] == 0 {
		return
	}
	m, err := c.bench.at(machine.Left, most.t)
	if err != nil {
		return
	}
	out := &Curve{Liquid: titleOf(namedLiquid(most.liquid, c.bench.in.Service, c.bench.in.Liquid), most.liquid), Temperature: most.t, Speed: most.speed}
	top := quantity.PressureDifference(0)
	var l slip.Liquid
	for i := range c.Points {
		p := &c.Points[i]
		if p.Expected != nil && (group{p.Entry.Body.Liquid, p.Temperature, p.Point.Speed}) == most {
			out.Points = append(out.Points, p)
			top, l = max(top, p.Point.Pressure), p.Liquid
		}
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
