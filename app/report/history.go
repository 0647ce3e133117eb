package report

import (
	"math"
	"sort"
	"time"

	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/due"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/knowledge"
	"pumpwright/rebuild/record"
)

var (
	historyTitle   = say.Define("report.history_title", "History of a pump")
	historyFoot    = say.Define("report.history_foot", "As of {day}. Due dates are expectations. The maker's manual, site rules and local codes come first.")
	historyJobs    = say.Define("report.history_jobs", "Rebuilds")
	historyDue     = say.Define("report.history_due", "When again")
	historyTrends  = say.Define("report.history_trends", "Wear over running hours")
	historyChanged = say.Define("report.history_changed", "What changed, and what came of it")
	historyOpen    = say.Define("report.history_open", "What does not fit")

	pastFactHours    = say.Define("report.past_fact_hours", "Running hours followed")
	pastFactRebuilds = say.Define("report.past_fact_rebuilds", "Rebuilds")
	pastFactSpent    = say.Define("report.past_fact_spent", "Cost so far")
	pastHoursBasis   = say.Define("report.past_hours_basis", "{hours:number} h (by {basis})")

	pastShortDue       = say.Define("report.past_short_due", "Next: {feature} is expected to reach its limit on {day} (between {near} and {far}); it rests on {basis}.")
	pastShortDueNot    = say.Define("report.past_short_due_not", "No due date can be named yet.")
	pastShortInfant    = say.Define("report.past_short_infant", "{n:count|rebuild|rebuilds} came back within weeks: that counts against the rebuild, not as wear.")
	pastShortRuns      = say.Define("report.past_short_runs", "{n:count|rebuild|rebuilds}, on average {hours:number} h of running between them.")
	pastShortIsPast    = say.Define("report.past_short_is_past", "{feature} was past its limit when it was last read.")
	pastDayNotKnown    = say.Define("report.past_day_not_known", "not known")
	pastColJob         = say.Define("report.past_col_job", "job")
	pastColIn          = say.Define("report.past_col_in", "came in")
	pastColOut         = say.Define("report.past_col_out", "went out")
	pastColRan         = say.Define("report.past_col_ran", "had run, h")
	pastColPlaceTag    = say.Define("report.past_col_place_tag", "place")
	pastColCause       = say.Define("report.past_col_cause", "cause")
	pastColWorn        = say.Define("report.past_col_worn", "worn or damaged")
	pastColCost        = say.Define("report.past_col_cost", "cost")
	pastColHoursTo     = say.Define("report.past_col_hours_to", "limit at, h of the part")
	pastColExpected    = say.Define("report.past_col_expected", "expected")
	pastColBetween     = say.Define("report.past_col_between", "between (90 %)")
	pastColRests       = say.Define("report.past_col_rests", "rests on")
	pastColWhat        = say.Define("report.past_col_what", "what")
	pastColBefore      = say.Define("report.past_col_before", "wear in 1000 h, before")
	pastColAfter       = say.Define("report.past_col_after", "after")
	pastColByChance    = say.Define("report.past_col_by_chance", "chance by accident")
	pastBetweenDays    = say.Define("report.past_between_days", "{near} … {far}")
	pastBackSoon       = say.Define("report.past_back_soon", "{hours:number}, back within weeks")
	pastCauseConfirmed = say.Define("report.past_cause_confirmed", "{cause}, confirmed")
	pastChanceWords    = say.Define("report.past_chance_words", "{p:percent}")
	pastRestsOn        = say.Define("report.past_rests_on", "{basis}, {n:count|part|parts}")
	pastTrendCaption   = say.Define("report.past_trend_caption", "{feature}")
	pastDueWords       = say.Define("report.past_due_words", "On {day}.")
	pastNumberWords    = say.Define("report.past_number_words", "{n:number}")
	pastListWords      = say.Define("report.past_list_words", "{words:list}")
)

// History makes the document of one machine; expected is what
// Machine.Forecasts says, asOf the day for which it holds.
func History(m *history.Machine, expected []history.Expected, asOf record.Time, o Options) *document.Report {
	b := historyBuilder{m: m, o: o, asOf: asOf}
	b.expected = append(b.expected, expected...)
	sort.SliceStable(b.expected, func(i, j int) bool { return dayOrLast(&b.expected[i]) < dayOrLast(&b.expected[j]) })
	r := &document.Report{Title: historyTitle.With(), Subtitle: say.Plain(m.Title()), Mark: say.Plain(m.Serial), Foot: historyFoot.With(asOf.Day()), Facts: b.facts()}
	r.Created = created(o, asOf)
	b.inShort()
	b.timeline()
	b.due()
	b.jobs()
	b.trends()
	b.changes()
	b.troubles()
	r.Blocks = b.blocks
	return r
}

