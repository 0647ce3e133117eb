package delivery

import (
	"math"

	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/relief"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/calc/suction"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// Warming is how much warmer the liquid gets.
type Warming struct {
	Slipped   quantity.TemperatureDifference // what slips comes back warmer by this
	Delivered quantity.TemperatureDifference // all losses, in what is delivered
}

// DriveCheck is the drive at one temperature.
type DriveCheck struct {
	When        say.Message
	Temperature quantity.Temperature
	Viscosity   quantity.KinematicViscosity
	Power       quantity.Estimate[quantity.Power]
	Torque      quantity.Torque
	Verdict     Standing
	Message     say.Message
	Starved     say.Message // why power and torque are not those of a filled pump; empty when the tooth spaces fill or nothing tells

	result slip.Result
	liquid slip.Liquid
}

// Standing is how a demand stands to a limit.
type Standing string

// Show prints the word in the language of a style.
func (v Standing) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Standing) Message() say.Message { return say.Word("delivery", string(v)) }

// The standings.
const (
	Within    Standing = "within"
	NearLimit Standing = "near the limit"
	Over      Standing = "over the limit"
	NoLimit   Standing = "no limit known"
)

var (
	whenNormal   = say.Define("delivery.when_normal", "normal temperature")
	whenStart    = say.Define("delivery.when_start", "start at the thickest liquid")
	whenHot      = say.Define("delivery.when_hot", "highest temperature")
	msgDriveOver = say.Define("delivery.drive_over", "{when:message}, {temperature:temperature}: {power} at the shaft is over the {limit:power} that the drive is rated for. Warm the liquid first, lower the speed, or fit another drive")
	msgDriveNear = say.Define("delivery.drive_near", "{when:message}, {temperature:temperature}: {power} at the shaft may exceed the {limit:power} that the drive is rated for")
	msgTorque    = say.Define("delivery.torque_over", "{when:message}, {temperature:temperature}: {torque:torque} at the shaft is over the {limit:torque} that gearbox and coupling carry")
	msgSpeed     = say.Define("delivery.speed_over", "the service runs at {speed:rotational_speed}, above the {limit:rotational_speed} that {whose} allows")
	msgPressure  = say.Define("delivery.pressure_over", "the service works at {pressure:pressure_difference}, above the {limit:pressure_difference} that the pump is rated for")
	msgHot       = say.Define("delivery.temperature_over", "the service reaches {temperature:temperature}, above the {limit:temperature} that the pump is rated for")
	msgDriveNone = say.Define("delivery.no_drive", "whether the drive stands it is not known: the service states no rated power")
	msgStarved   = say.Define("delivery.starved", "{when:message} ({temperature:temperature}): {gate:message}. Power and torque are worked out for a full pump and do not hold there; start slower or warmer")
	msgNoStart   = say.Define("delivery.no_start", "the start at the coldest temperature is not checked: {reason}")
	msgHeat      = say.Define("delivery.heat", "specific heat {heat:number} J/(kg K) {whose}")
	heatWater    = say.Define("delivery.heat_water", "of water")
	heatOil      = say.Define("delivery.heat_oil", "typical of an oil (from memory)")
	heatGiven    = say.Define("delivery.heat_given", "as the service states")
	heatAssumed  = say.Define("delivery.heat_assumed", "assumed as for an oil; the liquid's own is not known")
	msgNoValve   = say.Define("delivery.no_relief", "the relief valve is not checked: the service states no {missing:list}")
	msgValveDry  = say.Define("delivery.relief_drive", "the limit of the drive is not known: the relief valve is held against the casing alone")
	msgNoSuction = say.Define("delivery.no_suction", "whether the pump gets its liquid is not known: the service describes no suction side (bore, length, level)")
	msgVapour    = say.Define("delivery.vapour", "the vapour pressure of the liquid at {temperature:temperature} is not known and taken as none; a volatile liquid needs it")
	msgTooCold   = say.Define("delivery.suction_cold", "below {coldest:temperature} the liquid is too thick for the suction line, and the service starts at {lowest:temperature}: warm the line, slow the pump or widen the line")
	msgNoNeed    = say.Define("delivery.no_required", "the inlet pressure that the pump needs is not known (its maker's curve): what the tooth spaces need to fill stands in, a lower bound")
)

