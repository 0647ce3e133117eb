package delivery

import (
	"pumpwright/calc/gearset"
	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/relief"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/calc/suction"
	"pumpwright/calc/working"
	"pumpwright/rebuild/assess/clearance"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/assess/proof"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/sheet"
)

// Inputs is what the chapter reads.
type Inputs struct {
	Sheet      *sheet.Sheet
	Service    *sheet.Service // may be nil
	Liquid     *liquid.Liquid // may be nil
	Readings   *reading.Chapter
	Replaced   map[string]bool
	Clearances *clearance.Chapter
	Proof      *proof.Chapter // its fit, where one was accepted
	Shop       *ledger.Shop
	Relief     *job.Kept[job.ReliefTest] // as it was set and read on the stand; nil when it was not
}

// Chapter is what the pump delivers.
type Chapter struct {
	Unknown say.Message // why there is no model of paths; the fallback then stands below

	Duty        slip.Point
	Temperature quantity.Temperature
	Liquid      slip.Liquid
	Viscosity   quantity.KinematicViscosity
	Calibrated  bool         // the bands rest on bench points of this pump
	Statement   say.Message  // what slip rests on; it stands wherever slip is shown
	Fit         *machine.Fit // factors of other pumps, where they are used; nil otherwise

	Found, Left, New *Pump // nil without a model
	Upgraded         *Pump // rebuilt with the shop's upgrade; nil when there is none that changes a gap
	Pressures        []quantity.PressureDifference
	Shares           []Share // what each worn part costs, the largest first
	Setting          *Share  // what setting the end clearance anew gives
	Money            []Money // a year's loss, of found and left against new

	Fallback *Fallback // without tooth data

	Warm     *Warming
	Drive    []DriveCheck
	Relief   *relief.Result
	ReliefAt *job.Kept[job.ReliefTest] // the readings it rests on; nil for what the service states
	NoRelief say.Message
	Suction  *Suction
	NoSuck   say.Message

	Required *quantity.Flow // least flow that is asked for at the service point
	Notes    []say.Message  // what stands wherever slip is shown, and what was assumed
	Warnings []say.Message
}

// Pump is the pump in one state at the service point.
type Pump struct {
	State    machine.State
	Machine  *machine.Assembled
	Contact  say.Message // why there is no flow and power
	Duty     *slip.Prediction
	Flow     []quantity.Flow // over Pressures, with their standard uncertainties
	FlowU    []float64
	Power    []quantity.Power // empty when not known
	PowerU   []float64
	MeetsAll *float64 // chance of meeting Required
}

// Fallback is what is known without tooth data.
type Fallback struct {
	Displacement *quantity.Estimate[quantity.Displacement]
	Theoretical  *quantity.Estimate[quantity.Flow] // at the service speed
	Flow         *quantity.Estimate[quantity.Flow] // by the two-number model of the bench test
	CannotSay    []say.Message
}

// Suction is the suction side.
type Suction struct {
	Result        *suction.Result
	Bound         bool  // what the tooth spaces need to fill stands in for the pump's own requirement
	Fills         *bool // the tooth spaces fill by the model's own lower bound
	MostSpeed     *quantity.RotationalSpeed
	MostViscosity *quantity.DynamicViscosity
	Coldest       *quantity.Temperature
	Hottest       *quantity.Temperature
}