func created(o Options, asOf record.Time) time.Time {
	if o.Created != 0 {
		return o.Created.Time()
	}
	return asOf.Time()
}

func dayOrLast(e *history.Expected) record.Time {
	if d := e.Day(); d != 0 {
		return d
	}
	return math.MaxInt64
}

type historyBuilder struct {
	m        *history.Machine
	expected []history.Expected
	asOf     record.Time
	o        Options
	blocks   []document.Block
}

func (b *historyBuilder) add(blocks ...document.Block) { b.blocks = append(b.blocks, blocks...) }

func (b *historyBuilder) heading(t say.Template) {
	b.add(document.Heading{Level: 1, Text: t.With()})
}

func dayOf(at record.Time) say.Shower {
	if at == 0 {
		return pastDayNotKnown.With()
	}
	return at.Day().Message()
}

func rounded(v float64) say.Message { return pastNumberWords.With(math.Round(v)) }

func (b *historyBuilder) facts() []document.Fact {
	var facts []document.Fact
	add := func(name say.Template, value say.Shower) {
		facts = append(facts, document.Fact{Name: name.With(), Value: value})
	}
	words := func(name say.Template, text string) {
		if text != "" {
			add(name, say.Plain(text))
		}
	}
	words(factSerial, b.m.Serial)
	if last := b.m.Last(); last != nil {
		words(factTag, last.Tag)
		words(factOwner, last.Owner)
		words(factPlace, last.Site)
		words(factModel, last.Model)
		words(factLiquid, last.Liquid)
	}
	hours, bases := 0.0, map[history.HoursBasis]bool{}
	costs := history.Costs{}
	for _, v := range b.m.Intervals {
		hours += v.Hours
		bases[v.Basis] = true
	}
	for i := range b.m.Jobs {
		costs.Add(b.m.Jobs[i].Cost)
	}
	var names []string
	for basis := range bases {
		names = append(names, string(basis))
	}
	sort.Strings(names)
	if len(names) > 0 {
		add(pastFactHours, pastHoursBasis.With(math.Round(hours), pastListWords.With(names)))
	}
	add(pastFactRebuilds, rounded(float64(len(b.m.Jobs))))
	if len(costs) > 0 {
		add(pastFactSpent, costWords(costs))
	}
	return facts
}

func costWords(c history.Costs) say.Message {
	var currencies, words []string
	for currency := range c {
		currencies = append(currencies, currency)
	}
	sort.Strings(currencies)
	for _, currency := range currencies {
		words = append(words, c[currency].String())
	}
	return pastListWords.With(words)
}

func (b *historyBuilder) inShort() {
	b.heading(headSummary)
	for i := range b.m.Jobs {
		if b.m.Jobs[i].Invented {
			b.add(document.Note{Text: inventedNote.With()})
			break
		}
	}
	var items []document.Text
	runs, hours := 0, 0.0
	for _, v := range b.m.Intervals {
		if v.Ending == history.CameBack {
			runs++
			hours += v.Hours
		}
	}
	if runs > 0 {
		items = append(items, pastShortRuns.With(len(b.m.Jobs), math.Round(hours/float64(runs))))
	}
	if n := len(b.m.Infants()); n > 0 {
		items = append(items, pastShortInfant.With(n))
	}
	for i := range b.expected {
		if e := &b.expected[i]; e.Forecast.Past {
			items = append(items, pastShortIsPast.With(e.Track.Name))
		}
	}
	if len(b.expected) > 0 && b.expected[0].Day() != 0 {
		e := &b.expected[0]
		items = append(items, pastShortDue.With(e.Track.Name, e.Day().Day(), dayOf(e.NearDay()), dayOf(e.FarDay()), e.Forecast.Basis))
	} else {
		items = append(items, pastShortDueNot.With())
	}
	b.add(document.List{Items: items})
}

func (b *historyBuilder) timeline() {
	t := figure.Timeline{Name: say.Plain(b.m.Title()), Now: b.asOf.Time()}
	back := map[int]bool{}
	for _, v := range b.m.Intervals {
		t.Runs = append(t.Runs, figure.TimelineRun{From: v.From.Time(), To: v.To.Time(), Place: v.Tag})
		back[v.Before] = back[v.Before] || v.Ending == history.InfantReturn
	}
	for i := range b.m.Jobs {
		t.Jobs = append(t.Jobs, figure.TimelineJob{Name: b.m.Jobs[i].Job, Day: b.m.Jobs[i].Opened.Time(), Back: back[i]})
	}
	if len(b.expected) > 0 && b.expected[0].Day() != 0 {
		e := &b.expected[0]
		t.Due = &figure.TimelineDue{Near: timeOf(e.NearDay()), At: timeOf(e.Day()), Far: timeOf(e.FarDay()), Name: say.Plain(e.Track.Name)}
	}
	b.add(document.Figure{Caption: say.Plain(b.m.Title()), Draw: t.Draw})
}