// near is the part of a limit from which it is said. Convention of this
// program, no source.
const near = 0.9

const (
	heatOfWater = 4180.0 // J/(kg K), IAPWS-95 at 20 °C: 4184
	heatOfOil   = 1900.0 // typical of mineral oil, from memory
)

// warming works out how much warmer the liquid gets.
//
//	ΔT_slip = Δp/(ρ c),  ΔT = (P − Δp Q)/(ρ c Q)
//
// The second holds with the power known; else slip alone counts.
func (w *worker) warming() {
	if w.c.Left == nil || w.c.Left.Duty == nil {
		return
	}
	heat, whose := heatOfOil, heatAssumed.With()
	switch l := w.in.Liquid; {
	case w.in.Service.HeatPerMass != nil && *w.in.Service.HeatPerMass > 0:
		heat, whose = *w.in.Service.HeatPerMass, heatGiven.With()
	case l != nil && l.Family == liquid.IsWater:
		heat, whose = heatOfWater, heatWater.With()
	case l != nil && l.Family == liquid.Petroleum:
		whose = heatOil.With()
	}
	w.note(msgHeat.With(heat, whose))
	r := &w.c.Left.Duty.Result
	slipped, err := slip.SlipTemperatureRise(w.c.Duty.Pressure, w.c.Liquid.Density, heat)
	if err != nil || r.Flow <= 0 {
		return
	}
	losses := w.c.Duty.Pressure.SI() * r.Slip.SI()
	if r.Power != nil {
		losses = r.Power.Total.SI() - w.c.Duty.Pressure.SI()*r.Flow.SI()
	}
	w.c.Warm = &Warming{Slipped: slipped, Delivered: quantity.TemperatureDifference(math.Max(0, losses) / (w.c.Liquid.Density.SI() * heat * r.Flow.SI()))}
}

// drive holds power and torque against the drive: at normal temperature, at
// the thickest liquid with cold clearances, at the highest temperature.
func (w *worker) drive() {
	v := w.in.Service
	w.limits()
	if w.c.Left == nil || w.c.Left.Machine == nil {
		return
	}
	w.driveAt(whenNormal.With(), w.c.Temperature, nil)
	if v.Lowest != nil {
		cold, err := machine.WarmTo(w.in.Sheet, machine.BenchOf(w.in.Shop), w.ambient(), machine.BenchOf(w.in.Shop))
		if err != nil {
			w.warn(msgNoStart.With(err))
		} else {
			cold.Unknown = nil
			w.driveAt(whenStart.With(), v.Lowest.Value, &cold)
		}
	}
	if v.Highest != nil && v.Highest.Value != w.c.Temperature {
		hot, err := machine.WarmTo(w.in.Sheet, machine.BenchOf(w.in.Shop), w.ambient(), v.Highest.Value)
		if err == nil {
			w.driveAt(whenHot.With(), v.Highest.Value, &hot)
		}
	}
	if len(w.c.Drive) > 0 && (v.Drive == nil || v.Drive.Power == nil) {
		w.note(msgDriveNone.With())
	}
}

func (w *worker) driveAt(when say.Message, t quantity.Temperature, warm *machine.Warm) {
	l, state, err := machine.LiquidAt(w.in.Liquid, t)
	if err != nil {
		w.warn(msgNoStart.With(err))
		return
	}
	m := w.c.Left.Machine
	if warm != nil {
		if m, err = machine.Assemble(w.base, w.set(machine.Left), *warm); err != nil {
			return
		}
	}
	if !m.Contact.IsZero() {
		w.warn(m.Contact)
		return
	}
	p, err := m.PredictBy(w.fit, l, w.c.Duty)
	if err != nil || p.Power == nil {
		return
	}
	d := DriveCheck{When: when, Temperature: t, Viscosity: state.Kinematic, Power: *p.Power, Torque: p.Result.Power.Torque, Verdict: NoLimit, result: p.Result, liquid: l}
	d.hold(w)
	w.c.Drive = append(w.c.Drive, d)
}

