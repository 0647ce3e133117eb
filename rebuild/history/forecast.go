package history

import (
	"sort"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/due"
	"pumpwright/rebuild/record"
)

// Family holds the wear of many machines by what they run in: parts of one
// feature, one model and one liquid are sisters.
type Family struct {
	parts map[familyKey][]due.Segment
}

type familyKey struct{ feature, model, liquid string }

// MostSisters is how many parts of a family a forecast looks at, the newest
// ones: more of them tell nothing that these do not. A setting of our own.
const MostSisters = 60

// NewFamily gathers the stretches of machines.
func NewFamily(machines []*Machine) *Family {
	f := &Family{parts: map[familyKey][]due.Segment{}}
	for _, m := range machines {
		for _, id := range m.Features() {
			t := m.TrackOf(id)
			for i := range t.Stretches {
				if r := t.Readings(i); len(r) >= 2 {
					key := familyKey{id, t.Stretches[i].Model, t.Stretches[i].Liquid}
					f.parts[key] = append(f.parts[key], due.Segment{Machine: m.Serial, Readings: r})
				}
			}
		}
	}
	return f
}

// sisters returns the parts of other machines.
func (f *Family) sisters(feature string, st *Stretch, serial string) []due.Segment {
	if f == nil {
		return nil
	}
	var list []due.Segment
	all := f.parts[familyKey{feature, st.Model, st.Liquid}]
	for i := len(all) - 1; i >= 0 && len(list) < MostSisters; i-- {
		if all[i].Machine != serial {
			list = append(list, all[i])
		}
	}
	return list
}

// Expected is the forecast of one feature of one machine.
type Expected struct {
	Serial, Tag, Site, Owner string
	Model, Liquid            string
	Track                    *Track
	Stretch                  int
	HoursBasis               HoursBasis // of the hours a year
	Forecast                 *due.Forecast
}

// Forecasts says when each feature of the machine reaches its limit: features
// with a limit that wear runs into, on the part that runs now. Forecasts that
// know nothing come too, with the reason; readings that cannot be used are
// named in problems.
func (m *Machine) Forecasts(family *Family) (list []Expected, problems []say.Message) {
	for _, id := range m.Features() {
		t := m.TrackOf(id)
		n := len(t.Stretches)
		if t.Limit == nil || n == 0 {
			continue
		}
		e, err := m.forecast(t, n-1, family)
		if err != nil {
			problems = append(problems, msgNoForecast.With(t.Name, err))
			continue
		}
		list = append(list, *e)
	}
	return list, problems
}

var msgNoForecast = say.Define("history.no_forecast", "{feature}: {reason}")

func (m *Machine) forecast(t *Track, stretch int, family *Family) (*Expected, error) {
	st := &t.Stretches[stretch]
	e := &Expected{Serial: m.Serial, Model: st.Model, Liquid: st.Liquid, Track: t, Stretch: stretch}
	fallback := 0.0
	if last := m.Last(); last != nil {
		e.Tag, e.Site, e.Owner, fallback = last.Tag, last.Site, last.Owner, last.HoursAYear
	}
	in := due.Inputs{Dimension: t.Dimension, Limit: *t.Limit, Rising: t.Rising, Confidence: m.o.Confidence,
		Current: due.Segment{Machine: m.Serial, Readings: t.Readings(stretch)}}
	for i := range t.Stretches {
		if s := &t.Stretches[i]; i != stretch && s.Model == st.Model && s.Liquid == st.Liquid {
			in.Others = append(in.Others, due.Segment{Machine: m.Serial, Readings: t.Readings(i)})
		}
	}
	in.Others = append(in.Others, family.sisters(t.Feature, st, m.Serial)...)
	if m.o.AsOf != 0 && !st.Broken {
		a, basis := m.meter().HoursAYearNow(fallback)
		e.HoursBasis = basis
		in.Running = &due.Running{At: m.o.AsOf.Time(), Hours: t.Hours - st.Start, HoursAYear: a}
	}
	f, err := due.Predict(in)
	e.Forecast = f
	return e, err
}

// Day returns the expected day, 0 when none is known.
func (e *Expected) Day() record.Time { return e.day(1) }

// NearDay returns the day of the near bound, 0 when none is known.
func (e *Expected) NearDay() record.Time { return e.day(0) }

// FarDay returns the day of the far bound, 0 when none is known.
func (e *Expected) FarDay() record.Time { return e.day(2) }

func (e *Expected) day(i int) record.Time {
	if d := e.Forecast.Day[i]; d != nil {
		return record.TimeOf(*d)
	}
	return 0
}

// DueList lists the forecasts of many machines that have a day, the nearest
// first; with firstOnly, the first feature of each machine alone.
func DueList(machines []*Machine, family *Family, firstOnly bool) []Expected {
	var all []Expected
	for _, m := range machines {
		if n := len(m.Intervals); n == 0 || m.Intervals[n-1].Ending != StillRuns {
			continue // it lies on the bench
		}
		list, _ := m.Forecasts(family)
		var first *Expected
		for i := range list {
			if list[i].Day() == 0 {
				continue
			}
			if !firstOnly {
				all = append(all, list[i])
			} else if first == nil || list[i].Day() < first.Day() {
				first = &list[i]
			}
		}
		if first != nil {
			all = append(all, *first)
		}
	}
	sort.SliceStable(all, func(a, b int) bool {
		if x, y := all[a].Day(), all[b].Day(); x != y {
			return x < y
		}
		if all[a].Serial != all[b].Serial {
			return all[a].Serial < all[b].Serial
		}
		return all[a].Track.Feature < all[b].Track.Feature
	})
	return all
}
