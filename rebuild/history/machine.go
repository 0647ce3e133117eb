package history

import (
	"fmt"
	"sort"

	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// Options are what a history depends on besides jobs and streams.
type Options struct {
	AsOf       record.Time // up to when what runs has run
	InfantDays int         // a pump back within so many days failed because of the rebuild; DefaultInfantDays when 0
	Confidence float64     // of bounds; that of assess/due when 0
}

// DefaultInfantDays is six weeks. A setting of our own, shown as such.
const DefaultInfantDays = 42

func (o Options) infantDays() int {
	if o.InfantDays > 0 {
		return o.InfantDays
	}
	return DefaultInfantDays
}

// Ending is how a run ended.
type Ending string

// Show prints the word in the language of a style.
func (v Ending) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Ending) Message() say.Message { return say.Word("history", string(v)) }

// The endings.
const (
	StillRuns    Ending = "still runs"
	CameBack     Ending = "came back"
	InfantReturn Ending = "came back within weeks"
	InWork       Ending = "in work"
)

// Interval is the run between two rebuilds, or from new to the first one.
type Interval struct {
	After, Before int // places in Machine.Jobs; −1: since new, or still running
	From, To      record.Time
	Hours         float64
	Basis         HoursBasis
	Tag, Site     string // where it ran
	Model         string
	Liquid        string
	Ending        Ending
}

// Days is the length of the run in days.
func (i *Interval) Days() float64 { return hoursBetween(i.From, i.To) / dayHours }

// Machine is one machine over its jobs.
type Machine struct {
	Serial    string
	Jobs      []Summary // by when they were opened
	Pump      *Pump     // nil when nothing is known besides its jobs
	Intervals []Interval
	Troubles  []say.Message

	o Options
}

var (
	msgOverlap      = say.Define("history.overlap", "job {job} was opened on {day}, before job {before} was closed; the run between them counts no hours")
	msgBeforeNew    = say.Define("history.before_new", "job {job} was opened on {day}, before the machine was put to work on {installed}")
	msgNeverClosed  = say.Define("history.never_closed", "job {job} was never closed; {next} followed it. Its last day is not known: the run is counted from its opening")
	msgPumpTrouble  = say.Define("history.pump_trouble", "entry {seq:count}: {reason:message}")
	msgHoursNowhere = say.Define("history.hours_nowhere", "running hours are not known between {from} and {to}: no meter entry and no hours a year")
)

// NewMachine puts the jobs of one machine in order. pump may be nil.
func NewMachine(serial string, jobs []Summary, pump *Pump, o Options) *Machine {
	m := &Machine{Serial: serial, Jobs: append([]Summary(nil), jobs...), Pump: pump, o: o}
	sort.SliceStable(m.Jobs, func(a, b int) bool {
		if m.Jobs[a].Opened != m.Jobs[b].Opened {
			return m.Jobs[a].Opened < m.Jobs[b].Opened
		}
		return m.Jobs[a].Job < m.Jobs[b].Job
	})
	if pump != nil {
		for _, t := range pump.Troubles {
			m.Troubles = append(m.Troubles, msgPumpTrouble.With(int(t.Seq), t.Message))
		}
	}
	m.intervals()
	return m
}

// ByMachine sorts summaries by their serial. Jobs without one belong to no
// machine and are left out.
func ByMachine(jobs []Summary, pumps map[string]*Pump, o Options) []*Machine {
	bySerial := map[string][]Summary{}
	for _, s := range jobs {
		if s.Serial != "" {
			bySerial[s.Serial] = append(bySerial[s.Serial], s)
		}
	}
	for serial := range pumps {
		if _, there := bySerial[serial]; !there && serial != "" {
			bySerial[serial] = nil
		}
	}
	serials := make([]string, 0, len(bySerial))
	for serial := range bySerial {
		serials = append(serials, serial)
	}
	sort.Strings(serials)
	list := make([]*Machine, len(serials))
	for i, serial := range serials {
		list[i] = NewMachine(serial, bySerial[serial], pumps[serial], o)
	}
	return list
}

