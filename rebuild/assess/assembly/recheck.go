package assembly

import (
	"math"
	"time"

	"pumpwright/calc/say"
)

// baseline marks the reading after about 24 hours.
func (s *Service) baseline() {
	best := time.Duration(math.MaxInt64)
	for _, run := range s.Runs {
		age, known := run.age(s.Started)
		if off := (age - day).Abs(); known && age >= baselineFrom && age <= baselineTo && off < best {
			best, s.Baseline = off, run
		}
	}
	if s.Baseline == nil {
		if len(s.Runs) > 0 {
			s.Unknown = append(s.Unknown, msgUnknown.With(whatBaseline.With(), []string{"reading after 24 h"}))
		}
		return
	}
	s.Baseline.Baseline = true
	s.Reasons = append(s.Reasons, msgBaseline.With(s.Baseline.When()))
	b := s.Baseline.Body
	var lacks lacking
	lacks.unless(b.Flow != nil, "flow")
	lacks.unless(b.Pressure != nil, "pressure")
	lacks.unless(b.Temperature != nil, "temperature")
	lacks.unless(b.Viscosity != nil, "viscosity")
	if len(lacks) > 0 {
		s.Warnings = append(s.Warnings, msgNotBase.With([]string(lacks)))
	}
}

// rechecks lists what is to be looked at again, with its time.
func (s *Service) rechecks(in *Inputs, c *Chapter) {
	if s.Started.IsZero() && len(s.Runs) > 0 {
		s.Unknown = append(s.Unknown, msgUnknown.With(whatStart.With(), []string{"time after the start of the first reading"}))
	}
	add := func(what, after say.Message, due time.Duration, step string, at time.Time) {
		r := Recheck{What: what, After: after, Step: step}
		if !s.Started.IsZero() {
			r.Due = s.Started.Add(due)
		}
		if mark, marked := in.State.Marks[step]; marked && mark.Body.Mark == "done" && at.IsZero() {
			at = mark.At.Time()
		}
		r.Done, r.DoneAt = !at.IsZero(), at
		// A check may be made until the end of the day on which it is due.
		r.Overdue = !r.Done && !r.Due.IsZero() && in.AsOf.UTC().Truncate(day).After(r.Due)
		if r.Overdue {
			s.Warnings = append(s.Warnings, msgOverdue.With(r.What, r.Due.Format("2006-01-02 15:04")))
		}
		s.Rechecks = append(s.Rechecks, r)
	}
	if in.Sheet.Build.ShaftSeal == "packing" {
		add(checkPacking.With(), afterPacking.With(), packingFrom, "follow-packing", time.Time{})
	}
	var hot time.Time
	if a := c.Alignment.Hot; a != nil {
		hot = a.At.Time()
	}
	add(checkAlign.With(), afterHot.With(), hotAlignmentAfter, "", hot)
	add(checkBolts.With(), afterFirst.With(), day, "follow-bolts", time.Time{})
	add(checkDay.With(), afterDay.With(), day, "follow-day", s.readBetween(baselineFrom, baselineTo))
	add(checkWeek.With(), afterWeek.With(), 7*day, "", s.readBetween(weekFrom, weekTo))
	add(checkMonth.With(), afterMonth.With(), 30*day, "follow-month", s.readBetween(monthFrom, math.MaxInt64))
}

// readBetween is when a reading of such an age was made, zero when none was.
func (s *Service) readBetween(from, to time.Duration) time.Time {
	for _, run := range s.Runs {
		if age, known := run.age(s.Started); known && age >= from && age <= to {
			return run.At.Time()
		}
	}
	return time.Time{}
}