func (d *DriveCheck) hold(w *worker) {
	drive := w.in.Service.Drive
	if drive == nil {
		return
	}
	if drive.Power != nil {
		limit := drive.Power.Value
		d.Verdict = Within
		switch {
		case d.Power.Value > limit:
			d.Verdict, d.Message = Over, msgDriveOver.With(d.When, d.Temperature, d.Power, limit)
		case d.Power.Value.SI()+2*d.Power.U > limit.SI() || d.Power.Value.SI() > near*limit.SI():
			d.Verdict, d.Message = NearLimit, msgDriveNear.With(d.When, d.Temperature, d.Power, limit)
		}
	}
	if drive.MaxTorque != nil {
		if d.Verdict == NoLimit {
			d.Verdict = Within
		}
		if d.Torque > drive.MaxTorque.Value {
			d.Verdict, d.Message = Over, msgTorque.With(d.When, d.Temperature, d.Torque, drive.MaxTorque.Value)
		}
	}
	if !d.Message.IsZero() {
		w.warn(d.Message)
	}
}

// limits holds the service against the rating of pump and drive.
func (w *worker) limits() {
	v, r := w.in.Service, w.in.Sheet.Rating
	if v.Drive != nil && v.Drive.MaxSpeed != nil && v.Speed.Value > v.Drive.MaxSpeed.Value {
		w.warn(msgSpeed.With(v.Speed.Value, v.Drive.MaxSpeed.Value, "the drive"))
	}
	if r.Speed != nil && v.Speed.Value > r.Speed.Value {
		w.warn(msgSpeed.With(v.Speed.Value, r.Speed.Value, "the model sheet"))
	}
	if r.Pressure != nil && v.Pressure.Value > r.Pressure.Value {
		w.warn(msgPressure.With(v.Pressure.Value, r.Pressure.Value))
	}
	hottest := w.c.Temperature
	if v.Highest != nil {
		hottest = max(hottest, v.Highest.Value)
	}
	if r.Temperature != nil && hottest > r.Temperature.Value {
		w.warn(msgHot.With(hottest, r.Temperature.Value))
	}
}

// valve judges the relief valve against working pressure, casing and drive.
func (c *Chapter) valve(in Inputs) {
	v := in.Service
	if v == nil || v.Relief == nil && in.Relief == nil && in.Sheet.Build.ReliefValve == "none" {
		return
	}
	var missing []string
	valve, set, crack := reliefOf(v.Relief, in.Relief)
	if !set {
		missing = append(missing, "set pressure of the relief valve")
	}
	if !crack {
		missing = append(missing, "pressure at which the relief valve begins to pass")
	}
	if v.Pressure == nil {
		missing = append(missing, "working pressure")
	}
	casing := in.Sheet.Rating.CasingLimit
	if casing == nil {
		missing = append(missing, "pressure that the casing may see")
	}
	if len(missing) > 0 {
		c.NoRelief = msgNoValve.With(missing)
		c.Warnings = once(c.Warnings, c.NoRelief)
		return
	}
	c.ReliefAt = in.Relief
	valve.Working, valve.CasingLimit, valve.DriveLimit = v.Pressure.Value, casing.Value, casing.Value
	if limit, known := c.driveLimit(in); known {
		valve.DriveLimit = limit
	} else {
		c.Notes = once(c.Notes, msgValveDry.With())
	}
	result, err := relief.Judge(valve)
	if err != nil {
		c.NoRelief = say.Plain(err.Error())
		c.Warnings = once(c.Warnings, c.NoRelief)
		return
	}
	c.Relief = result
	for _, m := range result.Warnings {
		c.Warnings = once(c.Warnings, m)
	}
	if !result.Accepted {
		for _, m := range result.Reasons {
			switch m.ID() {
			case "relief.clear", "relief.within":
			default:
				c.Warnings = once(c.Warnings, m)
			}
		}
	}
}

