package slip

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Standard uncertainties of the model itself, as a part of pressure-driven
// slip, and of factors carried to another viscosity, in ln k for each factor of
// ten. Conventions of this program, no source.
const (
	ModelShareCalibrated   = 0.05
	ModelShareUncalibrated = 0.30 / 1.7320508075688772 // ± 30 %, all values in it equally likely
	// DragShareUncalibrated is the same of friction, of the friction itself.
	DragShareUncalibrated = 0.40
	CarrySlipPerDecade    = 0.05
	CarryDragPerDecade    = 0.15
	// MostRotorDisplacement ends the range of ε_od that a band covers, from 0.
	MostRotorDisplacement = 0.8
)

// ClearanceU is the standard uncertainty of measured clearances. The end
// clearance takes idler float and crescent end with it.
type ClearanceU struct {
	End, RotorRadial, CrescentOuter, CrescentInner quantity.Length
	// RotorKnown: the place of the rotor in its bore was measured, so the band
	// does not run over the whole range of ε_od.
	RotorKnown bool
}

// Share is one part of an uncertainty.
type Share struct {
	Name  say.Message
	Flow  quantity.Flow // standard uncertainty from this part
	Power quantity.Power
}

// Prediction is a result with its uncertainty.
type Prediction struct {
	Result Result
	Flow   quantity.Estimate[quantity.Flow]   // with every part
	Power  *quantity.Estimate[quantity.Power] // nil when the power is not known
	FitU   quantity.Flow                      // of the fit alone
	FitUP  quantity.Power
	Shares []Share
}

var (
	shareEnd     = say.Define("slip.share_end", "end clearance")
	shareRadial  = say.Define("slip.share_radial", "rotor radial clearance")
	shareOuter   = say.Define("slip.share_outer", "crescent outer clearance")
	shareInner   = say.Define("slip.share_inner", "crescent inner clearance")
	shareRotor   = say.Define("slip.share_rotor", "place of the rotor in its bore")
	shareModel   = say.Define("slip.share_model", "the model itself")
	shareFit     = say.Define("slip.share_fit", "fit to bench points")
	shareCarried = say.Define("slip.share_carried", "factors carried to another viscosity")
)

// Band predicts flow and power without a bench point of its own, with the
// uncertainty that clearances, the place of the rotor and the model itself
// bring. Factors other than the default count as calibrated elsewhere: the
// model's own part is then the smaller one.
func (m *Model) Band(l Liquid, pt Point, k Factors, u ClearanceU) (*Prediction, error) {
	r, err := m.At(l, pt, k)
	if err != nil {
		return nil, err
	}
	p := &Prediction{Result: r}
	if err := p.clearances(m, l, pt, k, u); err != nil {
		return nil, err
	}
	slip, drag := ModelShareUncalibrated, DragShareUncalibrated
	if k.Slip != 1 {
		slip = ModelShareCalibrated
	}
	if k.Drag != 1 {
		drag = 0
	}
	p.model(slip, drag)
	p.sum()
	return p, nil
}

// Predict uses the calibrated factors on a pump of the same model, usually with
// its rebuilt clearances.
//
//	u² = g cov gᵀ (the fit) + (5 % of slip)² + clearances² + viscosity²
//
// Errors: a Problem when the fit was not accepted.
func (c *Calibration) Predict(m *Model, l Liquid, pt Point, u ClearanceU) (*Prediction, error) {
	if !c.Accepted {
		return nil, say.Refuse("measured", "", msgNotAccepted.With(), msgSamePumpModel.With())
	}
	r, err := m.At(l, pt, c.Factors)
	if err != nil {
		return nil, err
	}
	p := &Prediction{Result: r}
	if err := p.fit(c, m, l, pt); err != nil {
		return nil, err
	}
	if err := p.clearances(m, l, pt, c.Factors, u); err != nil {
		return nil, err
	}
	p.model(ModelShareCalibrated, 0)
	decades := math.Abs(math.Log(m.shearViscosity(l, pt.Speed))-c.lnShear) / math.Ln10
	if decades > 0.05 {
		p.add(shareCarried.With(), CarrySlipPerDecade*decades*(r.Slip-r.SlipAtZero).SI(), CarryDragPerDecade*decades*r.friction())
	}
	p.sum()
	return p, nil
}

// friction is the power that follows the drag factor.
func (r *Result) friction() float64 {
	if r.Power == nil {
		return 0
	}
	return (r.Power.Gaps + r.Power.Pin + r.Power.ShaftBushing).SI()
}

func (p *Prediction) add(name say.Message, flow, power float64) {
	p.Shares = append(p.Shares, Share{Name: name, Flow: quantity.Flow(math.Abs(flow)), Power: quantity.Power(math.Abs(power))})
}