func timeOf(at record.Time) time.Time {
	if at == 0 {
		return time.Time{}
	}
	return at.Time()
}

func (b *historyBuilder) due() {
	if len(b.expected) == 0 {
		return
	}
	b.heading(historyDue)
	b.add(dueTable(b.expected, false))
	var notes []document.Block
	for i := range b.expected {
		e := &b.expected[i]
		said := append([]say.Message(nil), e.Forecast.Said...)
		if !e.Forecast.Unwell.IsZero() {
			said = append(said, e.Forecast.Unwell)
		}
		for _, m := range said {
			notes = append(notes, document.Note{Text: pastAboutFeature.With(e.Track.Name, m)})
		}
	}
	b.add(notes...)
}

var pastAboutFeature = say.Define("report.past_about_feature", "{feature}: {what:message}.")

// dueTable lists forecasts; with machines, each row names its machine.
func dueTable(list []history.Expected, machines bool) document.Table {
	t := document.Table{}
	if machines {
		t.Columns = append(t.Columns, document.Column{Head: factSerial.With()}, document.Column{Head: factTag.With()})
	}
	t.Columns = append(t.Columns, document.Column{Head: headFeatureColumn.With()}, document.Column{Head: pastColExpected.With()}, document.Column{Head: pastColBetween.With()},
		document.Column{Head: pastColHoursTo.With(), Number: true}, document.Column{Head: pastColRests.With()})
	for i := range list {
		e := &list[i]
		var row document.Row
		if machines {
			row.Cells = append(row.Cells, document.Words(say.Plain(e.Serial)), document.Words(say.Plain(e.Tag)))
		}
		at := document.Words(pastDayNotKnown.With())
		if h := e.Forecast.Hours.At; h != nil {
			at = document.Words(rounded(*h))
		}
		expected := document.Words(dayOf(e.Day()))
		if e.Forecast.Past {
			past := draw.PastLimit
			expected = document.Cell{State: &past}
		}
		row.Cells = append(row.Cells, document.Words(say.Plain(e.Track.Name)), expected, document.Words(pastBetweenDays.With(dayOf(e.NearDay()), dayOf(e.FarDay()))), at,
			document.Words(pastRestsOn.With(e.Forecast.Basis, e.Forecast.Parts)))
		t.Rows = append(t.Rows, row)
	}
	return t
}

var headFeatureColumn = say.Define("report.past_col_what_wears", "what wears")

func (b *historyBuilder) jobs() {
	b.heading(historyJobs)
	t := document.Table{Columns: []document.Column{{Head: pastColJob.With()}, {Head: pastColPlaceTag.With()}, {Head: pastColIn.With()}, {Head: pastColOut.With()}, {Head: pastColRan.With(), Number: true},
		{Head: pastColCause.With()}, {Head: pastColWorn.With()}, {Head: pastColCost.With(), Number: true}}}
	for i := range b.m.Jobs {
		s := &b.m.Jobs[i]
		ran := say.Message(pastDayNotKnown.With())
		for _, v := range b.m.Intervals {
			if v.Before == i && v.Basis != history.NoHours {
				ran = rounded(v.Hours)
				if v.Ending == history.InfantReturn {
					ran = pastBackSoon.With(math.Round(v.Hours))
				}
			}
		}
		t.Rows = append(t.Rows, document.Row{Cells: []document.Cell{
			document.Words(say.Plain(s.Job)), document.Words(say.Plain(s.Tag)), document.Words(s.Opened.Day().Message()), document.Words(dayOf(s.Closed)), document.Words(ran),
			document.Words(causeWords(s)), document.Words(pastListWords.With(failedParts(s))), document.Words(moneyWords(s.Cost)),
		}})
	}
	b.add(t)
}

// CauseName is the name of a cause, or its id where it is not known.
func CauseName(id string) string {
	base, err := knowledge.Embedded()
	if err != nil {
		return id
	}
	if c, err := base.Cause(id); err == nil {
		return c.Name
	}
	return id
}

func causeWords(s *history.Summary) say.Message {
	id, confirmed := s.Cause()
	cause := CauseName(id)
	if confirmed {
		return pastCauseConfirmed.With(say.Known(cause))
	}
	return say.Known(cause)
}

