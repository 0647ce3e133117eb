package proof

import (
	"math"

	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/machine"
)

// Planned is a point to be run, with what it should read.
type Planned struct {
	For         say.Message // what it teaches
	Point       slip.Point
	Liquid      string // what people call it
	Named       string // as it is written into an entry
	Temperature quantity.Temperature
	Viscosity   quantity.KinematicViscosity
	Expected    *slip.Prediction // nil when the model is not known
}

var (
	planZero   = say.Define("proof.plan_zero", "near no pressure: shows the displacement")
	planHalf   = say.Define("proof.plan_half", "half pressure: shows whether slip rises with pressure as it should")
	planFull   = say.Define("proof.plan_full", "highest pressure of this test: shows the slip, and a relief valve that passes")
	planSlow   = say.Define("proof.plan_slow", "half speed at the highest pressure: tells slip from a wrong displacement")
	planLike   = say.Define("proof.plan_like", "the gaps are loaded as in service: pressure over viscosity and speed are the same")
	msgNoStand = say.Define("proof.no_stand", "the shop has not written down its test stand (liquid, temperature, pressure, speed, flow, power): points are planned for the liquid of the service, without limits")
	msgNoPlan  = say.Define("proof.no_plan", "no points are planned: {reason}")
	msgUnlike  = say.Define("proof.unlike", "the stand's liquid has {test:dynamic_viscosity} where the service's has {service:dynamic_viscosity}: the test proves the pump in its own liquid, and what it says of the service is carried far")
	msgNoPoint = say.Define("proof.no_service", "the service states no speed or pressure")
	msgNoTest  = say.Define("proof.no_test_liquid", "the liquid of the stand, “{liquid}”, is not known")
	msgEased   = say.Define("proof.eased", "the stand does not reach the service: {limits:list}. What lies beyond is predicted, and its uncertainty says so")
	limitP     = say.Define("proof.limit_pressure", "pressure {limit:pressure_difference}")
	limitN     = say.Define("proof.limit_speed", "speed {limit:rotational_speed}")
	limitPower = say.Define("proof.limit_power", "power {limit:power}")
	limitCrack = say.Define("proof.limit_relief", "relief valve, {limit:pressure_difference}")
)

// stand is the liquid and the limits of the test.
type stand struct {
	name        string // what people call it
	named       string // as it is written into an entry
	liquid      slip.Liquid
	viscosity   quantity.KinematicViscosity
	temperature quantity.Temperature
	point       slip.Point // highest pressure and speed
	power       quantity.Power
}

// plan sets the points for the stand.
func (c *Chapter) plan() {
	in := &c.bench.in
	if in.Service == nil || in.Service.Speed == nil || in.Service.Pressure == nil {
		c.Warnings = append(c.Warnings, msgNoPlan.With(msgNoPoint.With()))
		return
	}
	s, problem := c.stand()
	if !problem.IsZero() {
		c.Warnings = append(c.Warnings, msgNoPlan.With(problem))
		return
	}
	c.bench.stand = &s
	c.unlike(s)
	full := s.point.Pressure
	points := []Planned{
		{For: planZero.With(), Point: slip.Point{Speed: s.point.Speed, Pressure: nearZero(full)}},
		{For: planHalf.With(), Point: slip.Point{Speed: s.point.Speed, Pressure: rounded(full / 2)}},
		{For: planFull.With(), Point: slip.Point{Speed: s.point.Speed, Pressure: full}},
		{For: planSlow.With(), Point: slip.Point{Speed: s.point.Speed / 2, Pressure: full}},
	}
	if like, ok := c.like(s); ok {
		points = append(points, Planned{For: planLike.With(), Point: slip.Point{Speed: s.point.Speed, Pressure: like}})
	}
	var m *machine.Assembled
	if c.bench.known {
		var err error
		if m, err = c.bench.at(machine.Left, s.temperature); err != nil {
			c.sayOnce(say.Plain(err.Error()))
			m = nil
		} else if !m.Contact.IsZero() {
			c.sayOnce(m.Contact)
			m = nil
		}
	}
	for _, p := range points {
		p.Liquid, p.Named, p.Temperature, p.Viscosity = s.name, s.named, s.temperature, s.viscosity
		if m != nil {
			if e, err := m.Predict(nil, s.liquid, p.Point); err == nil {
				p.Expected = e
			}
		}
		c.Planned = append(c.Planned, p)
	}
}

// unlike says when the liquid of the stand is far from that of the service.
func (c *Chapter) unlike(s stand) {
	v := c.bench.in.Service
	if v.Temperature == nil {
		return
	}
	l, _, err := machine.LiquidAt(c.bench.in.Liquid, v.Temperature.Value)
	if err != nil {
		return
	}
	ratio := s.liquid.AtRest.SI() / l.AtRest.SI()
	if ratio > farViscosity || ratio < 1/farViscosity {
		c.Warnings = append(c.Warnings, msgUnlike.With(s.liquid.AtRest, l.AtRest))
	}
}

// farViscosity is the ratio of viscosities from which it is said. Convention
// of this program, no source.
const farViscosity = 10

// nearZero is the least pressure at which a stand still runs steadily.
// Convention of this program, no source.
func nearZero(full quantity.PressureDifference) quantity.PressureDifference {
	return min(0.3e5, full/20)
}

