package report

import (
	"slices"
	"time"

	"pumpwright/app/document"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/assess/delivery"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/proof"
)

var (
	shortReplace   = say.Define("report.short_replace", "To be replaced for wear: {parts:list}.")
	shortAlways    = say.Define("report.short_always", "Renewed as a matter of course: {parts:list}.")
	shortAgain     = say.Define("report.short_again", "To be measured again before anything is decided: {parts:list}.")
	shortNothing   = say.Define("report.short_nothing", "No part is past a limit so far.")
	shortFoundLeft = say.Define("report.short_found_left", "End clearance: found {found}, left {left}; wanted {low:length} to {high:length}.")
	shortFound     = say.Define("report.short_found", "End clearance: found {found}; wanted {low:length} to {high:length}. It was not measured as left yet.")
	shortWindow    = say.Define("report.short_window", "End clearance wanted: {low:length} to {high:length}. It was not read yet.")
	shortNoWindow  = say.Define("report.short_no_window", "The wanted end clearance is not known: {reason:message}.")
	shortOpen      = say.Define("report.short_open", "{readings:count|reading|readings} still missing, {holds:count|signature|signatures} open.")
	shortCause     = say.Define("report.short_cause", "Why it failed: most likely {cause}, chance {chance:percent}.")
	shortConfirmed = say.Define("report.short_confirmed", "Why it failed: {cause}, confirmed.")
	shortDelivers  = say.Define("report.short_delivers", "At the service point it delivered {found} as found and delivers {left} as left, worked out from the clearances.")
	shortWill      = say.Define("report.short_will", "At the service point it delivered {found} as found and should deliver {left} once closed as planned, worked out from the clearances.")
	shortDelivered = say.Define("report.short_delivered", "At the service point it delivered {found} as found, worked out from the clearances.")
	shortBench     = say.Define("report.short_bench", "Bench test: {verdict}.")
	shortNext      = say.Define("report.short_next", "Next: {what}, due {day}.")
	shortOverdue   = say.Define("report.short_overdue", "Overdue: {what}, was due {day}.")
	shortConflict  = say.Define("report.short_conflict", "{n:count|conflict|conflicts} between two people's entries must be settled.")
)

func (b *builder) summary() {
	b.heading(headSummary)
	if b.open0().Invented || b.a.Inputs.Sheet.Invented {
		b.add(document.Note{Text: inventedNote.With()})
	}
	var worn, always, again []string
	for _, d := range b.a.Parts.Decisions {
		switch {
		case d.Part.Always:
			always = append(always, d.Part.Name)
		case d.Verdict == part.Replace || d.Verdict == part.Rework:
			worn = append(worn, d.Part.Name)
		case d.Verdict == part.MeasureAgain:
			again = append(again, d.Part.Name)
		}
	}
	items := []document.Text{b.clearanceSentence()}
	switch {
	case len(worn) > 0:
		items = append(items, shortReplace.With(worn))
	default:
		items = append(items, shortNothing.With())
	}
	if len(again) > 0 {
		items = append(items, shortAgain.With(again))
	}
	if len(always) > 0 {
		items = append(items, shortAlways.With(always))
	}
	items = append(items, b.outcome()...)
	if n := len(b.a.Conflicts); n > 0 {
		items = append(items, shortConflict.With(n))
	}
	if missing, holds := len(b.a.Progress.Missing), len(b.a.Progress.Holds); missing+holds > 0 {
		items = append(items, shortOpen.With(missing, holds))
	}
	b.add(document.List{Items: items})
}

func (b *builder) clearanceSentence() say.Message {
	c := b.a.Clearances
	w := c.Window
	if !w.Known {
		return shortNoWindow.With(w.Unknown)
	}
	switch {
	case has(c.AsFound) && has(c.AsLeft):
		return shortFoundLeft.With(*c.AsFound.Mean, *c.AsLeft.Mean, w.Low, w.High)
	case has(c.AsFound):
		return shortFound.With(*c.AsFound.Mean, w.Low, w.High)
	}
	return shortWindow.With(w.Low, w.High)
}

// outcome tells why it failed, what it delivers, how the bench test ended and
// what comes next, each as far as it is known.
func (b *builder) outcome() []document.Text {
	var items []document.Text
	if c := b.a.Cause(); c.First() != nil {
		first := c.First()
		if slices.Contains(c.Confirmed, first.ID) {
			items = append(items, shortConfirmed.With(say.Known(first.Name)))
		} else if first.Probability >= leastInShort {
			items = append(items, shortCause.With(say.Known(first.Name), first.Probability))
		}
	}
	d := b.a.Delivery()
	switch {
	case delivers(d.Found) && delivers(d.Left) && !has(b.a.Clearances.AsLeft):
		items = append(items, shortWill.With(d.Found.Duty.Flow, d.Left.Duty.Flow))
	case delivers(d.Found) && delivers(d.Left):
		items = append(items, shortDelivers.With(d.Found.Duty.Flow, d.Left.Duty.Flow))
	case delivers(d.Found):
		items = append(items, shortDelivered.With(d.Found.Duty.Flow))
	}
	if p := b.a.Proof(); p.Verdict != proof.NotTested {
		items = append(items, shortBench.With(p.Verdict))
	}
	return append(items, b.dueNext()...)
}

// leastInShort is the chance below which a cause is no headline.
const leastInShort = 0.5

func delivers(p *delivery.Pump) bool { return p != nil && p.Duty != nil }

// dueNext names the checks in service that are overdue, and the first to come.
func (b *builder) dueNext() []document.Text {
	var items []document.Text
	var next *assembly.Recheck
	service := b.a.InService()
	for i, r := range service.Rechecks {
		switch {
		case r.Done || r.Due.IsZero():
		case r.Overdue:
			items = append(items, shortOverdue.With(r.What, r.Due.Format(time.DateOnly)))
		case next == nil || r.Due.Before(next.Due):
			next = &service.Rechecks[i]
		}
	}
	if next != nil {
		items = append(items, shortNext.With(next.What, next.Due.Format(time.DateOnly)))
	}
	return items
}
