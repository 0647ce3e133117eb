package history

import (
	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"

	"pumpwright/calc/say"
)

// Point is one number of a track.
type Point struct {
	At      record.Time
	Hours   float64 // of the machine, from the beginning of the track
	Age     float64 // hours of the part
	Value   float64 // SI
	U       float64
	State   string // as-found, as-left
	Job     string
	Ref     string
	Segment int
	BySheet bool // not read: as new by the sheet
	Left    bool // left out of the trend: see Why
	Why     LeftOut
}

// LeftOut is why a number enters no trend.
type LeftOut string

// Show prints the word in the language of a style.
func (v LeftOut) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v LeftOut) Message() say.Message { return say.Word("history", string(v)) }

// The reasons.
const (
	Counted       LeftOut = ""
	InfantReading LeftOut = "found after a failure within weeks of a rebuild: that is no wear"
	NoHoursKnown  LeftOut = "running hours before it are not known"
)

// Stretch is the life of one part within a track.
type Stretch struct {
	Model, Liquid string // what it ran in
	From          record.Time
	To            record.Time // 0: it runs
	Start         float64     // hours of the machine at its fitting
	FromNew       bool        // begins with a new part, so its hours are its age
	Broken        bool        // hours within it are not known
}

// Track is the number of one feature over the rebuilds of a machine.
type Track struct {
	Feature   string
	Name      string
	Dimension quantity.Dimension
	Limit     *float64 // the latest
	Rising    bool
	Points    []Point
	Stretches []Stretch
	Hours     float64 // of the machine, up to now
}

// Features lists the features that were read on a machine, in the order in
// which they came up.
func (m *Machine) Features() []string {
	var ids []string
	seen := map[string]bool{}
	for i := range m.Jobs {
		for k := range m.Jobs[i].Numbers {
			if id := m.Jobs[i].Numbers[k].Feature; !seen[id] {
				seen[id] = true
				ids = append(ids, id)
			}
		}
	}
	return ids
}

func (s *Summary) number(feature, state string) *Number {
	for i := range s.Numbers {
		if n := &s.Numbers[i]; n.Feature == feature && n.State == state {
			return n
		}
	}
	return nil
}

// TrackOf follows one feature. It begins anew where a part that it belongs to
// was replaced or reworked. A number of another kind than the newest one (mean
// against worst place) is left out: the two cannot be compared.
func (m *Machine) TrackOf(feature string) *Track {
	t := &Track{Feature: feature}
	var newest *Number
	for i := len(m.Jobs) - 1; i >= 0 && newest == nil; i-- {
		if newest = m.Jobs[i].number(feature, job.AsFound); newest == nil {
			newest = m.Jobs[i].number(feature, job.AsLeft)
		}
	}
	if newest == nil {
		return t
	}
	t.Name, t.Dimension, t.Limit, t.Rising = newest.Name, newest.Dimension, newest.Limit, newest.Rising
	f := trackFolder{m: m, t: t, compare: newest.Compare}
	f.fold()
	return t
}

type trackFolder struct {
	m       *Machine
	t       *Track
	compare string
	open    bool // a stretch runs
}

func (f *trackFolder) begin(at record.Time, model, liquid string, isNew bool) {
	f.t.Stretches = append(f.t.Stretches, Stretch{Model: model, Liquid: liquid, From: at, Start: f.t.Hours, FromNew: isNew})
	f.open = true
}

func (f *trackFolder) stretch() *Stretch { return &f.t.Stretches[len(f.t.Stretches)-1] }

func (f *trackFolder) point(s *Summary, n *Number, at record.Time) *Point {
	st := f.stretch()
	f.t.Points = append(f.t.Points, Point{At: at, Hours: f.t.Hours, Age: f.t.Hours - st.Start, Value: n.Value, U: n.U, State: n.State,
		Job: s.Job, Ref: n.Ref, Segment: len(f.t.Stretches) - 1})
	p := &f.t.Points[len(f.t.Points)-1]
	if st.Broken {
		p.Left, p.Why = true, NoHoursKnown
	}
	return p
}

func (f *trackFolder) fold() {
	m := f.m
	for i := range m.Jobs {
		s := &m.Jobs[i]
		run := m.before(i)
		if run != nil {
			f.run(run, s)
		}
		found, left := f.comparable(s, job.AsFound), f.comparable(s, job.AsLeft)
		any := found
		if any == nil {
			any = left
		}
		if any == nil {
			any = f.known(i)
		}
		replaced := any != nil && anyReplaced(s, any.Parts)
		if found != nil {
			if !f.open {
				f.begin(s.Opened, s.Model, s.Liquid, false)
			}
			p := f.point(s, found, s.Opened)
			if replaced && run != nil && run.Ending == InfantReturn {
				p.Left, p.Why = true, InfantReading
			}
		}
		end := s.Closed
		if end == 0 {
			end = s.Opened
		}
		switch {
		case replaced:
			if f.open {
				f.stretch().To = end
			}
			f.begin(end, s.Model, s.Liquid, true)
			switch {
			case left != nil:
				f.point(s, left, end)
			case any.New != nil:
				f.sheetPoint(s, any, end)
			}
		case found == nil && left != nil:
			if !f.open {
				f.begin(end, s.Model, s.Liquid, false)
			}
			f.point(s, left, end)
		}
	}
	if n := len(m.Intervals); n > 0 && m.Intervals[n-1].Ending == StillRuns {
		f.run(&m.Intervals[n-1], nil)
	}
}

// known finds the feature in another job, for what belongs to it.
func (f *trackFolder) known(except int) *Number {
	for i := range f.m.Jobs {
		if i == except {
			continue
		}
		for _, state := range []string{job.AsFound, job.AsLeft} {
			if n := f.comparable(&f.m.Jobs[i], state); n != nil {
				return n
			}
		}
	}
	return nil
}

func (f *trackFolder) comparable(s *Summary, state string) *Number {
	if n := s.number(f.t.Feature, state); n != nil && n.Compare == f.compare {
		return n
	}
	return nil
}

func (f *trackFolder) sheetPoint(s *Summary, n *Number, at record.Time) {
	p := f.point(s, &Number{Value: *n.New, U: n.NewU, State: job.AsLeft}, at)
	p.BySheet = true
}

// run lets the machine run; from new, the part begins by the sheet.
func (f *trackFolder) run(v *Interval, s *Summary) {
	if v.After < 0 && !f.open && s != nil {
		if n := f.comparable(s, job.AsFound); n != nil {
			f.begin(v.From, s.Model, s.Liquid, true)
			if n.New != nil {
				f.sheetPoint(s, n, v.From)
			}
		}
	}
	if v.Basis == NoHours && f.open {
		f.stretch().Broken = true
	}
	f.t.Hours += v.Hours
}

func anyReplaced(s *Summary, parts []string) bool {
	for _, id := range parts {
		if fate := s.FateOf(id); fate == Failed || fate == Renewed {
			return true
		}
	}
	return false
}

// Readings returns what counts of one stretch for a trend, hours from the
// part's fitting.
func (t *Track) Readings(stretch int) []life.Reading {
	var list []life.Reading
	for _, p := range t.Points {
		if p.Segment == stretch && !p.Left {
			list = append(list, life.Reading{Hours: p.Age, Value: p.Value, U: p.U})
		}
	}
	return list
}