// reliefOf takes the readings of the stand, and where there are none what the
// service states. A valve whose opening was not read opens at the pressure to
// which it was set (common practice, no source).
func reliefOf(stated *sheet.Relief, read *job.Kept[job.ReliefTest]) (valve relief.Valve, set, crack bool) {
	if read != nil && read.Body.Set != nil {
		r := &read.Body
		valve.Set, valve.Crack, valve.FullBypass, valve.Reseat = *r.Set, *r.Set, r.FullBypass, r.Reseat
		if r.Crack != nil {
			valve.Crack = *r.Crack
		}
		return valve, true, true
	}
	if stated == nil {
		return valve, false, false
	}
	if set = stated.Set != nil; set {
		valve.Set = stated.Set.Value
	}
	if crack = stated.Crack != nil; crack {
		valve.Crack = stated.Crack.Value
	}
	if stated.FullBypass != nil {
		valve.FullBypass = &stated.FullBypass.Value
	}
	if stated.Reseat != nil {
		valve.Reseat = &stated.Reseat.Value
	}
	return valve, set, crack
}

// driveLimit is the pressure at which the drive reaches its rated power.
func (c *Chapter) driveLimit(in Inputs) (quantity.PressureDifference, bool) {
	if in.Service.Drive == nil || in.Service.Drive.Power == nil || c.Left == nil || c.Left.Duty == nil || c.Left.Duty.Power == nil {
		return 0, false
	}
	k := c.Left.Duty.Result.Factors
	takes := func(p quantity.PressureDifference) float64 {
		r, err := c.Left.Machine.Model.At(c.Liquid, slip.Point{Speed: c.Duty.Speed, Pressure: p}, k)
		if err != nil || r.Power == nil {
			return math.Inf(1)
		}
		return r.Power.Total.SI()
	}
	rated := in.Service.Drive.Power.Value.SI()
	low, high := quantity.PressureDifference(0), 2*c.Duty.Pressure
	for takes(high) < rated && high < 1e9 {
		low, high = high, 2*high
	}
	for range 40 {
		middle := (low + high) / 2
		if takes(middle) < rated {
			low = middle
		} else {
			high = middle
		}
	}
	return low, low > 0
}

// suction holds the suction line against what the pump needs.
func (w *worker) suction() {
	s := w.in.Service.Suction
	if s == nil || s.Bore == nil || s.Length == nil || s.StaticHead == nil {
		w.c.NoSuck = msgNoSuction.With()
		w.note(w.c.NoSuck)
		return
	}
	if w.c.Left == nil || w.c.Left.Duty == nil {
		return
	}
	line := suction.Line{SurfacePressure: quantity.StandardAtmosphere, StaticHead: s.StaticHead.Value, Flow: max(0, w.c.Left.Duty.Result.Flow), Bore: s.Bore.Value,
		Length: s.Length.Value, Roughness: suction.CommercialSteel, Viscosity: quantity.DynamicViscosity(w.c.Viscosity.SI() * w.c.Liquid.Density.SI()), Density: w.c.Liquid.Density}
	if s.SurfacePressure != nil {
		line.SurfacePressure = s.SurfacePressure.Value
	}
	if s.Fittings != nil {
		line.FittingsK = *s.Fittings
	}
	duty := &w.c.Left.Duty.Result
	if s.Required != nil {
		line.Required = &s.Required.Value
	} else {
		w.note(msgNoNeed.With())
		line.Required = duty.Filling
	}
	hottest := w.c.Temperature
	if h := w.in.Service.Highest; h != nil {
		hottest = max(hottest, h.Value)
	}
	if state, err := w.in.Liquid.At(hottest); err == nil && state.VaporPressure != nil {
		line.VaporPressure = *state.VaporPressure
	} else {
		w.note(msgVapour.With(hottest))
	}
	r, err := suction.At(line)
	if err != nil {
		w.c.NoSuck = say.Plain(err.Error())
		w.warn(w.c.NoSuck)
		return
	}
	out := &Suction{Result: r, Bound: s.Required == nil}
	w.c.Suction = out
	for _, m := range r.Warnings {
		w.warn(m)
	}
	if fills, _, known := duty.Fills(r.InletPressure, line.VaporPressure); known {
		out.Fills = &fills
		if !fills {
			w.warn(duty.SuctionGate(r.InletPressure, line.VaporPressure))
		}
	}
	w.starved(line)
	if flow, err := suction.MostFlow(line, w.filling(out.Bound)); err == nil && duty.TheoreticalFlow > 0 {
		speed := quantity.RotationalSpeed(w.c.Duty.Speed.SI() * (flow + duty.Slip).SI() / duty.TheoreticalFlow.SI())
		out.MostSpeed = &speed
	}
	if mu, err := suction.MostViscosity(line); err == nil {
		out.MostViscosity = &mu
	}
	w.temperatures(line, out)
}

