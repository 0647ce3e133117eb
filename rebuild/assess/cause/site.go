package cause

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

var (
	whatAlign     = say.Define("cause.alignment", "alignment as found, times the largest value that every table accepts")
	whyAlign      = say.Define("cause.alignment_why", "as found, before the pump was moved")
	whyWithin     = say.Define("cause.alignment_within", "within every published table")
	whatFoot      = say.Define("cause.foot", "rise of a foot when its bolt alone is loosened")
	whyFoot       = say.Define("cause.foot_why", "a soft foot strains casing and shaft")
	whatScrew     = say.Define("cause.screw", "relief valve screwed in by {amount:length} against the sheet")
	whyNoAlign    = say.Define("cause.no_alignment", "the alignment as found was passed over: {reason}")
	whyStrainer   = say.Define("cause.strainer", "the strainer was found open")
	whatRunVacuum = say.Define("cause.vacuum", "vacuum at the suction while it ran")
	whatRunPress  = say.Define("cause.run_pressure", "pressure while it ran, against the rating")
	whatRunSpeed  = say.Define("cause.run_speed", "speed while it ran, against the rating")
	whatRunHeat   = say.Define("cause.run_heat", "temperature while it ran, against the highest of the service")
	whatRunThick  = say.Define("cause.run_thick", "viscosity while it ran, over what the liquid should have")
	whatRunThin   = say.Define("cause.run_thin", "what the liquid should have, over its viscosity while it ran")
	whyRan        = say.Define("cause.ran", "read at the running pump")
)

// atSite takes the alignment as found and what the running pump showed.
func (d *detector) atSite() {
	if a := d.in.Alignment; a != nil {
		d.alignment(a)
		d.softFoot(a)
	}
	d.running()
	d.conditionsOfJob()
}

// softFoot: a foot that rises when its bolt alone is loosened.
func (d *detector) softFoot(a *assembly.Alignment) {
	if a.SoftFoot == nil {
		return
	}
	worst := 0.0
	for _, rise := range a.SoftFoot.Rise {
		worst = math.Max(worst, rise.SI())
	}
	d.hold(mark{item: "E77", what: whatFoot.With(), number: length(worst, dialU), at: a.SoftFoot.Limit.SI(), chance: -1, worth: 0.8, refs: []string{a.Ref}, why: whyFoot.With()})
}

// dialU is the standard uncertainty of a dial reading at a foot. [common
// practice, no source]
const dialU = 0.006e-3

// alignment holds the shafts as found against the published tables.
func (d *detector) alignment(a *assembly.Alignment) {
	plan := a.Plan
	if plan == nil || !plan.Valid || len(plan.Verdicts) == 0 {
		return // its chapter says why
	}
	times := 0.0
	for _, v := range plan.Verdicts {
		if v.AcceptableShift > 0 {
			times = math.Max(times, v.Shift.SI()/v.AcceptableShift.SI())
		}
		if v.AcceptableAngle > 0 {
			times = math.Max(times, v.Angle.SI()/v.AcceptableAngle.SI())
		}
	}
	m := mark{item: "K15", what: whatAlign.With(), at: 1, chance: -1, worth: 0.3, why: whyAlign.With(), refs: []string{a.Ref}, absent: true}
	m.number.Value = math.Round(100*times) / 100
	m.number.U = 0.1 * math.Max(times, 0.1) // dial and sag, about a tenth: a judgement
	switch {
	case times > 2:
		m.worth = 0.7
	case plan.Within:
		m.why = whyWithin.With()
		m.worth = 1
	}
	d.hold(m)
}

// vacuumMark is a vacuum at the suction that is called high. [common practice,
// no source]
const vacuumMark = 0.5e5

// running takes readings of the running pump from before it was opened.
func (d *detector) running() {
	opened := int64(math.MaxInt64)
	for _, v := range d.in.State.Values {
		opened = min(opened, v.Seq)
	}
	for _, k := range d.in.State.Running {
		if k.Seq > opened {
			continue
		}
		r, err := job.ReadRunning(k.Body)
		if err != nil {
			d.warn(msgUnread.With(err))
			continue
		}
		d.ran(r, []string{k.Ref})
	}
}

func (d *detector) ran(r job.Running, refs []string) {
	rating, service := d.in.Sheet.Rating, d.in.Service
	put := func(item string, what say.Template, q quantity.Quantity, at, worth float64) {
		d.hold(mark{item: item, what: what.With(), number: of(q), at: at, chance: -1, worth: worth, why: whyRan.With(), refs: refs})
	}
	if r.Vacuum != nil {
		put("E83", whatRunVacuum, *r.Vacuum, vacuumMark, 0.7)
	}
	if r.Pressure != nil && rating.Pressure != nil {
		put("K05", whatRunPress, *r.Pressure, rating.Pressure.Value.SI()*(1+1e-9), 0.5)
	}
	if r.Speed != nil && rating.Speed != nil {
		put("K31", whatRunSpeed, *r.Speed, rating.Speed.Value.SI()*1.02, 0.6)
	}
	if service == nil {
		return
	}
	if hot := hottest(service); r.Temperature != nil && hot != nil {
		put("K08", whatRunHeat, *r.Temperature, hot.SI()+5, 0.5)
	}
	if r.Viscosity == nil || d.in.Liquid == nil || service.Temperature == nil {
		return
	}
	at := service.Temperature.Value
	if r.Temperature != nil {
		at = *r.Temperature
	}
	state, err := d.in.Liquid.At(at)
	if err != nil || *r.Viscosity <= 0 {
		return
	}
	ratio := r.Viscosity.SI() / state.Kinematic.SI()
	for _, side := range []struct {
		item  string
		what  say.Template
		value float64
		worth float64
	}{{"K10", whatRunThick, ratio, 0.5}, {"E86", whatRunThin, 1 / ratio, 0.8}} {
		m := mark{item: side.item, what: side.what.With(), at: 1.5, chance: -1, worth: side.worth, why: whyRan.With(), refs: refs}
		m.number.Value = side.value
		d.hold(m)
	}
}

// screwTurnedIn is from how far a relief valve counts as screwed down.
// [common practice, no source]
const screwTurnedIn = 1.0e-3

// conditionsOfJob finds the standing conditions that the record shows.
func (d *detector) conditionsOfJob() {
	if mark, there := d.in.State.Marks["safe-alignment"]; there && mark.Body.Mark == "skipped" {
		d.condition("S07", whyNoAlign.With(mark.Body.Reason))
	}
	if f := d.found(sheet.RoleReliefScrew); f != nil {
		if nominal := d.in.Sheet.Nominal(sheet.RoleReliefScrew); nominal != nil {
			if in := nominal.SI() - f.Mean.Value; in > screwTurnedIn {
				d.condition("S02", whatScrew.With(quantity.Length(in)))
			}
		}
	}
	for _, k := range d.in.State.Findings {
		if k.Body.Evidence == "E73" && !k.Body.Absent {
			d.condition("S05", whyStrainer.With())
		}
	}
}
