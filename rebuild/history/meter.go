package history

import (
	"sort"

	"pumpwright/rebuild/record"

	"pumpwright/calc/say"
)

// HoursBasis says how running hours are known.
type HoursBasis string

// Show prints the word in the language of a style.
func (v HoursBasis) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v HoursBasis) Message() say.Message { return say.Word("history", string(v)) }

// The bases.
const (
	Metered   HoursBasis = "meter"
	Mixed     HoursBasis = "meter, and hours a year where it has no entry"
	Estimated HoursBasis = "hours a year"
	Carried   HoursBasis = "meter, carried on at its own mean"
	NoHours   HoursBasis = "not known"
)

const yearHours = 365.25 * dayHours

// Between returns the hours run between two moments. Between two entries the
// meter is taken to have run evenly. Before the first and after the last, the
// hours a year hold (those given when the pump has none), else the mean of the
// meter itself. NoHours, when neither is known.
func (m *Meter) Between(from, to record.Time, hoursAYear float64) (float64, HoursBasis) {
	if m != nil && m.HoursAYear > 0 {
		hoursAYear = m.HoursAYear
	}
	if to < from {
		return 0, NoHours
	}
	if m == nil || len(m.Points) < 2 {
		if hoursAYear > 0 {
			return hoursBetween(from, to) / yearHours * hoursAYear, Estimated
		}
		return 0, NoHours
	}
	first, last := m.Points[0], m.Points[len(m.Points)-1]
	rate, basis := hoursAYear/yearHours, Mixed
	if !(hoursAYear > 0) {
		if last.At <= first.At {
			return 0, NoHours
		}
		rate, basis = (last.Total-first.Total)/hoursBetween(first.At, last.At), Carried
	}
	inside := from >= first.At && to <= last.At
	if inside {
		return m.total(to) - m.total(from), Metered
	}
	var outside float64
	for _, part := range [][2]record.Time{{from, min(to, first.At)}, {max(from, last.At), to}} {
		if part[1] > part[0] {
			outside += hoursBetween(part[0], part[1]) * rate
		}
	}
	a, b := max(from, first.At), min(to, last.At)
	if b <= a {
		if basis == Mixed {
			basis = Estimated
		}
		return outside, basis
	}
	return m.total(b) - m.total(a) + outside, basis
}

// total is the running hours at a moment within the entries.
func (m *Meter) total(at record.Time) float64 {
	i := sort.Search(len(m.Points), func(i int) bool { return m.Points[i].At >= at })
	if i == 0 {
		return m.Points[0].Total
	}
	if i == len(m.Points) {
		return m.Points[i-1].Total
	}
	a, b := m.Points[i-1], m.Points[i]
	// Entries of one day: what the last one of them says.
	for i+1 < len(m.Points) && m.Points[i+1].At == at {
		i++
		b = m.Points[i]
	}
	if b.At == at {
		return b.Total
	}
	return a.Total + (b.Total-a.Total)*hoursBetween(a.At, at)/hoursBetween(a.At, b.At)
}

// HoursAYearNow returns how much the machine runs in a year: by the meter over
// its last year of entries, else the hours a year given.
func (m *Meter) HoursAYearNow(fallback float64) (float64, HoursBasis) {
	if m != nil {
		if n := len(m.Points); n >= 2 {
			last := m.Points[n-1]
			from := max(m.Points[0].At, last.At-record.Time(yearHours*3.6e9))
			if span := hoursBetween(from, last.At); span >= leastMeterDays*dayHours {
				return (last.Total - m.total(from)) / span * yearHours, Metered
			}
		}
		if m.HoursAYear > 0 {
			return m.HoursAYear, Estimated
		}
	}
	if fallback > 0 {
		return fallback, Estimated
	}
	return 0, NoHours
}

// leastMeterDays is how long a meter must have been watched before its mean
// says something about a year. A setting of our own.
const leastMeterDays = 60