func (p *Prediction) model(slip, drag float64) {
	p.add(shareModel.With(), slip*(p.Result.Slip-p.Result.SlipAtZero).SI(), drag*p.Result.friction())
}

func (p *Prediction) sum() {
	flow, power := 0.0, 0.0
	for _, s := range p.Shares {
		flow += sq(s.Flow.SI())
		power += sq(s.Power.SI())
	}
	p.Flow = quantity.Within(p.Result.Flow, math.Sqrt(flow))
	if p.Result.Power != nil {
		e := quantity.Within(p.Result.Power.Total, math.Sqrt(power))
		p.Power = &e
	}
}

// fit adds g cov gᵀ, g by the same differences as the fit.
func (p *Prediction) fit(c *Calibration, m *Model, l Liquid, pt Point) error {
	n := len(c.Fit)
	gFlow, gPower := make([]float64, n), make([]float64, n)
	for i, f := range c.Fit {
		var flow, power [2]float64
		width := 2 * fitStep
		for side, sign := range []float64{1, -1} {
			r, err := m.At(l, pt, nudge(c.Factors, f, sign*fitStep))
			if err != nil && side == 1 {
				r, width = p.Result, fitStep // that side would close a clearance
			} else if err != nil {
				return err
			}
			flow[side] = r.Flow.SI()
			if r.Power != nil {
				power[side] = r.Power.Total.SI()
			}
		}
		gFlow[i], gPower[i] = (flow[0]-flow[1])/width, (power[0]-power[1])/width
	}
	flow, power := 0.0, 0.0
	for i := range n {
		for j := range n {
			flow += gFlow[i] * c.covariance.At(i, j) * gFlow[j]
			power += gPower[i] * c.covariance.At(i, j) * gPower[j]
		}
	}
	p.FitU, p.FitUP = quantity.Flow(math.Sqrt(flow)), quantity.Power(math.Sqrt(power))
	p.add(shareFit.With(), p.FitU.SI(), p.FitUP.SI())
	return nil
}

// nudge moves one factor by a step in the units of the fit.
func nudge(k Factors, f Factor, step float64) Factors {
	switch f {
	case FitSlip:
		k.Slip *= math.Exp(step)
	case FitDrag:
		k.Drag *= math.Exp(step)
	case FitDisplacement:
		k.Displacement += step
	case FitEndBias:
		k.EndBias += quantity.Length(step * millimetre)
	}
	return k
}

func (p *Prediction) clearances(m *Model, l Liquid, pt Point, k Factors, u ClearanceU) error {
	base := m.pump.Clearances
	for _, part := range []struct {
		name say.Message
		u    quantity.Length
		room quantity.Length // how far it can close
		move func(c Clearances, by quantity.Length) Clearances
	}{
		{shareEnd.With(), u.End, min(base.End, base.IdlerFloat, base.CrescentEnd) + min(0, k.EndBias), Clearances.Moved},
		{shareRadial.With(), u.RotorRadial, base.RotorRadial, func(c Clearances, by quantity.Length) Clearances { c.RotorRadial += by; return c }},
		{shareOuter.With(), u.CrescentOuter, base.CrescentOuter, func(c Clearances, by quantity.Length) Clearances { c.CrescentOuter += by; return c }},
		{shareInner.With(), u.CrescentInner, base.CrescentInner, func(c Clearances, by quantity.Length) Clearances { c.CrescentInner += by; return c }},
	} {
		if !(part.u >= 0) || !finite(part.u.SI()) {
			return say.Refuse("clearance_u", part.u.String(), msgPumpRefused.With(), msgNotNegative.With())
		}
		if part.u == 0 {
			continue
		}
		step := min(part.u, part.room/2)
		if step <= 0 {
			continue
		}
		var flow, power [2]float64
		for side, sign := range []quantity.Length{1, -1} {
			moved, err := m.With(part.move(base, sign*step))
			if err != nil {
				return err
			}
			r, err := moved.At(l, pt, k)
			if err != nil {
				return err
			}
			flow[side], power[side] = r.Flow.SI(), r.total()
		}
		scale := part.u.SI() / step.SI() / 2
		p.add(part.name, scale*(flow[0]-flow[1]), scale*(power[0]-power[1]))
	}
	if u.RotorKnown {
		return nil
	}
	var flow, power [2]float64
	for side, eps := range []float64{0, MostRotorDisplacement} {
		moved := *m
		moved.pump.RotorDisplacement, moved.eps = eps, eps
		r, err := moved.At(l, pt, k)
		if err != nil {
			return err
		}
		flow[side], power[side] = r.Flow.SI(), r.total()
	}
	const rectangular = 2 * 1.7320508075688772
	p.add(shareRotor.With(), (flow[0]-flow[1])/rectangular, (power[0]-power[1])/rectangular)
	return nil
}

func (r *Result) total() float64 {
	if r.Power == nil {
		return 0
	}
	return r.Power.Total.SI()
}
