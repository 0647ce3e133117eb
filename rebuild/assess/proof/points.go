package proof

import (
	"math"

	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// Agreement is how a measured flow stands to what was expected.
type Agreement string

// Show prints the word in the language of a style.
func (v Agreement) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Agreement) Message() say.Message { return say.Word("proof", string(v)) }

// The agreements.
const (
	Agrees    Agreement = "as expected"
	TooLow    Agreement = "lower than the model allows"
	TooHigh   Agreement = "higher than the model allows"
	NoOpinion Agreement = "nothing to compare with"
)

// Point is one point of the bench test.
type Point struct {
	Entry       job.Kept[job.TestPoint]
	Refused     say.Message // why it is no evidence; empty when it is
	Point       slip.Point
	Temperature quantity.Temperature
	Viscosity   quantity.KinematicViscosity
	Liquid      slip.Liquid
	Title       string // what people call what was pumped
	Flow        quantity.Estimate[quantity.Flow]
	Power       *quantity.Estimate[quantity.Power]
	Expected    *slip.Prediction // by the model before any fit, with the clearances at the stand's temperature
	Agreement   Agreement
	Fitted      *slip.Fitted
}

// Standard uncertainties of a stand that states none, as parts of the reading.
// Conventions of this program, no source.
const (
	assumedFlowU  = 0.01
	assumedPowerU = 0.02
)

// far is how many standard uncertainties a reading may lie from what was
// expected.
const far = 2.0

// viscosityOff is how far a stated viscosity may lie from that of the liquid
// it names before it is said.
const viscosityOff = 0.10

var (
	msgWants      = say.Define("proof.wants", "no evidence: {missing:list} missing. Flow without liquid, temperature and viscosity proves nothing")
	msgUnread     = say.Define("proof.unread", "no evidence: it cannot be read: {reason}")
	msgDensity    = say.Define("proof.density", "no evidence: the density of “{liquid}” is not known; write it beside the viscosity")
	msgOff        = say.Define("proof.viscosity_off", "test point {n:count}: {stated:kinematic_viscosity} was written, {liquid} has {known:kinematic_viscosity} at {temperature:temperature}; the written one is used")
	msgPointNotes = say.Define("proof.point", "test point {n:count}: {what:message}")
	msgFlowUSaid  = say.Define("proof.flow_u", "no uncertainty of the flow is stated: {part:percent} of each reading is taken")
)

// read reads the points that were entered.
func (c *Chapter) read() {
	in := &c.bench.in
	for i := range in.Points {
		p := Point{Entry: in.Points[i], Agreement: NoOpinion}
		p.Refused = c.readOne(i, &p)
		if p.Refused.IsZero() {
			c.Usable++
			if c.bench.known {
				c.expect(&p)
			}
		} else {
			c.Warnings = append(c.Warnings, msgPointNotes.With(i+1, p.Refused))
		}
		c.Points = append(c.Points, p)
	}
}

func optional[T quantity.Of](text string) (*T, error) {
	if text == "" {
		return nil, nil
	}
	g, err := quantity.Read[T](text)
	if err != nil {
		return nil, err
	}
	return &g.Value, nil
}

func (c *Chapter) readOne(i int, p *Point) say.Message {
	b := p.Entry.Body
	fail := func(field string, err error) say.Message { return msgUnread.With(say.In(field, err)) }
	speed, err := quantity.Read[quantity.RotationalSpeed](b.Speed)
	if err != nil {
		return fail("speed", err)
	}
	pressure, err := quantity.Read[quantity.PressureDifference](b.Pressure)
	if err != nil {
		return fail("pressure", err)
	}
	flow, err := quantity.Read[quantity.Flow](b.Flow)
	if err != nil {
		return fail("flow", err)
	}
	p.Title = b.Liquid
	p.Point = slip.Point{Speed: speed.Value, Pressure: pressure.Value}
	if message := c.uncertain(p, b, flow.Value); !message.IsZero() {
		return message
	}
	var missing []string
	for _, w := range []struct{ name, text string }{{"liquid", b.Liquid}, {"temperature", b.Temperature}, {"viscosity", b.Viscosity}} {
		if w.text == "" {
			missing = append(missing, w.name)
		}
	}
	if len(missing) > 0 {
		return msgWants.With(missing)
	}
	t, err := quantity.Read[quantity.Temperature](b.Temperature)
	if err != nil {
		return fail("temperature", err)
	}
	p.Temperature = t.Value
	return c.liquidOf(i, p, b)
}

