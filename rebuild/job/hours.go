package job

import "pumpwright/rebuild/record"

// HoursByStage adds up the time worked, in hours by stage: what was written as
// hours, and the time between a start and the next stop of one person. nil
// when nothing was written.
func (s *State) HoursByStage() map[string]float64 {
	sums := map[string]float64{}
	type run struct{ stage, by string }
	started := map[run]record.Time{}
	for _, k := range s.Hours {
		key := run{k.Body.Stage, k.By}
		switch {
		case k.Body.Hours > 0:
			sums[k.Body.Stage] += k.Body.Hours
		case k.Body.Started:
			started[key] = k.At
		case k.Body.Stopped:
			if from, running := started[key]; running && k.At > from {
				sums[k.Body.Stage] += k.At.Time().Sub(from.Time()).Hours()
			}
			delete(started, key)
		}
	}
	if len(sums) == 0 {
		return nil
	}
	return sums
}