func failedParts(s *history.Summary) []say.Message {
	var list []say.Message
	for _, p := range s.Parts {
		if p.Fate == history.Failed {
			list = append(list, history.PartWords(p.Part))
		}
	}
	return list
}

func moneyWords(m quantity.Money) say.Shower {
	if m.Parts == 0 {
		return say.Plain("")
	}
	return m
}

func (b *historyBuilder) trends() {
	first := true
	for i := range b.expected {
		e := &b.expected[i]
		if len(e.Track.Points) < 2 {
			continue
		}
		if first {
			b.heading(historyTrends)
			first = false
		}
		t := TrendFigure(e)
		b.add(document.Figure{Caption: pastTrendCaption.With(e.Track.Name), Draw: t.Draw})
	}
}

// TrendFigure fills the picture of a forecast.
func TrendFigure(e *history.Expected) figure.Trend {
	track := e.Track
	t := figure.Trend{Name: say.Plain(track.Name), Dimension: track.Dimension, Limit: track.Limit, Now: track.Hours}
	for _, p := range track.Points {
		state := draw.Good
		if track.Limit != nil && (p.Value-*track.Limit > 0) == track.Rising && p.Value != *track.Limit && p.State == job.AsFound {
			state = draw.PastLimit
		}
		t.Points = append(t.Points, figure.TrendPoint{Hours: p.Hours, Value: p.Value, U: p.U, Part: p.Segment, BySheet: p.BySheet, LeftOut: p.Left, State: state})
	}
	for _, st := range track.Stretches {
		if st.Start > 0 {
			t.Renewed = append(t.Renewed, st.Start)
		}
	}
	f := e.Forecast
	if f == nil || f.Hours.At == nil || e.Stretch >= len(track.Stretches) {
		return t
	}
	start := track.Stretches[e.Stretch].Start
	at := *f.Hours.At + start
	t.Due = &figure.TrendDue{At: &at}
	if d := e.Day(); d != 0 {
		t.Due.Words = pastDueWords.With(d.Day())
	}
	t.Ahead = band(f, start)
	return t
}

// bandPlaces is how many places the band is drawn at.
const bandPlaces = 24

// band is the line of a forecast with its bounds, from the middle of its
// readings to a little past the limit.
func band(f *due.Forecast, start float64) []figure.TrendBand {
	sign := 1.0
	if !f.Inputs.Rising {
		sign = -1
	}
	from, to := math.Max(0, f.Start.Hours), *f.Hours.At*1.08
	if !(to > from) {
		return nil
	}
	var list []figure.TrendBand
	for k := range bandPlaces + 1 {
		age := from + (to-from)*float64(k)/bandPlaces
		x := age - f.Start.Hours
		middle := f.Start.Value + f.Rate.Slope*x
		half := f.Factor * math.Hypot(f.Start.U, x*f.Rate.U)
		if f.Basis == due.OnePart {
			half = math.NaN()
		}
		list = append(list, figure.TrendBand{Hours: age + start, Low: sign * (middle - half), Middle: sign * middle, High: sign * (middle + half)})
	}
	return list
}

func (b *historyBuilder) changes() {
	upgrades := b.m.Upgrades()
	if len(upgrades) == 0 {
		return
	}
	b.heading(historyChanged)
	for _, u := range upgrades {
		b.add(document.Paragraph{Text: pastAboutFeature.With(u.Job, u.What)})
		changes := b.m.ChangesAt(u.At)
		if len(changes) == 0 {
			continue
		}
		t := document.Table{Columns: []document.Column{{Head: pastColWhat.With()}, {Head: pastColBefore.With(), Number: true}, {Head: pastColAfter.With(), Number: true}, {Head: pastColByChance.With(), Number: true}}}
		for _, c := range changes {
			wear := func(slope, u float64) say.Shower { return wearText{c.Dimension, 1000 * slope, 1000 * u} }
			t.Rows = append(t.Rows, document.Row{Cells: []document.Cell{document.Words(say.Plain(c.Name)), document.Words(wear(c.Before.Slope, c.Before.U)),
				document.Words(wear(c.After.Slope, c.After.U)), document.Words(pastChanceWords.With(c.P))}})
		}
		b.add(t)
	}
}

type wearText struct {
	dimension quantity.Dimension
	value, u  float64
}

// Show prints the wear with its uncertainty.
func (w wearText) Show(s say.Style) string { return quantity.ShowWithU(w.dimension, w.value, w.u, s) }

func (b *historyBuilder) troubles() {
	if len(b.m.Troubles) == 0 {
		return
	}
	b.heading(historyOpen)
	var items []document.Text
	for _, m := range b.m.Troubles {
		items = append(items, m)
	}
	b.add(document.List{Items: items})
}
