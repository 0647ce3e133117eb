package window

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/chain"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgTouches     = say.Define("window.touches", "contact: the {gap} of {cold:length} closes by {closes:length}, {after:time} after the start")
	msgMayTouch    = say.Define("window.may_touch", "contact cannot be ruled out: the {gap} is down to {left:length} {after:time} after the start, and the chance that nothing is left is {chance:percent}")
	msgTouchesAt   = say.Define("window.touches_locally", "run-out and tilt take the rest: the {gap} is down to {left:length} {after:time} after the start, and {local:length} are taken at the tightest place")
	msgNegativeGap = say.Define("window.negative_clearance", "the parts touch already when cold")
)

// likelyContact is the chance of contact from which no flow or power may be
// predicted. Convention of this program, no source.
const likelyContact = 0.01

// Contact is whether parts meet on the way to service, for a clearance that
// was read.
type Contact struct {
	Gap       chain.GapName
	Remaining quantity.Length // at the worst moment
	Local     quantity.Length // the same at the tightest place
	After     quantity.Time   // since the start
	Chance    float64         // that nothing remains, all round
	Touches   bool            // nothing remains, or the chance is above 1 %: no flow and no power may be given
	Message   say.Message     // what is to be said; empty when nothing is
}

// Meets judges a cold clearance with its standard uncertainty against the way
// a gap changes; local is what run-out and tilt take at the tightest place.
//
//	s_min = s_cold + min_t Δ,  chance = Φ(−s_min/u)
//
// Unknown changes give nil. Source: derived here.
func Meets(gap chain.GapName, cold quantity.Estimate[quantity.Length], change chain.GapInService, local quantity.Length) *Contact {
	if !change.Steady.Known() {
		return nil
	}
	closes := closing(change)
	c := &Contact{Gap: gap, Remaining: cold.Value + closes, After: change.Closest.Time}
	c.Local = c.Remaining - local
	switch {
	case cold.U > 0:
		c.Chance = distuv.UnitNormal.CDF(-c.Remaining.SI() / cold.U)
	case c.Remaining <= 0:
		c.Chance = 1
	}
	if math.IsInf(c.After.SI(), 0) || math.IsNaN(c.After.SI()) {
		c.After = 0
	}
	c.Touches = c.Remaining <= 0 || c.Chance > likelyContact
	switch {
	case cold.Value <= 0:
		c.Message = msgNegativeGap.With()
	case c.Remaining <= 0:
		c.Message = msgTouches.With(gap.String(), cold.Value, -closes, c.After)
	case c.Touches:
		c.Message = msgMayTouch.With(gap.String(), c.Remaining, c.After, c.Chance)
	case c.Local <= 0:
		c.Message = msgTouchesAt.With(gap.String(), c.Remaining, c.After, local)
	}
	return c
}
