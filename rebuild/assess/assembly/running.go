package assembly

import (
	"math"
	"time"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
)

// RunPoint is where a pump was read.
type RunPoint struct {
	Pressure  quantity.PressureDifference
	Speed     quantity.RotationalSpeed
	Viscosity *quantity.KinematicViscosity // as read; nil: that of the liquid
	At        quantity.Temperature
	Seq       int64 // number of the entry
}

// Expected is what a model expects at a point; nil where it expects nothing.
type Expected struct {
	Flow  *quantity.Estimate[quantity.Flow]
	Power *quantity.Estimate[quantity.Power]
}

// Expectation is a model of this pump as it was left.
type Expectation interface {
	Expect(at RunPoint) (Expected, error)
}

// Service is what was read after the start, and what is to be checked when.
type Service struct {
	Started  time.Time // of the first reading less the time after the start; zero when not known
	Runs     []*Run
	Baseline *Run // the reading after about 24 hours
	Rechecks []Recheck
	Reasons  []say.Message
	Warnings []say.Message
	Cautions []say.Message
	Unknown  []say.Message
}

// Run is one set of readings of the running pump.
type Run struct {
	job.Meta
	Body     job.Running
	Baseline bool
	Lines    []Line
	Unknown  []say.Message
}

// Line is one reading against what is expected.
type Line struct {
	Name     say.Message
	Read     say.Shower
	Expected say.Shower // nil: nothing is expected
	From     say.Message
	Odd      bool // outside what is expected
}

// Recheck is something to be looked at again at a time.
type Recheck struct {
	What    say.Message
	Due     time.Time // zero: the time is not known yet
	After   say.Message
	Step    string // of the procedure
	Done    bool
	DoneAt  time.Time
	Overdue bool
}

// How far a reading may lie from the expectation before it is marked, for
// those that carry no uncertainty. [common practice, no source]
const (
	pressureBand                            = 0.10
	meterU                                  = 0.01 // of a plant's own meters, standard uncertainty as a part of the reading
	temperatureBand                         = 10.0 // K
	bearingRise                             = 40.0 // K above the surroundings
	vibrationLimit           quantity.Speed = 4.5e-3
	baselineFrom, baselineTo                = 20 * time.Hour, 36 * time.Hour
	weekFrom, weekTo                        = 5 * 24 * time.Hour, 14 * 24 * time.Hour
	monthFrom                               = 21 * 24 * time.Hour
	day                                     = 24 * time.Hour
	packingFrom                             = 4 * time.Hour
	hotAlignmentAfter                       = 4 * time.Hour
	mostDrops                               = 0
)

var (
	whatBaseline = say.Define("assembly.what_baseline", "baseline")
	whatStart    = say.Define("assembly.what_start", "times of the checks after the start")
	whatReading  = say.Define("assembly.what_reading", "reading in service")

	lineP        = say.Define("assembly.line_pressure", "pressure")
	lineFlow     = say.Define("assembly.line_flow", "flow")
	lineSpeed    = say.Define("assembly.line_speed", "speed")
	linePower    = say.Define("assembly.line_power", "power")
	lineCurrent  = say.Define("assembly.line_current", "motor current")
	lineT        = say.Define("assembly.line_temperature", "liquid temperature")
	lineBearing  = say.Define("assembly.line_bearing", "bearing temperature")
	lineNu       = say.Define("assembly.line_viscosity", "viscosity")
	lineShake    = say.Define("assembly.line_vibration", "vibration")
	lineLeak     = say.Define("assembly.line_leakage", "leakage at the seal")
	fromService  = say.Define("assembly.from_service", "of the service")
	fromModel    = say.Define("assembly.from_model", "of the model")
	fromNeed     = say.Define("assembly.from_need", "what the process needs, at least")
	fromLiquid   = say.Define("assembly.from_liquid", "of the liquid at the temperature read")
	fromCommon   = say.Define("assembly.from_common", "common practice")
	fromBefore   = say.Define("assembly.from_first", "first reading")
	fromPacking  = say.Define("assembly.from_packing", "packing, once run in")
	atMost       = say.Define("assembly.at_most", "at most {value}")
	fromTo       = say.Define("assembly.drops_from_to", "{low:number} to {high:number} drops/min")
	msgOdd       = say.Define("assembly.odd", "{after:message}: {line:message} reads {read}, expected {expected} ({from:message})")
	afterWords   = say.Define("assembly.after", "{time:time} after the start")
	afterDays    = say.Define("assembly.after_days", "{days:number} days after the start")
	onDay        = say.Define("assembly.on_day", "on {day}")
	msgBaseline  = say.Define("assembly.baseline", "the reading {after:message} is the baseline for every later comparison")
	msgNotBase   = say.Define("assembly.not_baseline", "the baseline lacks {missing:list}: a flow without pressure, temperature and viscosity cannot be compared later")
	msgOverdue   = say.Define("assembly.overdue", "{what:message} was due on {day} and was not written down")
	msgFirstRead = say.Define("assembly.first_readings", "readings in service were not entered yet")

	checkBolts   = say.Define("assembly.check_bolts", "bolts after the first heat cycle, cold and without pressure; the end clearance with them")
	checkAlign   = say.Define("assembly.check_alignment", "alignment hot")
	checkPacking = say.Define("assembly.check_packing", "gland of the packing after 4 to 6 h of leaking")
	checkDay     = say.Define("assembly.check_day", "readings after 24 h: the baseline")
	checkWeek    = say.Define("assembly.check_week", "readings after a week")
	checkMonth   = say.Define("assembly.check_month", "readings after a month")
	afterFirst   = say.Define("assembly.after_first_heat", "within a day of the start, when it has cooled")
	afterHot     = say.Define("assembly.after_hot", "once temperatures are steady, about four hours after the start")
	afterPacking = say.Define("assembly.after_packing", "4 to 6 h after the start")
	afterDay     = say.Define("assembly.after_day", "24 h after the start")
	afterWeek    = say.Define("assembly.after_week", "a week after the start")
	afterMonth   = say.Define("assembly.after_month", "a month after the start")
	lineVacuum   = say.Define("assembly.line_vacuum", "vacuum at the suction flange")

	cautionLicensed = say.Define("assembly.caution_licensed", "Only the people licensed to start it start it. A positive-displacement pump is never started against a shut valve: suction and discharge open, relief valve in place and proved. No flow within a minute: stop.")
)

