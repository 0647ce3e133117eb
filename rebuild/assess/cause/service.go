package cause

import (
	"math"

	"pumpwright/calc/bushing"
	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/relief"
	"pumpwright/calc/say"
	"pumpwright/calc/suction"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/sheet"
)

var (
	whatCrack    = say.Define("cause.crack", "working pressure against the pressure at which the relief valve begins to pass")
	whatBypass   = say.Define("cause.bypass", "pressure at full bypass of the relief valve against the limit of the casing")
	whatPressure = say.Define("cause.pressure", "working pressure against the rating")
	whatSpeed    = say.Define("cause.speed", "speed against the rating")
	whatHeat     = say.Define("cause.heat", "temperature of the liquid against the rating")
	whatThick    = say.Define("cause.thick", "viscosity against the thickest row of the manual")
	whatThin     = say.Define("cause.thin", "film in the idler bushing at duty, against three times the roughness")
	whatSuction  = say.Define("cause.suction", "what the suction lacks at duty")
	whyPlan      = say.Define("cause.plan", "from what the service is said to be, not read at the pump")
	whyPasses    = say.Define("cause.passes", "the valve is open at work, by the pressures written down for it")
	whyNoFilm    = say.Define("cause.no_film", "a film that the liquid does not carry wears the bushing; estimated load")
	whySuction   = say.Define("cause.suction_why", "computed from the suction line as written down; a gauge would settle it")
)

// plan holds what the pump is asked to do against what it is made for.
func (d *detector) plan() {
	s := d.in.Service
	if s == nil {
		return
	}
	r := d.in.Sheet.Rating
	refs := []string{"service"}
	if s.Pressure != nil && r.Pressure != nil {
		d.hold(mark{item: "K05", what: whatPressure.With(), number: of(s.Pressure.Value), at: r.Pressure.Value.SI() * (1 + 1e-9), chance: -1, worth: 0.2, why: whyPlan.With(), refs: refs})
	}
	if s.Speed != nil && r.Speed != nil {
		d.hold(mark{item: "K31", what: whatSpeed.With(), number: of(s.Speed.Value), at: r.Speed.Value.SI() * (1 + 1e-9), chance: -1, worth: 0.3, why: whyPlan.With(), refs: refs})
	}
	if t := hottest(s); t != nil && r.Temperature != nil {
		d.hold(mark{item: "K08", what: whatHeat.With(), number: of(*t), at: r.Temperature.Value.SI() + 1e-6, chance: -1, worth: 0.2, why: whyPlan.With(), refs: refs})
	}
	d.valve(s, refs)
	d.viscosity(s, refs)
	d.suction(s, refs)
}

func of(q quantity.Quantity) reading.Estimate {
	return reading.Estimate{Dimension: q.Dimension(), Value: q.SI()}
}

func hottest(s *sheet.Service) *quantity.Temperature {
	switch {
	case s.Highest != nil:
		return &s.Highest.Value
	case s.Temperature != nil:
		return &s.Temperature.Value
	}
	return nil
}

// valve: an opening at or below working pressure, and a bypass over the limit
// of the casing.
func (d *detector) valve(s *sheet.Service, refs []string) {
	v := s.Relief
	if v == nil || s.Pressure == nil {
		return
	}
	if v.Crack != nil {
		d.hold(mark{item: "K38", what: whatCrack.With(), number: of(s.Pressure.Value), at: v.Crack.Value.SI() * (1 - 1e-9), chance: -1, worth: 0.4, why: whyPasses.With(), refs: refs})
		if v.Crack.Value <= s.Pressure.Value {
			d.condition("S06", whyPasses.With())
		}
	}
	if v.Crack == nil || v.Set == nil || d.in.Sheet.Rating.CasingLimit == nil {
		return
	}
	limit := d.in.Sheet.Rating.CasingLimit.Value
	valve := relief.Valve{Set: v.Set.Value, Crack: v.Crack.Value, Working: s.Pressure.Value, CasingLimit: limit, DriveLimit: limit}
	if v.FullBypass != nil {
		valve.FullBypass = &v.FullBypass.Value
	}
	if judged, err := relief.Judge(valve); err == nil && judged.FullBypass > limit {
		d.hold(mark{item: "K05", what: whatBypass.With(), number: of(judged.FullBypass), at: limit.SI(), chance: -1, worth: 0.2, why: whyPlan.With(), refs: refs})
		d.condition("S02", whatBypass.With())
	}
}

