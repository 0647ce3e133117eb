package report

import (
	"fmt"
	"sort"
	"time"

	"pumpwright/app/document"
	"pumpwright/app/figure"
	"pumpwright/calc/life"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

// Year is what a yearly review is made of.
type Year struct {
	Shop     string
	Owner    string
	Year     int
	Machines []*history.Machine // of the owner
	Fleet    *history.Fleet     // of all owners: the lives of parts rest on all of them
	Due      []history.Expected // of the owner's machines, the nearest first
	AsOf     record.Time
}

var (
	yearTitle  = say.Define("report.year_title", "The year {year} of your pumps")
	yearPumps  = say.Define("report.year_pumps", "{machines:count|pump|pumps} followed, {jobs:count|rebuild|rebuilds} in {year} ({before:count} in the year before).")
	yearCost   = say.Define("report.year_cost", "Cost in {year}: {cost:message}.")
	yearInfant = say.Define("report.year_infant", "{n:count|pump|pumps} came back within weeks of a rebuild. Such a return counts against our rebuild, not against the pump.")
	yearNone   = say.Define("report.year_none", "No pump was rebuilt in {year}.")
	yearSoon   = say.Define("report.year_soon", "{n:count|pump is|pumps are} expected to be due by {day}.")
	yearJobs   = say.Define("report.year_jobs", "What was done")
	yearCauses = say.Define("report.year_causes", "Why they came in")
	yearWorst  = say.Define("report.year_worst", "Pumps that came in most often")
	yearDue    = say.Define("report.year_due", "What is due next")
	yearLives  = say.Define("report.year_lives", "How long parts last")
	yearLife   = say.Define("report.year_life", "{part} in {liquid}")
	yearCount  = say.Define("report.year_count", "{failed:count} worn out, {running:count} that had not, from all pumps of the shop in this liquid.")
	yearTenth  = say.Define("report.year_tenth", "A tenth have worn out by {age:number} h ({low} to {high} h, 90 %).")
	yearNumber = say.Define("report.year_number", "rebuilds")
	yearRate   = say.Define("report.year_rate", "a year")
	yearPump   = say.Define("report.year_pump", "pump")
)

// dueAhead is how far ahead of its end a yearly review names due dates.
const dueAhead = 18 * 30 * 24 * time.Hour

// Yearly makes the yearly review for a customer. It shows nothing of other
// customers but the lives of parts, which have no names in them.
func Yearly(y Year, o Options) *document.Report {
	b := yearBuilder{y: y}
	b.from = record.TimeOf(time.Date(y.Year, 1, 1, 0, 0, 0, 0, time.UTC))
	b.to = record.TimeOf(time.Date(y.Year+1, 1, 1, 0, 0, 0, 0, time.UTC))
	r := &document.Report{Title: yearTitle.With(fmt.Sprint(y.Year)), Subtitle: say.Plain(y.Owner), Mark: say.Plain(fmt.Sprint(y.Year)), Foot: historyFoot.With(y.AsOf.Day()), Author: y.Shop}
	r.Created = created(o, y.AsOf)
	b.gather()
	b.inShort()
	b.jobs()
	b.causes()
	b.worst()
	b.due()
	b.lives()
	r.Blocks = b.blocks
	return r
}

type yearJob struct {
	machine *history.Machine
	at      int
}

type yearBuilder struct {
	y        Year
	from, to record.Time
	jobsIn   []yearJob
	before   int
	blocks   []document.Block
}

func (b *yearBuilder) add(blocks ...document.Block) { b.blocks = append(b.blocks, blocks...) }

func (b *yearBuilder) heading(t say.Template) {
	b.add(document.Heading{Level: 1, Text: t.With()})
}

// gather finds the jobs of the year.
func (b *yearBuilder) gather() {
	lastYear := record.TimeOf(b.from.Time().AddDate(-1, 0, 0))
	for _, m := range b.y.Machines {
		for i := range m.Jobs {
			switch at := m.Jobs[i].Opened; {
			case at >= b.from && at < b.to:
				b.jobsIn = append(b.jobsIn, yearJob{m, i})
			case at >= lastYear && at < b.from:
				b.before++
			}
		}
	}
	sort.SliceStable(b.jobsIn, func(i, j int) bool { return b.jobsIn[i].summary().Opened < b.jobsIn[j].summary().Opened })
}

func (j yearJob) summary() *history.Summary { return &j.machine.Jobs[j.at] }

func (j yearJob) run() *history.Interval {
	for i := range j.machine.Intervals {
		if v := &j.machine.Intervals[i]; v.Before == j.at {
			return v
		}
	}
	return nil
}

func (b *yearBuilder) inShort() {
	b.heading(headSummary)
	costs, infants, invented := history.Costs{}, 0, false
	for _, j := range b.jobsIn {
		costs.Add(j.summary().Cost)
		invented = invented || j.summary().Invented
		if run := j.run(); run != nil && run.Ending == history.InfantReturn {
			infants++
		}
	}
	if invented {
		b.add(document.Note{Text: inventedNote.With()})
	}
	items := []document.Text{yearPumps.With(len(b.y.Machines), len(b.jobsIn), fmt.Sprint(b.y.Year), b.before)}
	if len(costs) > 0 {
		items = append(items, yearCost.With(fmt.Sprint(b.y.Year), costWords(costs)))
	}
	if infants > 0 {
		items = append(items, yearInfant.With(infants))
	}
	soon, until := 0, record.TimeOf(b.y.AsOf.Time().Add(dueAhead))
	seen := map[string]bool{}
	for i := range b.y.Due {
		if e := &b.y.Due[i]; e.Day() != 0 && e.Day() <= until && !seen[e.Serial] {
			seen[e.Serial] = true
			soon++
		}
	}
	if soon > 0 {
		items = append(items, yearSoon.With(soon, until.Day()))
	}
	b.add(document.List{Items: items})
}

func (b *yearBuilder) jobs() {
	b.heading(yearJobs)
	if len(b.jobsIn) == 0 {
		b.add(document.Paragraph{Text: yearNone.With(fmt.Sprint(b.y.Year))})
		return
	}
	t := document.Table{Columns: []document.Column{{Head: pastColJob.With()}, {Head: yearPump.With()}, {Head: pastColPlaceTag.With()}, {Head: pastColIn.With()}, {Head: pastColRan.With(), Number: true},
		{Head: pastColCause.With()}, {Head: pastColWorn.With()}, {Head: pastColCost.With(), Number: true}}}
	for _, j := range b.jobsIn {
		s := j.summary()
		ran := say.Message(pastDayNotKnown.With())
		if run := j.run(); run != nil && run.Basis != history.NoHours {
			ran = rounded(run.Hours)
		}
		t.Rows = append(t.Rows, document.Row{Cells: []document.Cell{document.Words(say.Plain(s.Job)), document.Words(say.Plain(s.Serial)), document.Words(say.Plain(s.Tag)),
			document.Words(s.Opened.Day().Message()), document.Words(ran), document.Words(causeWords(s)), document.Words(pastListWords.With(failedParts(s))), document.Words(moneyWords(s.Cost))}})
	}
	b.add(t)
}

func (b *yearBuilder) causes() {
	counts := map[string]int{}
	for _, j := range b.jobsIn {
		if cause, _ := j.summary().Cause(); cause != "" {
			counts[cause]++
		}
	}
	if len(counts) == 0 {
		return
	}
	var names []string
	for c := range counts {
		names = append(names, c)
	}
	sort.Slice(names, func(i, j int) bool {
		if counts[names[i]] != counts[names[j]] {
			return counts[names[i]] > counts[names[j]]
		}
		return names[i] < names[j]
	})
	b.heading(yearCauses)
	t := document.Table{Columns: []document.Column{{Head: pastColCause.With()}, {Head: yearNumber.With(), Number: true}}}
	for _, c := range names {
		t.Rows = append(t.Rows, document.Row{Cells: []document.Cell{document.Words(say.Known(CauseName(c))), document.Words(rounded(float64(counts[c])))}})
	}
	b.add(t)
}

// worst lists the owner's machines that came in most often over the years
// followed.
func (b *yearBuilder) worst() {
	if b.y.Fleet == nil {
		return
	}
	page := b.y.Fleet.Page(history.Filter{Owner: b.y.Owner})
	if len(page.Worst) == 0 {
		return
	}
	b.heading(yearWorst)
	t := document.Table{Columns: []document.Column{{Head: yearPump.With()}, {Head: pastColPlaceTag.With()}, {Head: yearNumber.With(), Number: true}, {Head: yearRate.With(), Number: true}, {Head: pastColCost.With(), Number: true}}}
	const named = 10
	for _, a := range page.Worst[:min(named, len(page.Worst))] {
		t.Rows = append(t.Rows, document.Row{Cells: []document.Cell{document.Words(say.Plain(a.Serial)), document.Words(say.Plain(a.Tag)), document.Words(rounded(float64(a.Jobs))),
			document.Words(pastNumberWords.With(a.JobsAYear)), document.Words(costWords(a.Costs))}})
	}
	b.add(t)
}

func (b *yearBuilder) due() {
	until := record.TimeOf(b.y.AsOf.Time().Add(dueAhead))
	var list []history.Expected
	for i := range b.y.Due {
		if e := b.y.Due[i]; e.Day() != 0 && e.Day() <= until {
			list = append(list, e)
		}
	}
	if len(list) == 0 {
		return
	}
	b.heading(yearDue)
	b.add(dueTable(list, true))
}

// lives shows the part that wears out most often, in each liquid of the owner.
func (b *yearBuilder) lives() {
	if b.y.Fleet == nil {
		return
	}
	own := b.y.Fleet.Page(history.Filter{Owner: b.y.Owner})
	if len(own.Parts) == 0 || own.Parts[0].Failed == 0 {
		return
	}
	part := own.Parts[0].Part
	first := true
	for _, liquid := range own.Liquids {
		if liquid.Word == "" {
			continue
		}
		s := b.y.Fleet.Page(history.Filter{Liquid: liquid.Word, Part: part}).Survival
		if s == nil || s.Fit == nil {
			continue
		}
		if first {
			b.heading(yearLives)
			first = false
		}
		model := s.Fit.Model()
		name := yearLife.With(history.PartWords(part), liquid.Word)
		f := figure.Life{Name: name, Setting: yearCount.With(s.Failed, s.Running+s.Infant), Groups: []figure.LifeGroup{{Name: name, Steps: s.Steps, Model: &model}}}
		b.add(document.Group{Blocks: []document.Block{document.Paragraph{Text: tenthWords(s)}, document.Figure{Caption: name, Draw: f.Draw}}})
	}
}

func tenthWords(s *history.Survival) say.Message {
	bound := func(b *float64) say.Shower {
		if b == nil {
			return pastDayNotKnown.With()
		}
		return rounded(*b)
	}
	bounds := s.B10
	if bounds == (life.Bounds{}) {
		return yearTenth.With(s.B10At, pastDayNotKnown.With(), pastDayNotKnown.With())
	}
	return yearTenth.With(s.B10At, bound(bounds.Low), bound(bounds.High))
}