// uncertain reads flow and power with their uncertainties: the entry's own,
// else those of the stand.
func (c *Chapter) uncertain(p *Point, b job.TestPoint, flow quantity.Flow) say.Message {
	flowPart, powerPart := assumedFlowU, assumedPowerU
	stated := false
	if shop := c.bench.in.Shop; shop != nil && shop.TestStand != nil {
		if u := shop.TestStand.FlowU; u != nil {
			flowPart, stated = *u, true
		}
		if u := shop.TestStand.PowerU; u != nil {
			powerPart = *u
		}
	}
	p.Flow = quantity.Within(flow, flowPart*math.Abs(flow.SI()))
	given, err := optional[quantity.Flow](b.FlowU)
	if err != nil {
		return msgUnread.With(say.In("flow_u", err))
	}
	if given != nil {
		p.Flow.U = given.SI()
	} else if !stated {
		c.sayOnce(msgFlowUSaid.With(assumedFlowU))
	}
	power, err := optional[quantity.Power](b.Power)
	if err != nil {
		return msgUnread.With(say.In("power", err))
	}
	if power == nil {
		return say.Message{}
	}
	e := quantity.Within(*power, powerPart*math.Abs(power.SI()))
	givenP, err := optional[quantity.Power](b.PowerU)
	if err != nil {
		return msgUnread.With(say.In("power_u", err))
	}
	if givenP != nil {
		e.U = givenP.SI()
	}
	p.Power = &e
	return say.Message{}
}

func (c *Chapter) sayOnce(m say.Message) {
	for _, w := range c.Warnings {
		if w.String() == m.String() {
			return
		}
	}
	c.Warnings = append(c.Warnings, m)
}

// liquidOf finds what was pumped: the written viscosity rules, the named
// liquid lends its density and how it thins.
func (c *Chapter) liquidOf(i int, p *Point, b job.TestPoint) say.Message {
	named := namedLiquid(b.Liquid, c.bench.in.Service, c.bench.in.Liquid)
	p.Title = titleOf(named, b.Liquid)
	var state *liquid.State
	if named != nil {
		state, _ = named.At(p.Temperature) // outside its data the written numbers stand alone
	}
	density, err := optional[quantity.Density](b.Density)
	if err != nil {
		return msgUnread.With(say.In("density", err))
	}
	switch {
	case density != nil:
	case state != nil:
		density = &state.Density
	default:
		return msgDensity.With(b.Liquid)
	}
	e, err := fields.ParseAny(b.Viscosity)
	if err != nil {
		return msgUnread.With(say.In("viscosity", err))
	}
	var dynamic quantity.DynamicViscosity
	switch e.Dimension {
	case quantity.DynamicViscosityDimension:
		dynamic = quantity.DynamicViscosity(e.SI)
	default:
		nu, err := quantity.Parse(quantity.KinematicViscosityDimension, b.Viscosity)
		if err != nil {
			return msgUnread.With(say.In("viscosity", err))
		}
		dynamic = quantity.DynamicViscosity(nu.SI * density.SI())
	}
	p.Viscosity = quantity.KinematicViscosity(dynamic.SI() / density.SI())
	p.Liquid = slip.Newtonian(*density, dynamic)
	if state != nil {
		if moved, err := sheet.SlipLiquid(state); err == nil && moved.AtRest > 0 {
			scale := dynamic.SI() / moved.AtRest.SI()
			moved.AtRest, moved.HighShear, moved.Density = dynamic, quantity.DynamicViscosity(moved.HighShear.SI()*scale), *density
			p.Liquid = moved
		}
		if off := math.Abs(p.Viscosity.SI()/state.Kinematic.SI() - 1); off > viscosityOff {
			c.Warnings = append(c.Warnings, msgOff.With(i+1, p.Viscosity, b.Liquid, state.Kinematic, p.Temperature))
		}
	}
	return say.Message{}
}

// namedLiquid is the liquid of a name: one that ships with the program, or
// that of the service where the name is its.
func namedLiquid(name string, service *sheet.Service, own *liquid.Liquid) *liquid.Liquid {
	if own != nil && (name == own.Name || name == own.Title) {
		return own
	}
	if service != nil && own != nil {
		if of, ok := service.Liquid.(string); ok && of == name {
			return own
		}
	}
	l, err := liquid.Named(name)
	if err != nil {
		return nil
	}
	return l
}

// titleOf is what people call a liquid; the written name where it has none.
func titleOf(l *liquid.Liquid, written string) string {
	if l == nil || l.Title == "" {
		return written
	}
	return l.Title
}

// expect works out what the model gives at the point.
func (c *Chapter) expect(p *Point) {
	m, err := c.bench.at(machine.Left, p.Temperature)
	if err != nil {
		c.sayOnce(say.Plain(err.Error()))
		return
	}
	if !m.Contact.IsZero() {
		c.sayOnce(m.Contact)
		return
	}
	p.Expected, err = m.Predict(nil, p.Liquid, p.Point)
	if err != nil {
		c.sayOnce(say.Plain(err.Error()))
		return
	}
	off := (p.Flow.Value - p.Expected.Flow.Value).SI() / math.Hypot(p.Flow.U, p.Expected.Flow.U)
	switch {
	case off < -far:
		p.Agreement = TooLow
	case off > far:
		p.Agreement = TooHigh
	default:
		p.Agreement = Agrees
	}
}