var (
	msgNoModel   = say.Define("delivery.no_model", "flow, power and slip by path are not known: {reason}")
	msgNoDuty    = say.Define("delivery.no_duty", "what the pump delivers in service is not known: the service states no {missing:list}")
	msgNoLiquid  = say.Define("delivery.no_liquid", "what the pump delivers in service is not known: {reason}")
	msgLearned   = say.Define("delivery.learned", "no bench point of this pump yet: slip and drag of the model for “{model}” are scaled as benches of other pumps of it have shown, learned from {jobs:count|job|jobs} (slip × {slip:number}, drag × {drag:number}); the spread between those pumps is in the band")
	msgPinPlay   = say.Define("delivery.pin_play", "{state}: the idler has {play:length} radial play on its pin, more than twice that of a new one ({new:length}). Its shift and tilt are not in the slip model: real flow may be lower and the crescent may rub")
	msgNothing   = say.Define("delivery.nothing_read", "{state}: flow and power are not known, because nothing that leaks was read yet")
	msgUnread    = say.Define("delivery.unread", "{state}: not read and taken as new: {names:list}")
	msgNewParts  = say.Define("delivery.new_parts", "as left: new parts not measured yet, taken as new by the sheet: {names:list}")
	msgOffPlace  = say.Define("delivery.bore_moved", "the bore is worn to one side: its middle has moved by {moved:length} towards {angle:number}°, and the gap there is {gap:length}. The mean gap stands in the flow; the side that leads into suction lets more pass")
	msgWindowNil = say.Define("delivery.thermal", "the clearances in service are not known: {reason}")
)

// Assess makes the chapter.
func Assess(in Inputs) *Chapter {
	c := &Chapter{}
	base, said, err := in.Sheet.Pump()
	if err != nil {
		c.Unknown = msgNoModel.With(err)
		c.Warnings = append(c.Warnings, c.Unknown)
		c.fallback(in)
		c.valve(in)
		return c
	}
	c.Notes = append(c.Notes, said...)
	if !c.duty(in) {
		c.valve(in)
		return c
	}
	c.Calibrated = in.Proof != nil && in.Proof.Accepts()
	c.Statement = slip.NoBenchPoint.With()
	if c.Calibrated {
		c.Statement = slip.Calibrated.With(in.Proof.Usable)
	}
	w := worker{c: c, in: in, base: base}
	var own *slip.Calibration
	if in.Proof != nil {
		own = in.Proof.Calibration
	}
	w.fit = machine.FitOf(own, in.Shop, in.Sheet.Name)
	if jobs, used := w.fit.Learned(); used {
		c.Fit = &w.fit
		c.Statement = msgLearned.With(in.Sheet.Name, jobs, w.fit.Factors().Slip, w.fit.Factors().Drag)
	}
	c.Notes = append(c.Notes, c.Statement)
	w.required()
	w.pumps()
	w.shares()
	w.money()
	w.warming()
	w.drive()
	w.suction()
	c.valve(in)
	return c
}

// duty finds the service point and the liquid there.
func (c *Chapter) duty(in Inputs) bool {
	v := in.Service
	var missing []string
	if v == nil || v.Temperature == nil {
		missing = append(missing, "temperature")
	}
	if v == nil || v.Speed == nil {
		missing = append(missing, "speed")
	}
	if v == nil || v.Pressure == nil {
		missing = append(missing, "pressure")
	}
	if len(missing) > 0 {
		c.Unknown = msgNoDuty.With(missing)
		c.Warnings = append(c.Warnings, c.Unknown)
		return false
	}
	c.Duty = slip.Point{Speed: v.Speed.Value, Pressure: v.Pressure.Value}
	c.Temperature = v.Temperature.Value
	l, state, err := machine.LiquidAt(in.Liquid, c.Temperature)
	if err != nil {
		c.Unknown = msgNoLiquid.With(err)
		c.Warnings = append(c.Warnings, c.Unknown)
		return false
	}
	c.Liquid, c.Viscosity = l, state.Kinematic
	return true
}

// worker holds what is needed while the chapter is made.
type worker struct {
	c    *Chapter
	in   Inputs
	base slip.Pump
	fit  machine.Fit
	warm machine.Warm
}

// required is the least flow that is asked for.
func (w *worker) required() {
	v := w.in.Service
	switch {
	case v.Flow != nil:
		flow := v.Flow.Value
		w.c.Required = &flow
	case v.Efficiency != nil:
		flow := quantity.Flow(*v.Efficiency * slip.TheoreticalFlow(w.base.Teeth.Displacement, w.c.Duty.Speed).SI())
		w.c.Required = &flow
	}
}

