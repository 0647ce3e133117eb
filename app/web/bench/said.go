package bench

import (
	"pumpwright/app/draw"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/assess/clearance"
	"pumpwright/rebuild/assess/proof"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

var (
	sayInside = say.Define("bench.say_inside", "{feature}: {number}, inside the window of {low:length} to {high:length}.")
	sayBelow  = say.Define("bench.say_below", "{feature}: {number}, below the window of {low:length} to {high:length}. Do not close the pump like this.")
	sayAbove  = say.Define("bench.say_above", "{feature}: {number}, above the window of {low:length} to {high:length}.")
	sayTrial  = say.Define("bench.say_trial", "This trial")

	sayAgrees  = say.Define("bench.say_agrees", "{measured} at {pressure:pressure_difference}: as expected ({expected}).")
	sayTooLow  = say.Define("bench.say_too_low", "{measured} at {pressure:pressure_difference}: lower than the model allows ({expected} expected). Look at the relief valve, speed, air and the meter before the next point.")
	sayTooHigh = say.Define("bench.say_too_high", "{measured} at {pressure:pressure_difference}: higher than the model allows ({expected} expected). Look at the meter, the speed and the viscosity.")
	sayNothing = say.Define("bench.say_nothing", "{measured} at {pressure:pressure_difference}: nothing to hold it against.")
)

// saidOf is the answer of a feature: the end clearance against the window, all
// else against its own limits.
func saidOf(j *frame.Job, f *reading.Feature, becomes say.Message) part.Said {
	if f == nil || f.Mean == nil || f.Feature.RoleOf() != sheet.RoleEndClearance || f.Blocked || f.Governs() != nil {
		return part.SaidOf(f, becomes)
	}
	return windowed(&j.Assessment.Clearances.Window, part.Capital(f.Feature.Name), *f.Mean, f.State, part.SaidOf(f, becomes))
}

// windowed says where an end clearance lies; otherwise where no window is
// known.
func windowed(w *clearance.Window, name string, e reading.Estimate, state string, otherwise part.Said) part.Said {
	said := otherwise
	switch w.Landing(quantity.Length(e.Value)) {
	case clearance.Inside:
		said.Sentence, said.State = sayInside.With(name, e, w.Low, w.High), draw.Good
	case clearance.Below:
		said.Sentence, said.State = sayBelow.With(name, e, w.Low, w.High), draw.PastLimit
	case clearance.Above:
		said.Sentence, said.State = sayAbove.With(name, e, w.Low, w.High), draw.PastLimit
		if state == job.AsFound { // it ran like this, and comes back wider than it goes out
			said.State = draw.Worn
		}
	}
	return said
}

// trialSaid says where the trial lies that was written last.
func trialSaid(a *assess.Assessment) (part.Said, bool) {
	s := a.Clearances.Stack
	if s == nil || s.Measured == nil || !a.Clearances.Window.Known {
		return part.Said{}, false
	}
	return windowed(&a.Clearances.Window, sayTrial.With().String(), *s.Measured, job.AsLeft, part.Said{}), true
}

// reliefSaid says how the relief valve stands to working pressure and limits.
func reliefSaid(a *assess.Assessment) part.Said {
	r := a.Delivery().Relief
	said := part.Said{Sentence: wordReliefIs.With(r.Reasons), State: draw.Good}
	if !r.Accepted {
		said.State = draw.PastLimit
	}
	return said
}

// alignmentSaid says how the shafts would lie, running, and what to move.
func alignmentSaid(set *assembly.Alignment) part.Said {
	plan, moves := set.Plan, set.Moves
	if !set.Hold.IsZero() {
		moves = []say.Message{set.Hold}
	}
	said := part.Said{Sentence: sayAligned.With(plan.Shift, plan.Angle, moves), State: draw.NotRead}
	switch {
	case !plan.Valid:
		said.State = draw.MeasureAgain
	case plan.Within:
		said.State = draw.Good
	case len(plan.Verdicts) > 0:
		said.State = draw.PastLimit
	}
	return said
}

// pointSaid says how a point of the bench test stands to what was expected.
func pointSaid(p *proof.Point) part.Said {
	if !p.Refused.IsZero() {
		return part.Said{Sentence: p.Refused, State: draw.MeasureAgain}
	}
	if p.Expected == nil {
		return part.Said{Sentence: sayNothing.With(p.Flow, p.Point.Pressure), State: draw.NotRead}
	}
	switch p.Agreement {
	case proof.TooLow:
		return part.Said{Sentence: sayTooLow.With(p.Flow, p.Point.Pressure, p.Expected.Flow), State: draw.PastLimit}
	case proof.TooHigh:
		return part.Said{Sentence: sayTooHigh.With(p.Flow, p.Point.Pressure, p.Expected.Flow), State: draw.MeasureAgain}
	}
	return part.Said{Sentence: sayAgrees.With(p.Flow, p.Point.Pressure, p.Expected.Flow), State: draw.Good}
}
