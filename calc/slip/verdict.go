package slip

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	nameSlip         = say.Define("slip.factor_slip", "slip factor")
	nameDrag         = say.Define("slip.factor_drag", "drag factor")
	nameDisplacement = say.Define("slip.factor_displacement", "displacement factor")
	nameEndBias      = say.Define("slip.factor_end_bias", "end bias")
)

// Name is what a person calls the factor.
func (f Factor) Name() say.Message {
	switch f {
	case FitDrag:
		return nameDrag.With()
	case FitDisplacement:
		return nameDisplacement.With()
	case FitEndBias:
		return nameEndBias.With()
	}
	return nameSlip.With()
}

// judge states what the points can and cannot tell.
func (c *Calibration) judge() {
	if !c.Accepted {
		c.Statements = append(c.Statements, stateRejected.With(c.Cost, c.Limit))
	}
	anyPower := false
	for _, p := range c.Measured {
		anyPower = anyPower || p.Power != nil
	}
	for i, f := range c.Fit {
		after := math.Sqrt(c.covariance.At(i, i))
		switch {
		case f == FitDrag && !anyPower:
			c.Statements = append(c.Statements, stateNoPower.With())
		case after > taughtLimit*priors[f].u:
			c.Statements = append(c.Statements, stateTaught.With(f.Name()))
		}
		for j := range i {
			if rho := c.Correlation[i][j]; math.Abs(rho) > tooAlike {
				c.Statements = append(c.Statements, stateAlike.With(c.Fit[j].Name(), f.Name(), rho))
			}
		}
		if f == FitEndBias && !c.twoEnds() {
			c.Statements = append(c.Statements, stateBias.With())
		}
		if f == FitDisplacement && !c.showsDisplacement() {
			c.Statements = append(c.Statements, stateZero.With())
		}
	}
}

func (c *Calibration) twoEnds() bool {
	ends := map[quantity.Length]bool{}
	for _, p := range c.Measured {
		end := quantity.Length(-1) // the model's own
		if p.Clearances != nil {
			end = p.Clearances.End
		}
		ends[end] = true
	}
	return len(ends) > 1
}

// showsDisplacement reports whether a point lies near zero pressure (below a
// twentieth of the highest) or three pressures share one speed.
func (c *Calibration) showsDisplacement() bool {
	highest := quantity.PressureDifference(0)
	at := map[quantity.RotationalSpeed]map[quantity.PressureDifference]bool{}
	for _, p := range c.Measured {
		highest = max(highest, p.Point.Pressure)
		if at[p.Point.Speed] == nil {
			at[p.Point.Speed] = map[quantity.PressureDifference]bool{}
		}
		at[p.Point.Speed][p.Point.Pressure] = true
	}
	for _, p := range c.Measured {
		if p.Point.Pressure <= highest/20 || len(at[p.Point.Speed]) >= 3 {
			return true
		}
	}
	return false
}
