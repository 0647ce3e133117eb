package reading

import (
	"math"
	"time"

	"pumpwright/calc/metrology"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
)

// survey puts the readings of the feature together.
func (f *Feature) survey(in Inputs) {
	f.Missing = missingPlaces(f.Feature, f.Values)
	if len(f.Values) == 0 {
		return
	}
	readings := make([]metrology.Reading, len(f.Values))
	for i, v := range f.Values {
		readings[i] = metrology.Reading{Plane: v.Plane, Value: quantity.Length(v.Value.SI), Ref: v.Ref}
		if v.Angle != nil {
			readings[i].Angle = quantity.Angle(*v.Angle * math.Pi / 180)
		}
		f.Interval = f.Interval || v.Interval
	}
	// Surveys are of lengths; other dimensions pass through as numbers and are
	// labelled with their own dimension again below.
	survey, err := metrology.Take(readings)
	if err != nil {
		f.Warnings = append(f.Warnings, msgSurvey.With(err))
		return
	}
	f.Survey = &survey
	instrument := f.instrument(in)
	f.Mean = f.mean(&survey, instrument)
	worst := survey.Worst(f.wear())
	f.Worst = f.place(&survey, worst, instrument)
	own := instrument
	own.CalibrationU = 0
	f.ownU = f.place(&survey, worst, own).U
	f.leaves()
}

// leaves joins the feeler readings: the feature is at least the thickest leaf
// that went, and below the thinnest that did not, at the tightest place.
func (f *Feature) leaves() {
	for _, v := range f.Values {
		if v.Goes != nil && (f.Goes == nil || v.Goes.SI < f.Goes.SI()) {
			goes := quantity.Length(v.Goes.SI)
			f.Goes = &goes
		}
		if v.NoGo != nil && (f.NoGo == nil || v.NoGo.SI < f.NoGo.SI()) {
			noGo := quantity.Length(v.NoGo.SI)
			f.NoGo = &noGo
		}
	}
}

// instrument returns the instrument of the first reading that names one, else
// the usual figures of the kind that the sheet asks for, and warns.
func (f *Feature) instrument(in Inputs) metrology.Instrument {
	f.standing(in)
	for _, v := range f.Values {
		named := in.Shop.Find(v.Instrument)
		if named == nil {
			continue
		}
		m := named.Metrology()
		if m.Resolution == 0 {
			m.Resolution = f.typedResolution()
		}
		if m.Repeatability == 0 {
			usual, _ := ledger.Usual(named.Kind)
			m.Repeatability = usual.Repeatability
		}
		return m
	}
	usual, known := ledger.Usual(f.Feature.Instrument)
	if known && f.Feature.Dimension() == quantity.LengthDimension {
		f.Unnamed = f.Feature.Instrument
	} else {
		usual = metrology.Instrument{Name: f.Feature.Instrument, Dimension: f.Feature.Dimension()}
	}
	usual.Resolution = math.Max(usual.Resolution, f.typedResolution())
	return usual
}

// standing looks at every instrument that the feature was read with: one that
// was out of calibration on that day blocks it until somebody has signed why
// it was used anyway. A check that was failed since then speaks against what
// was read before; a calibration that ran out since then does not.
func (f *Feature) standing(in Inputs) {
	seen := map[string]bool{}
	for _, v := range f.Values {
		named := in.Shop.Find(v.Instrument)
		if named == nil {
			continue
		}
		m := named.Metrology()
		standing, message := m.StandingOn(v.At.Time(), dueSoon)
		if now, failed := m.StandingOn(in.AsOf, dueSoon); now == metrology.FailedCheck {
			standing, message = now, failed
		}
		if key := named.ID + message.String(); seen[key] {
			continue
		} else {
			seen[key] = true
		}
		if standing != metrology.InDate && !message.IsZero() {
			f.Warnings = append(f.Warnings, message)
		}
		if standing.MayDecide() {
			continue
		}
		if k := accepted(in.Accepted, named.ID); k != nil {
			f.Warnings = append(f.Warnings, msgUsedAnyway.With(named.ID, k.Body.Reason))
			continue
		}
		f.Blocked = true
		f.BlockedBy = named.ID
	}
}

// dueSoon is how long before a calibration runs out somebody is told.
const dueSoon = 30 * 24 * time.Hour

var msgUsedAnyway = say.Define("reading.used_anyway", "{instrument} was used anyway, signed with the reason: {reason}")

func accepted(list []job.Kept[job.Accepted], instrument string) *job.Kept[job.Accepted] {
	for i := len(list) - 1; i >= 0; i-- {
		if list[i].Body.Instrument == instrument {
			return &list[i]
		}
	}
	return nil
}

// typedResolution is the worth of the last digit typed; a feeler reading has
// its leaves instead.
func (f *Feature) typedResolution() float64 {
	least := 0.0
	for _, v := range f.Values {
		if !v.Interval {
			least = math.Max(least, v.Value.Resolution)
		}
	}
	return least
}

// place returns the uncertainty of one place: repeats, resolution,
// calibration; for a feeler the step between its leaves besides.
func (f *Feature) place(s *metrology.Survey, p metrology.Place, in metrology.Instrument) *Estimate {
	budget, _ := s.PlaceBudget(p, in)
	u2 := 0.0
	for _, part := range budget.Parts {
		u2 += part.U * part.U * part.Sensitivity * part.Sensitivity
	}
	if step := f.leafStep(); step > 0 {
		u2 += step * step / 12
	}
	return &Estimate{Dimension: f.Feature.Dimension(), Value: p.Mean.SI(), U: math.Sqrt(u2), Plane: p.Plane, Angle: p.Angle.SI(), Ref: p.Ref}
}

func (f *Feature) leafStep() float64 {
	step := 0.0
	for _, v := range f.Values {
		if v.Goes != nil && v.NoGo != nil {
			step = math.Max(step, v.NoGo.SI-v.Goes.SI)
		}
	}
	return step
}

// mean returns the mean over the places for chains and fits:
//
//	u² = s²/n + res²/12 + u_cal²       three places or more
//	u² = (range/2)²/n + res²/12 + …    fewer, range at least one step
//
// Source: JCGM 100:2008, 4.2 and F.2.2.1; for fewer than three readings common
// practice.
func (f *Feature) mean(s *metrology.Survey, in metrology.Instrument) *Estimate {
	n := float64(len(s.Places))
	var scatter float64
	if len(s.Places) >= 3 {
		sum := 0.0
		for _, p := range s.Places {
			d := (p.Mean - s.Mean).SI()
			sum += d * d
		}
		scatter = sum / (n - 1) / n
	} else {
		half := math.Max(s.Spread.SI(), in.Resolution) / 2
		scatter = half * half / n
	}
	u2 := scatter + metrology.OfResolution(in.Resolution)*metrology.OfResolution(in.Resolution) + in.CalibrationU*in.CalibrationU
	if step := f.leafStep(); step > 0 {
		u2 += step * step / 12
	}
	return &Estimate{Dimension: f.Feature.Dimension(), Value: s.Mean.SI(), U: math.Sqrt(u2), Ref: f.Values[len(f.Values)-1].Ref}
}

// wear tells which way the feature wears: a limit below only means that it
// shrinks, as does the loss below an unworn end.
func (f *Feature) wear() metrology.Wear {
	for _, l := range f.Feature.Limits {
		switch {
		case l.Compare == "below-unworn":
			return metrology.Shrinks
		case l.Max != nil && (l.Compare == "worst" || l.Compare == "mean"):
			return metrology.Grows
		case l.Min != nil && l.Max == nil:
			return metrology.Shrinks
		}
	}
	return metrology.Grows
}
