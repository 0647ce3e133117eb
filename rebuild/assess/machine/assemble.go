package machine

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/chain"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/ledger"
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
		a.Contact = msgColdTouch.With(set.State, closed[0].String())
	case len(closed) > 0:
		a.Contact = msgContact.With(set.State, warm.Liquid, closed[0].String(), gapOf(pump.Clearances, closed[0]))
	case chance > likelyContact:
		a.Contact = msgMayTouch.With(set.State, warm.Liquid, left, chance)
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

// AsRead gives a liquid the viscosity that was read; how it thins when sheared
// stays.
func AsRead(l slip.Liquid, read quantity.KinematicViscosity) slip.Liquid {
	dynamic := quantity.DynamicViscosity(read.SI() * l.Density.SI())
	if l.AtRest > 0 {
		l.HighShear = quantity.DynamicViscosity(l.HighShear.SI() * dynamic.SI() / l.AtRest.SI())
	}
	l.AtRest = dynamic
	return l
}

// Fit is what stands behind a prediction: a calibration that was accepted,
// else what benches have shown of other pumps of the model, else the model.
type Fit struct {
	Calibration *slip.Calibration
	Slip, Drag  *ledger.LearnedFactor // nil when nothing was learned
}

// FitOf puts together what is known of pumps of a model.
func FitOf(c *slip.Calibration, shop *ledger.Shop, model string) Fit {
	return Fit{Calibration: c, Slip: shop.FactorOf(model, "slip"), Drag: shop.FactorOf(model, "drag")}
}

// Learned tells whether factors of other pumps are used, and how many jobs
// stand behind them at least.
func (f Fit) Learned() (jobs int, used bool) {
	if f.calibrated() || f.Slip == nil && f.Drag == nil {
		return 0, false
	}
	for _, l := range []*ledger.LearnedFactor{f.Slip, f.Drag} {
		if l != nil && (!used || l.Jobs < jobs) {
			jobs, used = l.Jobs, true
		}
	}
	return jobs, used
}

func (f Fit) calibrated() bool { return f.Calibration != nil && f.Calibration.Accepted }

// Factors returns those that are used.
func (f Fit) Factors() slip.Factors {
	if f.calibrated() {
		return f.Calibration.Factors
	}
	k := slip.DefaultFactors()
	if f.Slip != nil {
		k.Slip = f.Slip.Value
	}
	if f.Drag != nil {
		k.Drag = f.Drag.Value
	}
	return k
}

// PredictBy returns flow and power with their band. What other pumps have
// taught adds its own uncertainty for the next pump:
//
//	u²(Q) = u²(band) + (u(ln k_s) (s − s₀))²
//	u²(P) = u²(band) + (u(ln k_v) P_gaps)²
func (a *Assembled) PredictBy(f Fit, l slip.Liquid, pt slip.Point) (*slip.Prediction, error) {
	if _, learned := f.Learned(); !learned {
		return a.Predict(f.Calibration, l, pt)
	}
	p, err := a.Model.Band(l, pt, f.Factors(), a.U)
	if err != nil {
		return nil, err
	}
	if f.Slip != nil {
		p.Flow.U = math.Hypot(p.Flow.U, f.Slip.U*(p.Result.Slip-p.Result.SlipAtZero).SI())
	}
	if f.Drag != nil && p.Power != nil && p.Result.Power != nil {
		p.Power.U = math.Hypot(p.Power.U, f.Drag.U*p.Result.Power.Gaps.SI())
	}
	return p, nil
}