// AtPlace returns the jobs done at a place, of whatever machine, by time.
func AtPlace(jobs []Summary, tag string) []Summary {
	var list []Summary
	for _, s := range jobs {
		if s.Tag == tag {
			list = append(list, s)
		}
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].Opened < list[b].Opened })
	return list
}

func (m *Machine) meter() *Meter {
	if m.Pump == nil {
		return nil
	}
	return &m.Pump.Meter
}

func (m *Machine) intervals() {
	n := len(m.Jobs)
	if m.Pump != nil && m.Pump.NewAt != 0 {
		end := m.o.AsOf
		if n > 0 {
			end = m.Jobs[0].Opened
		}
		if n > 0 && end < m.Pump.NewAt {
			m.Troubles = append(m.Troubles, msgBeforeNew.With(m.Jobs[0].Job, end.Day(), m.Pump.NewAt.Day()))
		} else {
			m.add(-1, 0, m.Pump.NewAt, end)
		}
	}
	for i := range m.Jobs {
		from := m.Jobs[i].Closed
		switch {
		case i+1 < n && from == 0:
			from = m.Jobs[i].Opened
			m.Troubles = append(m.Troubles, msgNeverClosed.With(m.Jobs[i].Job, m.Jobs[i+1].Job))
		case i+1 < n && m.Jobs[i+1].Opened < from:
			m.Troubles = append(m.Troubles, msgOverlap.With(m.Jobs[i+1].Job, m.Jobs[i+1].Opened.Day(), m.Jobs[i].Job))
			from = m.Jobs[i+1].Opened
		case from == 0:
			return // it is in work
		}
		end := m.o.AsOf
		if i+1 < n {
			end = m.Jobs[i+1].Opened
		}
		if end >= from {
			m.add(i, i+1, from, end)
		}
	}
}

// add adds the run between two jobs; a job that is not there ends it now.
func (m *Machine) add(after, before int, from, to record.Time) {
	v := Interval{After: after, Before: before, From: from, To: to, Ending: CameBack}
	if before >= len(m.Jobs) {
		v.Before, v.Ending = -1, StillRuns
	}
	fallback := 0.0
	if after >= 0 {
		s := &m.Jobs[after]
		v.Tag, v.Site, v.Model, v.Liquid, fallback = s.Tag, s.Site, s.Model, s.Liquid, s.HoursAYear
		if v.Before >= 0 && hoursBetween(from, to) <= float64(m.o.infantDays())*dayHours {
			v.Ending = InfantReturn
		}
	} else if len(m.Jobs) > 0 {
		s := &m.Jobs[0]
		v.Tag, v.Site, v.Model, v.Liquid, fallback = s.Tag, s.Site, s.Model, s.Liquid, s.HoursAYear
	}
	if stay := m.Pump.StayAt(to - 1); stay != nil { // where it came from
		if stay.Tag != "" {
			v.Tag = stay.Tag
		}
		if stay.Place != "" {
			v.Site = stay.Place
		}
		if v.Model == "" {
			v.Model = stay.Sheet
		}
	}
	v.Hours, v.Basis = m.meter().Between(from, to, fallback)
	if v.Basis == NoHours {
		m.Troubles = append(m.Troubles, msgHoursNowhere.With(from.Day(), to.Day()))
	}
	m.Intervals = append(m.Intervals, v)
}

// before returns the run that ended with a job, or nil.
func (m *Machine) before(i int) *Interval {
	for k := range m.Intervals {
		if m.Intervals[k].Before == i {
			return &m.Intervals[k]
		}
	}
	return nil
}

// Infants lists the jobs that came back within weeks of the rebuild before.
func (m *Machine) Infants() []Interval {
	var list []Interval
	for _, v := range m.Intervals {
		if v.Ending == InfantReturn {
			list = append(list, v)
		}
	}
	return list
}

// Last returns the newest job, or nil.
func (m *Machine) Last() *Summary {
	if len(m.Jobs) == 0 {
		return nil
	}
	return &m.Jobs[len(m.Jobs)-1]
}

// Title names the machine.
func (m *Machine) Title() string {
	if last := m.Last(); last != nil && last.Tag != "" {
		return fmt.Sprintf("%s (%s)", m.Serial, last.Tag)
	}
	return m.Serial
}
