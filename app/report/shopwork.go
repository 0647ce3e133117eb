package report

import (
	"pumpwright/app/document"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/knowledge"
)

var (
	headOutside   = say.Define("report.head_outside", "Work outside")
	colSentWhat   = say.Define("report.col_sent_what", "what")
	colSentWork   = say.Define("report.col_sent_work", "work")
	colSentTo     = say.Define("report.col_sent_to", "with")
	colSentDay    = say.Define("report.col_sent_day", "sent")
	colPromised   = say.Define("report.col_promised", "promised")
	colBack       = say.Define("report.col_back", "back")
	stillAway     = say.Define("report.still_away", "still away")
	outsideBelief = say.Define("report.outside_belief", "Of a part that was away only what was measured after its return is believed.")

	headRelief     = say.Define("report.head_relief", "Relief valve as set on the stand")
	factReliefSet  = say.Define("report.relief_set", "Set to")
	factCrack      = say.Define("report.relief_crack", "Begins to pass at")
	factFullBypass = say.Define("report.relief_full", "Full bypass at")
	factReseat     = say.Define("report.relief_reseat", "Closes again at")
	factScrew      = say.Define("report.relief_screw", "Height of its screw as left")
	factSealed     = say.Define("report.relief_sealed", "Locked and sealed")
	factReliefNote = say.Define("report.relief_note", "Remark")
	reliefReasons  = say.Define("report.relief_reasons", "{reasons:list}.")

	headAnyway = say.Define("report.open_anyway", "Instruments out of calibration, used anyway")
	openAnyway = say.Define("report.open_anyway_line", "{instrument}, signed by {who}: {reason}")
)

// outside lists the work that left the shop.
func (b *builder) outside() {
	list := b.a.Inputs.Job.Outsides()
	if len(list) == 0 {
		return
	}
	table := document.Table{Columns: []document.Column{{Head: colSentWhat.With()}, {Head: colSentWork.With()}, {Head: colSentTo.With()},
		{Head: colSentDay.With()}, {Head: colPromised.With()}, {Head: colBack.With()}}}
	for _, a := range list {
		o := a.Sent.Body
		what := o.Subject()
		if p := b.a.Inputs.Sheet.Part(o.Part); p != nil {
			what = p.Name
		}
		back := stillAway.With()
		if a.Back != nil {
			back = a.Back.At.Day().Message()
		}
		promised := document.Words(dash)
		if o.By != "" {
			promised = document.Words(say.Plain(o.By))
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
			document.Words(say.Plain(what)), document.Words(say.Plain(o.Work)), document.Words(say.Plain(o.To)),
			document.Words(a.Sent.At.Day().Message()), promised, document.Words(back),
		}})
	}
	b.heading(headOutside)
	b.add(table)
	b.paragraph(outsideBelief.With())
}

// relief says how the relief valve was set and read, and what that is worth.
func (b *builder) relief() {
	k := b.a.Inputs.Job.LastRelief()
	if k == nil {
		return
	}
	var facts []document.Fact
	add := func(name say.Template, value say.Shower) {
		facts = append(facts, document.Fact{Name: name.With(), Value: value})
	}
	r := k.Body
	if r.Set != nil {
		add(factReliefSet, *r.Set)
	}
	if r.Crack != nil {
		add(factCrack, *r.Crack)
	}
	if r.FullBypass != nil {
		add(factFullBypass, *r.FullBypass)
	}
	if r.Reseat != nil {
		add(factReseat, *r.Reseat)
	}
	if r.Screw != nil {
		add(factScrew, *r.Screw)
	}
	if r.Sealed != "" {
		add(factSealed, say.Plain(r.Sealed))
	}
	if r.Note != "" {
		add(factReliefNote, say.Plain(r.Note))
	}
	b.add(document.Heading{Level: 2, Text: headRelief.With()}, document.Facts{Items: facts})
	if d := b.a.Delivery(); d.Relief != nil {
		b.paragraph(reliefReasons.With(d.Relief.Reasons))
	} else if !d.NoRelief.IsZero() {
		b.paragraph(d.NoRelief)
	}
	b.add(document.Caution{Text: reliefCare.With()})
}

// anyway lists the instruments that were used out of calibration.
func (b *builder) anyway() []document.Text {
	var list []document.Text
	for _, k := range b.a.Inputs.Job.Accepted {
		list = append(list, openAnyway.With(k.Body.Instrument, b.a.Inputs.Shop.PersonName(k.By), k.Body.Reason))
	}
	return list
}

// findingOf names the finding of an entry.
func (b *builder) findingOf(ref string) string {
	for _, f := range b.a.Inputs.Job.Findings {
		if f.Ref == ref && ref != "" {
			return evidenceName(&f.Body)
		}
	}
	return ""
}

func evidenceName(f *job.Finding) string {
	if base, err := knowledge.Embedded(); err == nil {
		if e, err := base.Item(f.Evidence); err == nil {
			return e.Name
		}
	}
	return f.Evidence
}
