package proof

import (
	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/machine"
)

// Requirement is one thing that is asked for at the service point.
type Requirement struct {
	Name    say.Message
	Least   *quantity.Flow // at least
	Most    *quantity.Power
	Chance  *float64 // of meeting it; nil when nothing is predicted
	Verdict Verdict
	Why     say.Message
}

var (
	nameFlow       = say.Define("proof.name_flow", "flow at the service point")
	namePower      = say.Define("proof.name_power", "power at the service point")
	whyFlow        = say.Define("proof.why_flow", "the service asks for {flow:flow}")
	whyFlowLess    = say.Define("proof.why_flow_less", "the service asks for {flow:flow}, {part:percent} less is accepted{source:message}")
	whyEfficiency  = say.Define("proof.why_efficiency", "the service asks for {efficiency:percent} volumetric efficiency")
	whyEffLess     = say.Define("proof.why_efficiency_less", "the service asks for {efficiency:percent} volumetric efficiency, {part:percent} less flow is accepted{source:message}")
	whyPower       = say.Define("proof.why_power", "{power:power} at the shaft is accepted{source:message}")
	whySource      = say.Define("proof.source", "; {source}")
	askLeast       = say.Define("proof.ask_least", "{flow:flow} or more")
	askMost        = say.Define("proof.ask_most", "{power:power} or less")
	saysAccepted   = say.Define("proof.says_accepted", "{name:message}: {predicted} is predicted from the test, {asked:message} is accepted; the chance of meeting it is {chance:percent}: shown")
	saysRefused    = say.Define("proof.says_refused", "{name:message}: {predicted} is predicted from the test, {asked:message} is accepted; the chance of meeting it is {chance:percent}: it does not meet it")
	saysNot        = say.Define("proof.says_not", "{name:message}: {predicted} is predicted from the test, {asked:message} is accepted; the chance of meeting it is {chance:percent}, between 5 and 95 %: not shown")
	saysNothing    = say.Define("proof.says_nothing", "{name:message}: nothing is predicted, so it is not shown")
	reasonNoPoint  = say.Define("proof.reason_no_point", "no test point was entered")
	reasonNoProof  = say.Define("proof.reason_no_evidence", "no test point is evidence")
	reasonMissing  = say.Define("proof.reason_missing", "flow is missing that is no slip: nothing is fitted before it was found")
	reasonNoFit    = say.Define("proof.reason_no_fit", "the points do not fit: {reason:message}")
	reasonNothing  = say.Define("proof.reason_nothing_asked", "the service asks for neither a flow nor an efficiency: the points are held against the prediction only")
	reasonHigh     = say.Define("proof.reason_high", "a flow above the band of the model: look at the meter, the speed and the viscosity before it is believed")
	reasonPrior    = say.Define("proof.reason_agree", "{n:count|point agrees|points agree} with what was expected beforehand")
	msgNoCarry     = say.Define("proof.no_service_point", "nothing is predicted for the service: {reason}")
	msgServiceGaps = say.Define("proof.temperature", "the service states no temperature")
)