// InService lists what was read in service against what is expected, and what
// is to be checked when. Assess does so without a model; where in has one the
// chapter may be asked again.
func InService(in Inputs, c *Chapter) Service { return in.running(c) }

func (in *Inputs) running(c *Chapter) Service {
	s := Service{Cautions: append([]say.Message{cautionLicensed.With()}, in.cautions("dead-head", "dry", "rotation", "hot-liquid")...)}
	var first *Run
	for i := range in.State.Running {
		k := &in.State.Running[i]
		run := &Run{Meta: k.Meta}
		body, err := job.ReadRunning(k.Body)
		run.Body = body
		s.Runs = append(s.Runs, run)
		if err != nil {
			run.Unknown = append(run.Unknown, msgRefused.With(whatReading.With(), err))
			s.Unknown = append(s.Unknown, run.Unknown...)
			continue
		}
		if s.Started.IsZero() && body.After != nil {
			s.Started = k.At.Time().Add(-seconds(*body.After))
		}
		run.lines(in, c, first)
		if first == nil {
			first = run
		}
	}
	s.baseline()
	s.rechecks(in, c)
	for _, run := range s.Runs {
		for _, l := range run.Lines {
			if l.Odd {
				s.Warnings = append(s.Warnings, msgOdd.With(run.When(), l.Name, l.Read, l.Expected, l.From))
			}
		}
	}
	if len(s.Runs) == 0 {
		s.Reasons = append(s.Reasons, msgFirstRead.With())
	}
	return s
}

func seconds(t quantity.Time) time.Duration {
	return time.Duration(math.Round(t.SI())) * time.Second
}

// When says when the readings were made.
func (r *Run) When() say.Message {
	switch after := r.Body.After; {
	case after != nil && seconds(*after) >= 2*day:
		return afterDays.With(math.Round(after.SI()/day.Seconds()*10) / 10)
	case after != nil:
		return afterWords.With(*after)
	}
	return onDay.With(r.At.Day())
}

// age is the time after the start, and whether it is known.
func (r *Run) age(started time.Time) (time.Duration, bool) {
	if r.Body.After != nil {
		return seconds(*r.Body.After), true
	}
	if started.IsZero() {
		return 0, false
	}
	return r.At.Time().Sub(started), true
}