// rounded is a pressure that a gauge can be set to.
func rounded(p quantity.PressureDifference) quantity.PressureDifference {
	if p < 1e5 {
		return p
	}
	return quantity.PressureDifference(math.Round(p.SI()/0.1e5) * 0.1e5)
}

// like is the pressure at which the stand's liquid loads the gaps as the
// service's does, when the stand reaches it and no other point is near.
//
//	Δp = Δp_service (µN)_test/(µN)_service
func (c *Chapter) like(s stand) (quantity.PressureDifference, bool) {
	in := &c.bench.in
	if in.Service.Temperature == nil {
		return 0, false
	}
	l, _, err := machine.LiquidAt(in.Liquid, in.Service.Temperature.Value)
	if err != nil || l.Thins() || s.liquid.Thins() {
		return 0, false
	}
	p := rounded(quantity.PressureDifference(in.Service.Pressure.Value.SI() * s.liquid.AtRest.SI() * s.point.Speed.SI() / (l.AtRest.SI() * in.Service.Speed.Value.SI())))
	full := s.point.Pressure
	for _, other := range []quantity.PressureDifference{full, full / 2} {
		if math.Abs((p - other).SI()) < 0.1*full.SI() {
			return 0, false
		}
	}
	return p, p > full/10 && p < full
}

// stand finds the liquid of the test and how far the stand goes.
func (c *Chapter) stand() (stand, say.Message) {
	in := &c.bench.in
	s := stand{point: slip.Point{Speed: in.Service.Speed.Value, Pressure: in.Service.Pressure.Value}}
	var l *liquid.Liquid
	var limits []say.Message
	if in.Shop == nil || in.Shop.TestStand == nil {
		c.Warnings = append(c.Warnings, msgNoStand.With())
		if in.Service.Temperature == nil {
			return s, msgNoPoint.With()
		}
		l, s.temperature = in.Liquid, in.Service.Temperature.Value
		if l != nil {
			s.name, s.named = l.Title, l.Name
		}
	} else {
		t := in.Shop.TestStand
		l, s.name, s.temperature = namedLiquid(t.Liquid, in.Service, in.Liquid), t.Liquid, c.bench.shop
		if l == nil {
			return s, msgNoTest.With(t.Liquid)
		}
		s.name, s.named = titleOf(l, t.Liquid), t.Liquid
		if t.Temperature != nil {
			s.temperature = t.Temperature.Value
		}
		if t.Pressure != nil && s.point.Pressure > t.Pressure.Value {
			s.point.Pressure = t.Pressure.Value
			limits = append(limits, limitP.With(t.Pressure.Value))
		}
		if t.Speed != nil && s.point.Speed > t.Speed.Value {
			s.point.Speed = t.Speed.Value
			limits = append(limits, limitN.With(t.Speed.Value))
		}
		if t.Power != nil {
			s.power = t.Power.Value
		}
		if t.Flow != nil {
			c.slower(&s, t.Flow.Value, &limits)
		}
	}
	moved, state, err := machine.LiquidAt(l, s.temperature)
	if err != nil {
		return s, say.Plain(err.Error())
	}
	s.liquid, s.viscosity = moved, state.Kinematic
	if r := in.Service.Relief; r != nil && r.Crack != nil && s.point.Pressure > 0.9*r.Crack.Value {
		s.point.Pressure = rounded(0.9 * r.Crack.Value)
		limits = append(limits, limitCrack.With(r.Crack.Value))
	}
	c.ease(&s, &limits)
	if len(limits) > 0 {
		c.Warnings = append(c.Warnings, msgEased.With(limits))
	}
	return s, say.Message{}
}

// slower lowers the speed to what the meter of the stand can read.
func (c *Chapter) slower(s *stand, most quantity.Flow, limits *[]say.Message) {
	if !c.bench.known {
		return
	}
	theoretical := slip.TheoreticalFlow(c.bench.base.Teeth.Displacement, s.point.Speed)
	if theoretical <= most {
		return
	}
	s.point.Speed = quantity.RotationalSpeed(s.point.Speed.SI() * most.SI() / theoretical.SI())
	*limits = append(*limits, limitN.With(s.point.Speed))
}

// ease lowers the pressure to what the drive of the stand can turn.
func (c *Chapter) ease(s *stand, limits *[]say.Message) {
	if s.power <= 0 || !c.bench.known {
		return
	}
	m, err := c.bench.at(machine.Left, s.temperature)
	if err != nil || !m.Contact.IsZero() {
		return
	}
	takes := func(p quantity.PressureDifference) (quantity.Power, bool) {
		r, err := m.Model.At(s.liquid, slip.Point{Speed: s.point.Speed, Pressure: p}, slip.DefaultFactors())
		if err != nil || r.Power == nil {
			return 0, false
		}
		return r.Power.Total, true
	}
	if p, known := takes(s.point.Pressure); !known || p <= s.power {
		return
	}
	low, high := quantity.PressureDifference(0), s.point.Pressure
	for range 30 {
		middle := (low + high) / 2
		if p, _ := takes(middle); p <= s.power {
			low = middle
		} else {
			high = middle
		}
	}
	s.point.Pressure = rounded(low)
	*limits = append(*limits, limitPower.With(s.power))
}