// viscosity: thicker than any row of the manual, or too thin for the bushing.
func (d *detector) viscosity(s *sheet.Service, refs []string) {
	if d.in.Liquid == nil || s.Temperature == nil {
		return
	}
	at, err := d.in.Liquid.At(s.Temperature.Value)
	if err != nil {
		return
	}
	thickest, open := 0.0, len(d.in.Sheet.EndClearance.Rows) == 0
	for _, row := range d.in.Sheet.EndClearance.Rows {
		if row.TemperatureFrom != nil && at.Temperature <= row.TemperatureFrom.Value || row.TemperatureTo != nil && at.Temperature > row.TemperatureTo.Value {
			continue
		}
		if row.ViscosityTo == nil {
			open = true
			continue
		}
		thickest = math.Max(thickest, row.ViscosityTo.Value.SI())
	}
	if !open && thickest > 0 {
		d.hold(mark{item: "K10", what: whatThick.With(), number: of(at.Kinematic), at: thickest, chance: -1, worth: 0.2, why: whyPlan.With(), refs: refs})
	}
	d.film(s, at, refs)
}

// film: the idler bushing as new at duty. A film below three times the
// combined roughness leaves the parts to rub.
func (d *detector) film(s *sheet.Service, at *liquid.State, refs []string) {
	p, t := d.in.Sheet.FlowPath, d.in.Sheet.Teeth
	if p == nil || t == nil || t.Module == nil || s.Pressure == nil || s.Speed == nil || t.Idler == 0 {
		return
	}
	outside := quantity.Length(t.Module.Value.SI() * (float64(t.Idler) + 2*t.IdlerAddendum))
	load, err := bushing.IdlerPinLoad(s.Pressure.Value, outside, t.FaceWidth.Value)
	if err != nil {
		return
	}
	run, err := bushing.Assess(bushing.Journal{
		Diameter: 2 * p.PinRadius.Value, Length: p.PinLength.Value, DiametralClearance: 2 * p.PinClearance.Value, Load: load,
		Speed: s.Speed.Value * quantity.RotationalSpeed(float64(t.Rotor)/float64(t.Idler)), Viscosity: at.Dynamic, Density: at.Density,
	})
	if err != nil {
		return
	}
	if run.Regime == bushing.Boundary {
		d.hold(mark{item: "K11", what: whatThin.With(), number: length(-run.MinFilm.SI(), 0), at: 0, chance: 1, worth: 0.08, why: whyNoFilm.With(), refs: refs})
		last := &d.facts[len(d.facts)-1]
		last.Number = of(run.MinFilm)
		last.Mark = 3 * run.MinFilm.SI() / math.Max(run.FilmOverRoughness, 1e-9)
		if !run.Carries {
			last.Text = say.Plain(say.Texts(run.Verdict[:1], say.Style{})[0])
		} else {
			last.Text = textOver.With(whatThin.With(), last.Number, length(last.Mark, 0))
		}
	}
}

// suction: what the line leaves against what the pump needs, at normal and at
// the lowest temperature.
func (d *detector) suction(s *sheet.Service, refs []string) {
	u := s.Suction
	if u == nil || u.Required == nil || u.Bore == nil || d.in.Liquid == nil || s.Temperature == nil {
		return
	}
	flow := flowOf(d.in.Sheet, s)
	if flow == nil {
		return
	}
	worst, known := math.Inf(1), false
	temperatures := []*sheet.Number[quantity.Temperature]{s.Temperature, s.Lowest, s.Highest}
	for _, t := range temperatures {
		if t == nil {
			continue
		}
		at, err := d.in.Liquid.At(t.Value)
		if err != nil {
			continue
		}
		line := suction.Line{SurfacePressure: 101325, Flow: *flow, Bore: u.Bore.Value, Roughness: suction.CommercialSteel,
			Viscosity: at.Dynamic, Density: at.Density, Required: &u.Required.Value}
		if at.VaporPressure != nil {
			line.VaporPressure = *at.VaporPressure
		}
		if u.SurfacePressure != nil {
			line.SurfacePressure = u.SurfacePressure.Value
		}
		if u.StaticHead != nil {
			line.StaticHead = u.StaticHead.Value
		}
		if u.Length != nil {
			line.Length = u.Length.Value
		}
		if u.Fittings != nil {
			line.FittingsK = *u.Fittings
		}
		if r, err := suction.At(line); err == nil && r.Margin != nil {
			worst, known = math.Min(worst, r.Margin.SI()), true
		}
	}
	if known && worst < 0 {
		d.hold(mark{item: "K03", what: whatSuction.With(), number: of(quantity.PressureDifference(-worst)), chance: -1, worth: 0.3, why: whySuction.With(), refs: refs})
		d.condition("S10", whySuction.With())
	}
}

// flowOf is the flow through the pump: that of the service, or the rated one
// in the proportion of the speeds.
func flowOf(s *sheet.Sheet, service *sheet.Service) *quantity.Flow {
	if service.Flow != nil {
		return &service.Flow.Value
	}
	r := s.Rating
	if r.Flow == nil || r.Speed == nil || service.Speed == nil || r.Speed.Value <= 0 {
		return nil
	}
	flow := quantity.Flow(r.Flow.Value.SI() * service.Speed.Value.SI() / r.Speed.Value.SI())
	return &flow
}