// fit calibrates the model, or the two numbers of a pump without tooth data.
func (c *Chapter) fit() {
	if c.Usable == 0 {
		return
	}
	for _, m := range c.Missing {
		if m.State == machine.Left {
			return
		}
	}
	var list []slip.Measurement
	var at []*Point
	power, low, highest := false, false, quantity.PressureDifference(0)
	for i := range c.Points {
		p := &c.Points[i]
		if !p.Refused.IsZero() {
			continue
		}
		m := slip.Measurement{Point: p.Point, Liquid: p.Liquid, Flow: p.Flow}
		if c.bench.known {
			if p.Expected == nil {
				continue
			}
			warm, _ := c.bench.at(machine.Left, p.Temperature)
			clearances := warm.Warm
			m.Clearances = &clearances
			if p.Expected.Power != nil {
				m.Power = p.Power
			}
		}
		power = power || m.Power != nil
		highest = max(highest, p.Point.Pressure)
		list, at = append(list, m), append(at, p)
	}
	for _, p := range at {
		low = low || p.Point.Pressure <= highest/20
	}
	if len(list) == 0 {
		return
	}
	if !c.bench.known {
		c.fitSimple(list)
		return
	}
	factors := []slip.Factor{slip.FitSlip}
	if power {
		factors = append(factors, slip.FitDrag)
	}
	if len(list) >= 3 && (low || threeAtOneSpeed(list)) {
		factors = append(factors, slip.FitDisplacement)
	}
	model, err := c.bench.at(machine.Left, at[0].Temperature)
	if err != nil {
		c.sayOnce(say.Plain(err.Error()))
		return
	}
	fit, err := model.Model.Calibrate(list, factors)
	if err != nil {
		c.sayOnce(say.Plain(err.Error()))
		return
	}
	c.Calibration = fit
	c.Statements = append(c.Statements, fit.Statements...)
	if fit.Accepted {
		c.Statements = append(c.Statements, slip.Calibrated.With(len(list)))
	}
	for i, p := range at {
		p.Fitted = &fit.Fitted[i]
	}
}

func threeAtOneSpeed(list []slip.Measurement) bool {
	pressures := map[quantity.RotationalSpeed]map[quantity.PressureDifference]bool{}
	for _, m := range list {
		if pressures[m.Point.Speed] == nil {
			pressures[m.Point.Speed] = map[quantity.PressureDifference]bool{}
		}
		pressures[m.Point.Speed][m.Point.Pressure] = true
		if len(pressures[m.Point.Speed]) >= 3 {
			return true
		}
	}
	return false
}

func (c *Chapter) fitSimple(list []slip.Measurement) {
	s, err := slip.FitSimple(list)
	if err != nil {
		c.sayOnce(say.Plain(err.Error()))
		return
	}
	c.Simple = s
	c.Statements = append(c.Statements, s.Statements()...)
}

// predict carries the fit to the service point with the clearances in service.
func (c *Chapter) predict() {
	v := c.bench.in.Service
	if v == nil || v.Speed == nil || v.Pressure == nil || c.Usable == 0 {
		return
	}
	c.Duty = &slip.Point{Speed: v.Speed.Value, Pressure: v.Pressure.Value}
	fail := func(reason any) { c.Warnings = append(c.Warnings, msgNoCarry.With(reason)) }
	if v.Temperature == nil {
		fail(msgServiceGaps.With())
		return
	}
	c.Temperature = v.Temperature.Value
	l, _, err := machine.LiquidAt(c.bench.in.Liquid, c.Temperature)
	if err != nil {
		fail(err)
		return
	}
	if c.Simple != nil && c.Simple.Accepted {
		if _, whole, err := c.Simple.Predict(*c.Duty, l); err == nil {
			c.SimpleFlow = &whole
		}
		return
	}
	if !c.Accepts() {
		return
	}
	m, err := c.bench.onSite(machine.Left, c.Temperature)
	switch {
	case err != nil:
		fail(err)
		return
	case !m.Contact.IsZero():
		fail(m.Contact)
		return
	}
	if c.Prediction, err = m.Predict(c.Calibration, l, *c.Duty); err != nil {
		fail(err)
	}
}

// judge holds the prediction against what is asked for.
func (c *Chapter) judge() {
	c.ask()
	if len(c.Points) == 0 {
		c.Reasons = append(c.Reasons, reasonNoPoint.With())
		return
	}
	c.Verdict = NotShown
	if c.Usable == 0 {
		c.Reasons = append(c.Reasons, reasonNoProof.With())
		return
	}
	agree := 0
	for _, p := range c.Points {
		switch p.Agreement {
		case TooHigh:
			c.Reasons = append(c.Reasons, reasonHigh.With())
		case Agrees:
			agree++
		}
	}
	if agree > 0 {
		c.Reasons = append(c.Reasons, reasonPrior.With(agree))
	}
	for _, m := range c.Missing {
		if m.State == machine.Left {
			c.Reasons = append(c.Reasons, reasonMissing.With())
			return
		}
	}
	if c.Calibration != nil && !c.Calibration.Accepted && len(c.Calibration.Statements) > 0 {
		c.Reasons = append(c.Reasons, reasonNoFit.With(c.Calibration.Statements[0]))
	}
	if len(c.Requirements) == 0 {
		c.Reasons = append(c.Reasons, reasonNothing.With())
		return
	}
	shown, refused := true, false
	for i := range c.Requirements {
		r := &c.Requirements[i]
		c.hold(r)
		c.Reasons = append(c.Reasons, r.Why)
		shown = shown && r.Verdict == Accepted
		refused = refused || r.Verdict == Refused
	}
	switch {
	case refused:
		c.Verdict = Refused
	case shown:
		c.Verdict = Accepted
	}
}

