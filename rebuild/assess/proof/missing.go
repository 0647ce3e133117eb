package proof

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/job"
)

// Missing is a flow below the band of the model with the measured clearances.
type Missing struct {
	State    machine.State
	Where    say.Message // in service or on the stand
	Point    slip.Point
	Measured quantity.Estimate[quantity.Flow]
	Expected quantity.Estimate[quantity.Flow]
	NotSlip  quantity.Flow // at least this much is no slip
	Message  say.Message
	Ref      string
}

var (
	msgMissing  = say.Define("proof.missing", "{where:message}: {measured} was measured where the model with the measured clearances gives {expected}. At least {least:flow} of what is missing is not slip. Look at a relief valve that passes, the speed, air in the liquid, the suction and the meter before any factor is fitted to it")
	msgExplains = say.Define("proof.explains", "{where:message}: {measured} was measured, the model gives {expected} ({state}): the clearances explain it")
	whereRun    = say.Define("proof.where_running", "in service, {speed:rotational_speed}, {pressure:pressure_difference}, {temperature:temperature}")
	whereStand  = say.Define("proof.where_stand", "on the stand, {speed:rotational_speed}, {pressure:pressure_difference}, {temperature:temperature}")
	msgRunning  = say.Define("proof.running_unread", "readings of the running pump cannot be used: {reason}")
)

// short says how much of a flow below the band is no slip; false when it lies
// in the band.
func short(measured, expected quantity.Estimate[quantity.Flow]) (quantity.Flow, bool) {
	least := (expected.Value - measured.Value).SI() - far*math.Hypot(measured.U, expected.U)
	return quantity.Flow(least), least > 0
}

// look finds points of the stand that lie below the band.
func (c *Chapter) look() {
	for i := range c.Points {
		p := &c.Points[i]
		if p.Agreement != TooLow {
			continue
		}
		least, _ := short(p.Flow, p.Expected.Flow)
		where := whereStand.With(p.Point.Speed, p.Point.Pressure, p.Temperature)
		c.missing(Missing{State: machine.Left, Where: where, Point: p.Point, Measured: p.Flow, Expected: p.Expected.Flow, NotSlip: least, Ref: p.Entry.Ref})
	}
}

func (c *Chapter) missing(m Missing) {
	m.Message = msgMissing.With(m.Where, m.Measured, m.Expected, m.NotSlip)
	c.Missing = append(c.Missing, m)
	c.Warnings = append(c.Warnings, m.Message)
}

// running holds flows measured in service against the model.
func (c *Chapter) running() {
	in := &c.bench.in
	if !c.bench.known || in.Service == nil {
		return
	}
	for i := range in.Running {
		k := &in.Running[i]
		r, err := job.ReadRunning(k.Body)
		if err != nil {
			c.sayOnce(msgRunning.With(err))
			continue
		}
		if r.Flow == nil {
			continue
		}
		if err := c.runningFlow(in.StateOf(k.Seq), k.Ref, r); err != nil {
			c.sayOnce(msgRunning.With(err))
		}
	}
}

func (c *Chapter) runningFlow(state machine.State, ref string, r job.Running) error {
	s := c.bench.in.Service
	point := slip.Point{}
	switch {
	case r.Speed != nil:
		point.Speed = *r.Speed
	case s.Speed != nil:
		point.Speed = s.Speed.Value
	}
	switch {
	case r.Pressure != nil:
		point.Pressure = *r.Pressure
	case s.Pressure != nil:
		point.Pressure = s.Pressure.Value
	}
	t := quantity.Temperature(0)
	switch {
	case r.Temperature != nil:
		t = *r.Temperature
	case s.Temperature != nil:
		t = s.Temperature.Value
	default:
		return say.Refuse("temperature", "", msgNoPoint.With(), say.Message{})
	}
	// Nothing is fitted to a flow before it is known to be slip.
	p, err := c.InService(state, RunAt{Point: point, Temperature: t, Viscosity: r.Viscosity}, machine.Fit{})
	if err != nil {
		return err
	}
	measured := quantity.Within(*r.Flow, assumedFlowU*math.Abs(r.Flow.SI()))
	where := whereRun.With(point.Speed, point.Pressure, t)
	if least, is := short(measured, p.Flow); is {
		c.missing(Missing{State: state, Where: where, Point: point, Measured: measured, Expected: p.Flow, NotSlip: least, Ref: ref})
		return nil
	}
	c.Statements = append(c.Statements, msgExplains.With(where, measured, p.Flow, state))
	return nil
}

// RunAt is where a running pump was read.
type RunAt struct {
	Point       slip.Point
	Temperature quantity.Temperature
	Viscosity   *quantity.KinematicViscosity // as read; nil: that of the liquid
}

// InService predicts what the pump of a state gives where it works: its
// clearances at the liquid's temperature, the surroundings of the service.
// Whatever a reading of the running pump is held against comes from here.
func (c *Chapter) InService(state machine.State, at RunAt, fit machine.Fit) (*slip.Prediction, error) {
	b := &c.bench
	if !b.known {
		return nil, say.Refuse("sheet", "", c.Unknown, say.Message{})
	}
	m, err := b.assemble(state, b.site(), at.Temperature)
	if err != nil {
		return nil, err
	}
	if !m.Contact.IsZero() {
		return nil, say.Refuse("clearances", "", m.Contact, say.Message{})
	}
	l, _, err := machine.LiquidAt(b.in.Liquid, at.Temperature)
	if err != nil {
		return nil, err
	}
	if at.Viscosity != nil {
		l = machine.AsRead(l, *at.Viscosity)
	}
	return m.PredictBy(fit, l, at.Point)
}

// StateOf is the state of the pump at an entry: as found before anything was
// read or set as left.
func (in *Inputs) StateOf(seq int64) machine.State {
	if in.LeftFrom == 0 || seq < in.LeftFrom {
		return machine.Found
	}
	return machine.Left
}