// starved looks at each check of the drive whether the tooth spaces fill there:
// where they do not, power and torque are those of a pump that is not full.
func (w *worker) starved(line suction.Line) {
	for i := range w.c.Drive {
		d := &w.c.Drive[i]
		at := line
		at.Flow, at.Density, at.Viscosity = max(0, d.result.Flow), d.liquid.Density, d.liquid.AtRest
		if state, err := w.in.Liquid.At(d.Temperature); err == nil && state.VaporPressure != nil {
			at.VaporPressure = *state.VaporPressure
		}
		r, err := suction.At(at)
		if err != nil {
			continue
		}
		if m := d.result.SuctionGate(r.InletPressure, at.VaporPressure); !m.IsZero() {
			d.Starved = msgStarved.With(d.When, d.Temperature, m)
			w.warn(d.Starved)
		}
	}
}

// filling is what the tooth spaces need at another flow, where it stands in
// for the pump's own requirement.
func (w *worker) filling(stands bool) func(quantity.Flow) quantity.PressureDifference {
	if !stands {
		return nil
	}
	duty := &w.c.Left.Duty.Result
	return func(flow quantity.Flow) quantity.PressureDifference {
		speed := quantity.RotationalSpeed(w.c.Duty.Speed.SI() * (flow + duty.Slip).SI() / duty.TheoreticalFlow.SI())
		r, err := w.c.Left.Machine.Model.At(w.c.Liquid, slip.Point{Speed: speed, Pressure: w.c.Duty.Pressure}, duty.Factors)
		if err != nil || r.Filling == nil {
			return 0
		}
		return *r.Filling
	}
}

// reach is how far a petroleum liquid is followed beyond its points.
// Convention of this program, no source.
const reach = 60

// temperatures finds where the suction fails: colder the liquid is too thick,
// hotter it boils.
func (w *worker) temperatures(line suction.Line, out *Suction) {
	l := w.in.Liquid
	low, high := l.Range()
	if l.Line() != nil {
		low, high = low-reach, high+reach
	}
	if l.PourPoint != nil {
		low = max(low, *l.PourPoint)
	}
	if l.BoilingPoint != nil {
		high = min(high, *l.BoilingPoint)
	}
	window, err := suction.TemperatureWindow(line, func(t quantity.Temperature) (quantity.Density, quantity.DynamicViscosity, quantity.AbsolutePressure, error) {
		state, err := l.At(t)
		if err != nil {
			return 0, 0, 0, err
		}
		vapor := line.VaporPressure
		if state.VaporPressure != nil {
			vapor = *state.VaporPressure
		}
		return state.Density, state.Dynamic, vapor, nil
	}, low, high)
	if err != nil {
		w.warn(say.Plain(err.Error()))
		return
	}
	if !window.OpenLow {
		out.Coldest = &window.Low
		if low := w.in.Service.Lowest; low != nil && low.Value < window.Low {
			w.warn(msgTooCold.With(window.Low, low.Value))
		}
	}
	if !window.OpenHigh {
		out.Hottest = &window.High
	}
}