// lines sets each reading beside what is expected.
func (r *Run) lines(in *Inputs, c *Chapter, first *Run) {
	b, v := r.Body, in.Service
	expected := r.expected(in)
	add := func(l Line) { r.Lines = append(r.Lines, l) }
	if b.Pressure != nil {
		l := Line{Name: lineP.With(), Read: *b.Pressure}
		if v != nil && v.Pressure != nil {
			l.Expected, l.From = v.Pressure.Value, fromService.With()
			l.Odd = math.Abs((*b.Pressure - v.Pressure.Value).SI()) > pressureBand*v.Pressure.Value.SI()
		}
		add(l)
	}
	if b.Vacuum != nil {
		add(Line{Name: lineVacuum.With(), Read: *b.Vacuum})
	}
	if b.Flow != nil {
		l := Line{Name: lineFlow.With(), Read: *b.Flow}
		switch {
		case expected.Flow != nil:
			l.Expected, l.From = *expected.Flow, fromModel.With()
			l.Odd = apart(b.Flow.SI(), expected.Flow.Value.SI(), expected.Flow.U)
		case v != nil && v.Flow != nil:
			l.Expected, l.From = v.Flow.Value, fromNeed.With()
			l.Odd = *b.Flow < v.Flow.Value
		}
		add(l)
	}
	if b.Speed != nil {
		l := Line{Name: lineSpeed.With(), Read: *b.Speed}
		if v != nil && v.Speed != nil {
			l.Expected, l.From = v.Speed.Value, fromService.With()
			l.Odd = math.Abs((*b.Speed - v.Speed.Value).SI()) > pressureBand*v.Speed.Value.SI()
		}
		add(l)
	}
	r.power(in, expected, add)
	if b.Current != nil {
		l := Line{Name: lineCurrent.With(), Read: *b.Current}
		if first != nil && first.Body.Current != nil {
			l.Expected, l.From = *first.Body.Current, fromBefore.With()
		}
		add(l)
	}
	r.temperatures(in, add)
	if b.Viscosity != nil {
		l := Line{Name: lineNu.With(), Read: *b.Viscosity}
		if in.Liquid != nil && b.Temperature != nil {
			if state, err := in.Liquid.At(*b.Temperature); err == nil {
				l.Expected, l.From = state.Kinematic, fromLiquid.With()
				l.Odd = math.Abs((*b.Viscosity - state.Kinematic).SI()) > 0.25*state.Kinematic.SI()
			}
		}
		add(l)
	}
	if b.Vibration != nil {
		add(Line{Name: lineShake.With(), Read: *b.Vibration, Expected: atMost.With(vibrationLimit), From: fromCommon.With(), Odd: *b.Vibration > vibrationLimit})
	}
	if b.Leakage != nil {
		add(r.leakage(c))
	}
}

// apart tells whether a reading lies outside the band of the model: twice the
// uncertainty of both.
func apart(read, expected, u float64) bool {
	return math.Abs(read-expected) > 2*math.Hypot(u, meterU*read)
}

func (r *Run) power(in *Inputs, expected Expected, add func(Line)) {
	if r.Body.Power == nil {
		return
	}
	l := Line{Name: linePower.With(), Read: *r.Body.Power}
	v := in.Service
	switch {
	case expected.Power != nil:
		l.Expected, l.From = *expected.Power, fromModel.With()
		l.Odd = apart(r.Body.Power.SI(), expected.Power.Value.SI(), expected.Power.U)
	case v != nil && v.Drive != nil && v.Drive.Power != nil:
		l.Expected, l.From = atMost.With(v.Drive.Power.Value), fromService.With()
		l.Odd = *r.Body.Power > v.Drive.Power.Value
	}
	add(l)
}

func (r *Run) temperatures(in *Inputs, add func(Line)) {
	v := in.Service
	if t := r.Body.Temperature; t != nil {
		l := Line{Name: lineT.With(), Read: *t}
		if v != nil && v.Temperature != nil {
			l.Expected, l.From = v.Temperature.Value, fromService.With()
			above, below := (*t - in.hottest()).SI(), (v.Temperature.Value - *t).SI()
			l.Odd = above > temperatureBand || below > temperatureBand && r.settled()
		}
		add(l)
	}
	if t := r.Body.Bearing; t != nil {
		ambient := usualRoom
		if v != nil && v.Ambient != nil {
			ambient = v.Ambient.Value
		}
		limit := max(ambient, in.hottest()) + quantity.Temperature(bearingRise)
		add(Line{Name: lineBearing.With(), Read: *t, Expected: atMost.With(limit), From: fromCommon.With(), Odd: *t > limit})
	}
}

// settled tells whether temperatures should be steady by then.
func (r *Run) settled() bool {
	return r.Body.After != nil && seconds(*r.Body.After) >= hotAlignmentAfter
}

func (r *Run) leakage(c *Chapter) Line {
	drops := float64(*r.Body.Leakage)
	l := Line{Name: lineLeak.With(), Read: *r.Body.Leakage, From: fromCommon.With()}
	if c.Seal == nil || mechanical(c.Seal.Kind) || c.Seal.Kind == "lip" {
		l.Expected = job.Drops(mostDrops)
		l.Odd = drops > mostDrops
		return l
	}
	low, high := c.Seal.dropsLow, c.Seal.dropsHigh
	l.From = fromPacking.With()
	if high > 0 {
		l.Expected = fromTo.With(low, high)
		l.Odd = r.settled() && (drops < low || drops > 2*high)
	}
	if drops == 0 { // packing that does not leak burns
		l.Odd = l.Expected != nil
	}
	return l
}

// expected asks the model, where there is one and the point is known.
func (r *Run) expected(in *Inputs) Expected {
	b, v := r.Body, in.Service
	if in.Expect == nil || b.Pressure == nil || b.Temperature == nil {
		return Expected{}
	}
	at := RunPoint{Pressure: *b.Pressure, At: *b.Temperature, Viscosity: b.Viscosity, Seq: r.Seq}
	switch {
	case b.Speed != nil:
		at.Speed = *b.Speed
	case v != nil && v.Speed != nil:
		at.Speed = v.Speed.Value
	default:
		return Expected{}
	}
	e, err := in.Expect.Expect(at)
	if err != nil {
		r.Unknown = append(r.Unknown, msgRefused.With(whatReading.With(), err))
		return Expected{}
	}
	return e
}
