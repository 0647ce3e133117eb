package metrology

import (
	"math"
	"time"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgOverdue      = say.Define("metrology.overdue", "the calibration of {instrument} was due on {day}: its reading is kept and may carry no decision until a lead signs why, or the same is read with a valid instrument")
	msgFailedCheck  = say.Define("metrology.failed_check", "{instrument} failed its check on {day}: its reading is kept and may carry no decision until a lead signs why, or the same is read with a valid instrument")
	msgUncalibrated = say.Define("metrology.uncalibrated", "no calibration of {instrument} is on record: its reading is kept and may carry no decision until a lead signs why, or the same is read with a valid instrument")
	msgDueSoon      = say.Define("metrology.due_soon", "the calibration of {instrument} is due on {day}")
)

// Instrument is what a reading was taken with. Numbers in the SI unit of a
// difference of its dimension.
type Instrument struct {
	Name          string
	Dimension     quantity.Dimension
	Resolution    float64 // worth of the smallest step
	CalibrationU  float64 // standard uncertainty from the certificate
	CalibratedDOF float64 // of CalibrationU; 0: well known
	Repeatability float64 // standard deviation of one reading, when a study told it; 0: not known
	Due           time.Time
	FailedOn      time.Time // zero: the last check was passed
}

// Standing is whether an instrument may carry a decision.
type Standing uint8

// The standings of an instrument.
const (
	InDate Standing = iota
	DueSoon
	Overdue
	FailedCheck
	Uncalibrated
)

// MayDecide reports whether a reading may carry a decision or a hold point.
func (s Standing) MayDecide() bool { return s == InDate || s == DueSoon }

// StandingOn returns the standing on a day and what to say about it. The
// calibration holds to the end of the day on which it is due; soon is how
// early to say so.
func (i Instrument) StandingOn(day time.Time, soon time.Duration) (Standing, say.Message) {
	const layout = "2006-01-02"
	switch {
	case !i.FailedOn.IsZero() && !day.Before(i.FailedOn):
		return FailedCheck, msgFailedCheck.With(i.Name, i.FailedOn.Format(layout))
	case i.Due.IsZero():
		return Uncalibrated, msgUncalibrated.With(i.Name)
	case !day.Before(endOfDay(i.Due)):
		return Overdue, msgOverdue.With(i.Name, i.Due.Format(layout))
	case !day.Add(soon).Before(endOfDay(i.Due)):
		return DueSoon, msgDueSoon.With(i.Name, i.Due.Format(layout))
	}
	return InDate, say.Message{}
}

func endOfDay(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d+1, 0, 0, 0, 0, t.Location())
}

// parts are what the instrument alone adds to a budget.
func (i Instrument) parts() []Part {
	return []Part{
		{Name: "resolution", U: OfResolution(i.Resolution), Sensitivity: 1},
		{Name: "calibration", U: math.Abs(i.CalibrationU), Sensitivity: 1, DOF: i.CalibratedDOF},
	}
}

// ReadingBudget returns the budget of the mean of n readings of one thing with
// this instrument; repeats is what the readings themselves say, nil when there
// was one.
func (i Instrument) ReadingBudget(repeats *Sample) (Budget, []say.Message) {
	b := Budget{Dimension: i.Dimension, Parts: i.parts()}
	switch {
	case repeats != nil:
		b.Parts = append(b.Parts, Part{Name: "repeat", U: repeats.U, Sensitivity: 1, DOF: repeats.DOF})
	case i.Repeatability > 0:
		b.Parts = append(b.Parts, Part{Name: "repeat", U: i.Repeatability, Sensitivity: 1})
	default:
		return b, []say.Message{msgNoRepeats.With()}
	}
	return b, nil
}

// ReferenceTemperature is the temperature at which lengths are stated.
// Source: ISO 1:2022.
const ReferenceTemperature quantity.Temperature = 293.15

// AtReference returns what a reading of length L, taken with part and gauge at
// temperatures of their own, would be at 20 °C:
//
//	L₂₀ = L [1 + α_g (T_g − 20 °C) − α_p (T_p − 20 °C)]
//
// First order in α ΔT, which is exact to 1e-6 of L within 80 K for steel.
// Source: derived here from the definition of the coefficient of expansion.
func AtReference(length quantity.Length, part, gauge quantity.Expansion, partAt, gaugeAt quantity.Temperature) quantity.Length {
	return length * quantity.Length(1+gauge.SI()*(gaugeAt-ReferenceTemperature).SI()-part.SI()*(partAt-ReferenceTemperature).SI())
}

// TemperaturePart is the contribution of a temperature that is known with the
// standard uncertainty u: sensitivity L α. Use the difference of the
// expansions of part and gauge for the temperature they share, and the
// expansion of the part for the difference between the two.
func TemperaturePart(name string, length quantity.Length, expansion quantity.Expansion, u quantity.TemperatureDifference) Part {
	return Part{Name: name, U: math.Abs(u.SI()), Sensitivity: length.SI() * expansion.SI()}
}
