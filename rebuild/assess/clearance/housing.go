package clearance

import (
	"math"

	"pumpwright/calc/gasket"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/reading"
)

// Housing is the advice about the adjustable bearing housing.
type Housing struct {
	Turn     *gasket.Turn
	From     quantity.Estimate[quantity.Length]
	Warnings []say.Message
}

var msgHousingSeal = say.Define("clearance.housing_seal", "turning the housing moves the shaft and with it the seal or the packing by the same amount: measure its working length again")

// turn works out how to turn the bearing housing.
func (c *Chapter) turn(in Inputs) {
	h := in.Sheet.EndClearance.Housing
	now := c.presentEnd()
	if n := len(in.Trials); n > 0 {
		if dial, feeler, err := readMeasured(in.Trials[n-1].Body); err == nil {
			if belief, err := gasket.NewBelief(dial, feeler, nil); err == nil {
				e := belief.Clearance()
				now = &reading.Estimate{Dimension: quantity.LengthDimension, Value: e.Value.SI(), U: e.U}
			}
		}
	}
	switch {
	case h == nil:
		c.Unknown = msgNoHousing.With()
		return
	case now == nil:
		c.Unknown = msgNoClearance.With()
		return
	case !c.Window.Known:
		c.Unknown = msgNoWindow.With(c.Window.Unknown)
		return
	}
	start := quantity.Within(quantity.Length(now.Value), math.Max(now.U, 1e-6))
	belief, err := gasket.NewBelief(&start, nil, nil)
	if err != nil {
		c.Unknown = msgSolver.With(err)
		return
	}
	g := gasket.Housing{Notches: h.Notches, Belief: belief, Low: c.Window.Low, High: c.Window.High}
	if h.Pitch != nil {
		g.Pitch = h.Pitch.Value
	} else if h.PerInch != nil && *h.PerInch > 0 {
		g.Pitch = quantity.Length(0.0254 / *h.PerInch)
	}
	if h.Hand == "left" {
		g.Hand = gasket.LeftHand
	}
	best, err := g.Best()
	if err != nil {
		c.Unknown = msgSolver.With(err)
		return
	}
	c.Turn = &Housing{Turn: best, From: start, Warnings: []say.Message{msgHousingSeal.With()}}
}

var (
	msgNoHousing   = say.Define("clearance.no_housing", "the sheet does not describe the thread of the bearing housing")
	msgNoClearance = say.Define("clearance.no_clearance", "the end clearance was not measured yet")
)