func (w *worker) ambient() quantity.Temperature {
	if a := w.in.Service.Ambient; a != nil {
		return a.Value
	}
	return machine.Bench
}

func (w *worker) set(state machine.State) machine.Set {
	return machine.Of(machine.Inputs{Sheet: w.in.Sheet, Readings: w.in.Readings, Replaced: w.in.Replaced, Expected: w.in.Clearances.Expected()}, state)
}

// fallback says what is known without tooth data: the displacement out of the
// rating, and the two numbers that bench points gave.
func (c *Chapter) fallback(in Inputs) {
	f := &Fallback{CannotSay: []say.Message{cannotPaths.With(), cannotParts.With(), cannotPower.With(), cannotWindow.With()}}
	c.Fallback = f
	r := in.Sheet.Rating
	if r.Flow != nil && r.Speed != nil {
		efficiency, u := gearset.RatingEfficiency, gearset.RatingEfficiencyU
		if r.VolumetricRate != nil {
			efficiency = *r.VolumetricRate
		} else {
			c.Notes = append(c.Notes, msgRating.With(efficiency, u))
		}
		if d, err := gearset.FromRating(r.Flow.Value, r.Speed.Value, efficiency, u); err == nil {
			f.Displacement = &d
		} else {
			c.Warnings = append(c.Warnings, say.Plain(err.Error()))
		}
	} else {
		f.CannotSay = append([]say.Message{cannotRating.With()}, f.CannotSay...)
	}
	if in.Proof != nil && in.Proof.Simple != nil && in.Proof.Simple.Accepted {
		d := in.Proof.Simple.Displacement
		f.Displacement = &d
		f.Flow = in.Proof.SimpleFlow
		c.Notes = append(c.Notes, slip.SimpleOnly.With())
	} else {
		f.CannotSay = append(f.CannotSay, cannotFlow.With())
	}
	if v := in.Service; v != nil && v.Speed != nil && f.Displacement != nil {
		q := quantity.Within(slip.TheoreticalFlow(f.Displacement.Value, v.Speed.Value), 0)
		q.U = q.Value.SI() * f.Displacement.Relative()
		f.Theoretical = &q
	}
}

var (
	msgRating    = say.Define("delivery.rating", "displacement out of the rating with an assumed volumetric efficiency of {efficiency:percent} ± {u:percent}")
	cannotRating = say.Define("delivery.cannot_rating", "the displacement: the sheet states no rated flow and speed")
	cannotPaths  = say.Define("delivery.cannot_paths", "where the pump slips")
	cannotParts  = say.Define("delivery.cannot_parts", "what each worn part costs, and whether a worn bore or the end clearance is to blame")
	cannotPower  = say.Define("delivery.cannot_power", "the power at the shaft")
	cannotWindow = say.Define("delivery.cannot_window", "up to which end clearance the service is still met")
	cannotFlow   = say.Define("delivery.cannot_flow", "the flow in service, until two bench points or more were accepted")
)

// Working returns the trees of reasons behind flow and power.
func (c *Chapter) Working() []*working.Node {
	var list []*working.Node
	for _, p := range []*Pump{c.Found, c.Left, c.New} {
		if p == nil || p.Duty == nil {
			continue
		}
		n := p.Duty.Result.Working("readings and sheet, " + string(p.State))
		n.ID = "delivery." + idOf[p.State] + "." + n.ID
		n.Name = nameOf.With(n.Name, p.State)
		if c.Fit != nil {
			n.Inputs = append(n.Inputs, c.Fit.Workings()...)
		}
		list = append(list, n)
	}
	if c.Relief != nil {
		list = append(list, c.Relief.Working())
	}
	if c.Suction != nil {
		list = append(list, c.Suction.Result.Working())
	}
	return list
}

var (
	nameOf = say.Define("delivery.working", "{name:message}, {state}")
	idOf   = map[machine.State]string{machine.Found: "found", machine.Left: "left", machine.New: "new"}
)