// ask collects what is asked for.
func (c *Chapter) ask() {
	v := c.bench.in.Service
	if v == nil || v.Speed == nil {
		return
	}
	tolerance, source := 0.0, say.Message{}
	if a := v.Acceptance; a != nil {
		if a.FlowTolerance != nil {
			tolerance = *a.FlowTolerance
		}
		if a.Source != "" {
			source = whySource.With(a.Source)
		}
	}
	take := func(flow quantity.Flow, why say.Message) {
		least := quantity.Flow(flow.SI() * (1 - tolerance))
		c.Requirements = append(c.Requirements, Requirement{Name: nameFlow.With(), Least: &least, Verdict: NotShown, Why: why})
	}
	switch {
	case v.Flow != nil && tolerance > 0:
		take(v.Flow.Value, whyFlowLess.With(v.Flow.Value, tolerance, source))
	case v.Flow != nil:
		take(v.Flow.Value, whyFlow.With(v.Flow.Value))
	case v.Efficiency != nil && c.bench.known:
		flow := quantity.Flow(*v.Efficiency * slip.TheoreticalFlow(c.bench.base.Teeth.Displacement, v.Speed.Value).SI())
		if tolerance > 0 {
			take(flow, whyEffLess.With(*v.Efficiency, tolerance, source))
		} else {
			take(flow, whyEfficiency.With(*v.Efficiency))
		}
	}
	if a := v.Acceptance; a != nil && a.Power != nil {
		most := a.Power.Value
		if a.PowerTolerance != nil {
			most = quantity.Power(most.SI() * (1 + *a.PowerTolerance))
		}
		c.Requirements = append(c.Requirements, Requirement{Name: namePower.With(), Most: &most, Verdict: NotShown, Why: whyPower.With(most, source)})
	}
}

// hold works out the chance of meeting a requirement.
func (c *Chapter) hold(r *Requirement) {
	var predicted say.Shower
	var asked say.Message
	var chance float64
	switch {
	case r.Least != nil && c.Prediction != nil:
		predicted, asked, chance = c.Prediction.Flow, askLeast.With(*r.Least), over(c.Prediction.Flow.Value.SI()-r.Least.SI(), c.Prediction.Flow.U)
	case r.Least != nil && c.SimpleFlow != nil:
		predicted, asked, chance = *c.SimpleFlow, askLeast.With(*r.Least), over(c.SimpleFlow.Value.SI()-r.Least.SI(), c.SimpleFlow.U)
	case r.Most != nil && c.Prediction != nil && c.Prediction.Power != nil:
		predicted, asked, chance = *c.Prediction.Power, askMost.With(*r.Most), over(r.Most.SI()-c.Prediction.Power.Value.SI(), c.Prediction.Power.U)
	default:
		r.Why = saysNothing.With(r.Name)
		return
	}
	r.Chance = &chance
	words := saysNot
	switch {
	case chance >= acceptFrom:
		r.Verdict, words = Accepted, saysAccepted
	case chance <= refuseTo:
		r.Verdict, words = Refused, saysRefused
	}
	r.Why = words.With(r.Name, predicted, asked, chance)
}

func over(margin, u float64) float64 {
	if u > 0 {
		return distuv.UnitNormal.CDF(margin / u)
	}
	if margin >= 0 {
		return 1
	}
	return 0
}
