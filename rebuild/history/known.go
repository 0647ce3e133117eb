package history

import "pumpwright/rebuild/ledger"

// Known is what a new job copies of the machine's past: the running hours since
// the last rebuild, up to the day of Options.AsOf, and the mean time that it
// ran between rebuilds. nil when it was never rebuilt before.
//
//	years = Σ days of the runs after a rebuild / (365.25 · runs)
//
// The run that ends now counts too. With few runs the mean says little; their
// number stands with it. Source: arithmetic mean, derived here.
func (m *Machine) Known() *ledger.Machine {
	known := &ledger.Machine{}
	days := 0.0
	for i := range m.Intervals {
		v := &m.Intervals[i]
		if v.After < 0 {
			continue
		}
		known.Runs++
		days += v.Days()
		if v.Before < 0 && v.Basis != NoHours {
			hours := v.Hours
			known.Hours = &hours
		}
	}
	if known.Runs == 0 {
		return nil
	}
	if years := days * dayHours / yearHours / float64(known.Runs); years > 0 {
		known.YearsBetween = &years
	}
	return known
}
