package machine

import (
	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/chain"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
)

// Assembled is a pump of a job in one state at one temperature, ready for the
// leak paths.
type Assembled struct {
	Set     Set
	Cold    slip.Clearances
	Warm    slip.Clearances
	U       slip.ClearanceU
	Model   *slip.Model // with the warm clearances
	Contact say.Message // why no flow and power may be given; empty when they may
	Notes   []say.Message
}

var (
	msgContact   = say.Define("machine.contact", "{state}, at {temperature:temperature}: the {gap} of {cold:length} closes. Parts touch; no flow and no power are given")
	msgMayTouch  = say.Define("machine.may_touch", "{state}, at {temperature:temperature}: the end clearance is down to {left}; the chance that parts touch is {chance:percent}. No flow and no power are given")
	msgColdTouch = say.Define("machine.cold_touch", "{state}: the {gap} is closed already when cold. No flow and no power are given")
)

// likelyContact is the chance of contact above which nothing is predicted.
// Convention of this program, no source.
const likelyContact = 0.01

// Assemble puts a set into the pump of its sheet and warms it.
func Assemble(base slip.Pump, set Set, warm Warm) (*Assembled, error) {
	pump, u, said := set.On(base)
	a := &Assembled{Set: set, Cold: pump.Clearances, U: u, Notes: append(said, warm.Unknown...)}
	hot, closed := warm.On(pump.Clearances)
	a.Warm = hot
	left := quantity.Within(hot.End, u.End.SI())
	switch chance := touching(left); {
	case len(closed) > 0 && gapOf(pump.Clearances, closed[0]) <= 0:
		a.Contact = msgColdTouch.With(string(set.State), closed[0].String())
	case len(closed) > 0:
		a.Contact = msgContact.With(string(set.State), warm.Liquid, closed[0].String(), gapOf(pump.Clearances, closed[0]))
	case chance > likelyContact:
		a.Contact = msgMayTouch.With(string(set.State), warm.Liquid, left, chance)
	}
	pump.Clearances = hot
	model, err := slip.Prepare(pump)
	if err != nil {
		return nil, err
	}
	a.Model = model
	return a, nil
}

func touching(e quantity.Estimate[quantity.Length]) float64 {
	if e.U > 0 {
		return distuv.UnitNormal.CDF(-e.Value.SI() / e.U)
	}
	if e.Value <= 0 {
		return 1
	}
	return 0
}

func gapOf(c slip.Clearances, g chain.GapName) quantity.Length {
	switch g {
	case chain.IdlerFloatGap:
		return c.IdlerFloat
	case chain.CrescentEndGap:
		return c.CrescentEnd
	case chain.RadialGap:
		return c.RotorRadial
	case chain.CrescentOuterGap:
		return c.CrescentOuter
	case chain.CrescentInnerGap:
		return c.CrescentInner
	}
	return c.End
}

// Predict returns flow and power with their band: by a calibration where one
// was accepted, else by the model as it stands.
func (a *Assembled) Predict(c *slip.Calibration, l slip.Liquid, pt slip.Point) (*slip.Prediction, error) {
	if c != nil && c.Accepted {
		return c.Predict(a.Model, l, pt, a.U)
	}
	return a.Model.Band(l, pt, slip.DefaultFactors(), a.U)
}

// Factors returns those of a calibration that was accepted, else the model's.
func Factors(c *slip.Calibration) slip.Factors {
	if c != nil && c.Accepted {
		return c.Factors
	}
	return slip.DefaultFactors()
}
