package fleet

import (
	"math"
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
)

// The parts and the feature that the laws are about.
const (
	SealPart      = "shaft-seal"
	PackingPart   = "packing" // in place of a seal, where the model is packed
	BushingPart   = "idler-bushing"
	WearFeature   = "idler-pin-clearance"
	pinPart       = "idler-pin"
	bracketPart   = "bracket-bushing"
	bracketNumber = "shaft-bushing-clearance"
)

// Summaries returns the jobs in short without writing a single entry: the
// parts and the numbers that the laws are about.
func (f *Fleet) Summaries() []history.Summary {
	var list []history.Summary
	for i := range f.Machines {
		m := &f.Machines[i]
		for k := range m.Jobs {
			list = append(list, f.summary(m, &m.Jobs[k]))
		}
	}
	return list
}

// readingU is the standard uncertainty of a clearance out of two readings.
func (f *Fleet) readingU() float64 { return math.Hypot(f.Laws.BoreU, f.Laws.DiameterU) }

func (f *Fleet) summary(m *Machine, j *Job) history.Summary {
	s := history.Summary{Stream: "job:" + j.Name, Job: j.Name, Tag: m.Tag, Serial: m.Serial, Owner: m.Owner, Site: m.Site,
		Model: f.models[m.Model].sheet.Name, Liquid: f.Laws.Services[m.Service].Liquid, HoursAYear: m.HoursAYear,
		Opened: j.Opened, Closed: j.Closed, Invented: true,
		Cost: quantity.Money{Parts: int64(j.Cost) * quantity.MoneyScale, Currency: "EUR"}}
	if j.Cause != "" {
		s.Causes = []history.Cause{{Cause: j.Cause, Confirmed: j.Confirmed}}
	}
	fate := func(replaced, failed bool) history.Fate {
		switch {
		case failed:
			return history.Failed
		case replaced:
			return history.Renewed
		}
		return history.Kept
	}
	s.Parts = []history.PartFate{
		{Part: f.models[m.Model].seal, Fate: fate(true, j.SealFailed)}, {Part: BushingPart, Fate: fate(j.Idler.Replaced, j.Idler.Replaced)},
		{Part: pinPart, Fate: fate(j.Idler.Replaced, false)}, {Part: bracketPart, Fate: fate(j.Bracket.Replaced, j.Bracket.Replaced)},
	}
	mod := &f.models[m.Model]
	f.numbers(&s, WearFeature, &mod.idler, &j.Idler, []string{BushingPart, pinPart})
	f.numbers(&s, bracketNumber, &mod.bracket, &j.Bracket, []string{bracketPart})
	return s
}

func (f *Fleet) numbers(s *history.Summary, feature string, p *pair, v *Found, parts []string) {
	limit, isNew := p.limit, p.newClearance
	newU := math.Hypot(p.boreUpper-p.boreLower, p.shaftUpper-p.shaftLower) / math.Sqrt(12)
	n := history.Number{Feature: feature, Name: feature, State: job.AsFound, Compare: "worst", Parts: parts, Dimension: quantity.LengthDimension,
		Value: v.Read[0] - v.Read[1], U: f.readingU(), Limit: &limit, Rising: true, New: &isNew, NewU: newU}
	s.Numbers = append(s.Numbers, n)
	if v.Replaced {
		n.State, n.Value = job.AsLeft, v.Left[0]-v.Left[1]
		s.Numbers = append(s.Numbers, n)
	}
}

// Pumps returns what the pumps' own streams say.
func (f *Fleet) Pumps() map[string]*history.Pump {
	pumps := make(map[string]*history.Pump, len(f.Machines))
	for i := range f.Machines {
		m := &f.Machines[i]
		pumps[m.Serial] = &history.Pump{Serial: m.Serial, NewAt: m.NewAt,
			Stays: []history.Stay{{Installed: history.Installed{Tag: m.Tag, Place: m.Site, Owner: m.Owner, New: true, Invented: true}, From: m.NewAt}}}
	}
	return pumps
}

// Options are those a history of this fleet is made with.
func (f *Fleet) Options() history.Options { return history.Options{AsOf: f.AsOf} }

// Truth is what a forecast of a machine's idler bushing is held against.
type Truth struct {
	Machine *Machine
	Wear    Wear    // of the bushing that runs now
	Age     float64 // its hours when the machine last went out
	Limit   float64 // m
	Hours   float64 // of the bushing at which its clearance reaches the limit
}

// Truths lists the machines that run with a bushing fitted new at their last
// rebuild: nothing is known of it yet but its family.
func (f *Fleet) Truths() []Truth {
	var list []Truth
	for i := range f.Machines {
		m := &f.Machines[i]
		if len(m.Jobs) == 0 {
			continue
		}
		last := &m.Jobs[len(m.Jobs)-1]
		if last.Closed == 0 {
			continue
		}
		t := Truth{Machine: m, Wear: last.Idler.Next, Limit: f.models[m.Model].idler.limit}
		if !last.Idler.Replaced {
			t.Age = last.IdlerAge
		}
		t.Hours = (t.Limit - t.Wear.New) / t.Wear.Rate
		list = append(list, t)
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].Machine.Serial < list[b].Machine.Serial })
	return list
}
