package report

import (
	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/knowledge"
	"pumpwright/rebuild/sheet"
)

var (
	colFeature = say.Define("report.col_feature", "feature, as new, limit")
	asNew      = say.Define("report.as_new", "{feature}. New {nominal}; no limit known")
	withLimit  = say.Define("report.with_limit", "{feature}. Limit {limit:message}")
	asNewLimit = say.Define("report.as_new_limit", "{feature}. New {nominal}, limit {limit:message}")
	colFound   = say.Define("report.col_found", "as found")
	colSpread  = say.Define("report.col_spread", "spread")
	colLeft    = say.Define("report.col_left", "as left")
	colState   = say.Define("report.col_state", "state")
	dash       = say.Plain("–")
	limitRank  = say.Define("report.limit_rank", "{limit:message}, {compare:message} ({rank:message}{page})")
	pageWords  = say.Define("report.page", ", {page}")
	foundNote  = say.Define("report.found_note", "Values are means over the places with their standard uncertainty; the limit meets the number that stands with it. The spread over places is wear, not uncertainty.")
)

func (b *builder) foundAndLeft() {
	b.heading(headFound)
	table := document.Table{Columns: []document.Column{
		{Head: colFeature.With()}, {Head: colFound.With(), Number: true}, {Head: colSpread.With(), Number: true}, {Head: colState.With()},
		{Head: colLeft.With(), Number: true}, {Head: colState.With()},
	}}
	for i, f := range b.a.Readings.Found {
		left := b.a.Readings.Left[i]
		if f.Mean == nil && left.Mean == nil && f.Feature.When == job.AsLeft {
			continue
		}
		judged := f
		leftState := document.Words(dash)
		if left.Mean != nil {
			leftState = document.InState(stateOf(left))
			if f.Mean == nil {
				judged = left
			}
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
			document.Words(named(f.Feature, judged)), document.Words(mean(f)), document.Words(spread(f)),
			document.InState(stateOf(f)), document.Words(mean(left)), leftState,
		}})
	}
	b.add(table, document.Note{Text: foundNote.With()})
}

// named is the name of a feature with its size as new and its limit.
func named(f *sheet.Feature, judged *reading.Feature) say.Shower {
	limit := limitOf(judged)
	switch {
	case f.Nominal == nil && limit == nil:
		return say.Plain(f.Name)
	case f.Nominal == nil:
		return withLimit.With(f.Name, limit)
	}
	nominal := reading.Estimate{Dimension: f.Nominal.Dimension, Value: f.Nominal.SI}
	if limit == nil {
		return asNew.With(f.Name, nominal)
	}
	return asNewLimit.With(f.Name, nominal, limit)
}

func mean(f *reading.Feature) say.Shower {
	if f.Mean == nil {
		return dash
	}
	return *f.Mean
}

func spread(f *reading.Feature) say.Shower {
	if f.Survey == nil || len(f.Survey.Places) < 2 || f.Feature.Difference != nil {
		return dash
	}
	return reading.Estimate{Dimension: f.Feature.Dimension(), Value: f.Survey.Spread.SI()}
}

func limitOf(f *reading.Feature) say.Shower {
	j := f.Governs()
	if j == nil {
		return nil
	}
	page := say.Message{}
	if j.Page != "" {
		page = pageWords.With(j.Page)
	}
	return limitRank.With(part.LimitText(j), part.CompareText(j.Compare), part.RankText(j.Rank), page)
}

var (
	colGap     = say.Define("report.col_gap", "clearance")
	colCold    = say.Define("report.col_cold", "cold, bench")
	colSteady  = say.Define("report.col_steady", "steady, in service")
	colWorst   = say.Define("report.col_worst", "tightest while warming up")
	colWhen    = say.Define("report.col_when", "after")
	afterWords = say.Define("report.after", "{minutes:number} min")
	bandWords  = say.Define("report.band", "The warm-up is worked out from estimated conductances; for half and one and a half times of them the end clearance changes by {low:length} to {high:length} at its tightest.")
	coldNote   = say.Define("report.cold_note", "Cold values hold for the stack or the turn that is advised until the clearance is measured as left.")
	lackWords  = say.Define("report.lack", "{name} (needed for: {use})")
	lackNew    = say.Define("report.lack_new", "{name} of the new part (needed for: {use})")
	headLacks  = say.Define("report.lacks", "Not known, because these are missing:")
)

func (b *builder) clearances() {
	b.heading(headClear)
	c := b.a.Clearances
	table := document.Table{Columns: []document.Column{
		{Head: colGap.With()}, {Head: colCold.With(), Number: true}, {Head: colSteady.With(), Number: true}, {Head: colWorst.With(), Number: true}, {Head: colWhen.With(), Number: true},
	}}
	known := false
	for _, l := range c.Gaps {
		cells := []document.Cell{document.Words(say.Plain(l.Gap.String())), document.Words(dash), document.Words(dash), document.Words(dash), document.Words(dash)}
		for i, e := range []*reading.Estimate{l.Cold, l.Steady, l.Worst} {
			if e != nil {
				cells[i+1] = document.Words(*e)
				known = true
			}
		}
		if l.Worst != nil && l.Closest.Time > 0 {
			cells[4] = document.Words(afterWords.With(float64(int(l.Closest.Time.SI()/6+0.5)) / 10))
		}
		if l.Contact {
			state := draw.PastLimit
			cells[0].State = &state
		}
		table.Rows = append(table.Rows, document.Row{Cells: cells})
	}
	if known {
		b.add(table, document.Note{Text: coldNote.With()})
		if end := c.Gaps[0]; end.Worst != nil && end.Band.Low != end.Band.High {
			b.add(document.Note{Text: bandWords.With(c.Hot.Gaps[0].ClosestBand.Low, c.Hot.Gaps[0].ClosestBand.High)})
		}
	}
	if len(c.Lacks) > 0 {
		var items []document.Text
		for _, l := range c.Lacks {
			words := lackWords
			if l.New {
				words = lackNew
			}
			items = append(items, words.With(l.Name, l.Use))
		}
		b.add(document.Group{Blocks: []document.Block{document.Paragraph{Text: headLacks.With()}, document.List{Items: items}}})
	}
	var warnings []document.Text
	for _, w := range c.Warnings {
		warnings = append(warnings, w)
	}
	if len(warnings) > 0 {
		b.add(document.List{Items: warnings})
	}
}

var (
	colEvidence = say.Define("report.col_evidence", "seen")
	colOn       = say.Define("report.col_on", "on")
	colRemark   = say.Define("report.col_remark", "remark")
	notThere    = say.Define("report.not_there", "looked for and not there: {evidence}")
	noFindings  = say.Define("report.no_findings", "No finding was written down.")
)

func (b *builder) findings() {
	b.heading(headFindings)
	if len(b.a.Inputs.Job.Findings) == 0 {
		b.paragraph(noFindings.With())
		return
	}
	base, err := knowledge.Embedded()
	table := document.Table{Columns: []document.Column{{Head: colEvidence.With()}, {Head: colOn.With()}, {Head: colRemark.With()}}}
	for _, f := range b.a.Inputs.Job.Findings {
		name := f.Body.Evidence
		if err == nil {
			if e, found := base.Item(f.Body.Evidence); found == nil {
				name = e.Name
			}
		}
		words := say.Known(name)
		if f.Body.Absent {
			words = notThere.With(words)
		}
		on := f.Body.Part
		if p := b.a.Inputs.Sheet.Part(on); p != nil {
			on = p.Name
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{document.Words(words), document.Words(say.Plain(on)), document.Words(say.Plain(f.Body.Note))}})
	}
	b.add(table)
}

var (
	openReading  = say.Define("report.open_reading", "{feature}, {state}: {places:count|place|places} not read")
	openHold     = say.Define("report.open_hold", "not signed: {for} (by {roles:list})")
	openSkipped  = say.Define("report.open_skipped", "passed over: {step:message}. Reason: {reason}")
	openConflict = say.Define("report.open_conflict", "{feature}: {first} by {one}, {second} by {two}; neither had seen the other's")
	openTrouble  = say.Define("report.open_trouble", "entry {seq:count} ({kind}): {reason:message}")
	openNothing  = say.Define("report.open_nothing", "Nothing is open.")
	openNext     = say.Define("report.open_next", "Next: {step:message}.")
	headMissing  = say.Define("report.open_missing", "Still to be read, in the order of the bench")
	headHolds    = say.Define("report.open_holds", "Signatures")
	headSkips    = say.Define("report.open_skips", "Steps passed over")
	headWarnings = say.Define("report.open_warnings", "Warnings")
	headSettle   = say.Define("report.open_settle", "To be settled")
)

func (b *builder) open() {
	b.heading(headOpen)
	p := b.a.Progress
	list := func(head say.Template, items []document.Text) {
		if len(items) > 0 {
			b.add(document.Group{Blocks: []document.Block{document.Heading{Level: 2, Text: head.With()}, document.List{Items: items}}})
		}
	}
	if p.Next == nil && len(p.Missing)+len(p.Holds)+len(b.a.Warnings)+len(b.a.Conflicts) == 0 {
		b.paragraph(openNothing.With())
	}
	if p.Next != nil {
		b.paragraph(openNext.With(p.Next.Title))
	}
	var missing, holds, skips, settle []document.Text
	for _, m := range p.Missing {
		missing = append(missing, openReading.With(m.Feature.Name, m.State, len(m.Places)))
	}
	for _, h := range p.Holds {
		holds = append(holds, openHold.With(say.Known(h.Step.Hold.For), say.WordList("access", h.Step.Hold.Who)))
	}
	for _, s := range p.Skipped {
		skips = append(skips, openSkipped.With(s.Title, s.Reason))
	}
	for _, c := range b.a.Conflicts {
		settle = append(settle, openConflict.With(b.featureName(c.Place.Feature), c.FirstText, b.a.Inputs.Shop.PersonName(c.First.By), c.SecondText, b.a.Inputs.Shop.PersonName(c.Second.By)))
	}
	for _, t := range b.a.Troubles {
		settle = append(settle, openTrouble.With(int(t.Seq), t.Kind, t.Message))
	}
	list(headSettle, settle)
	list(headMissing, missing)
	list(headHolds, holds)
	list(headSkips, skips)
	list(headAnyway, b.anyway())
	said := map[string]bool{}
	for _, w := range b.a.Clearances.Warnings {
		said[w.String()] = true
	}
	for _, w := range b.a.Assembly.Warnings { // beside the bolts, the seal …
		said[w.String()] = true
	}
	var warnings []document.Text
	for _, w := range b.a.Warnings {
		if !said[w.String()] {
			warnings = append(warnings, w)
		}
	}
	list(headWarnings, warnings)
}

func (b *builder) featureName(id string) string {
	if f := b.a.Inputs.Sheet.Feature(id); f != nil {
		return f.Name
	}
	return id
}

// cautions lists, once each, the cautions of the steps that are still ahead.
func (b *builder) cautions() {
	seen := map[string]bool{}
	var list []document.Block
	for _, s := range b.a.Progress.Steps {
		if s.Status == progress.Done || s.Status == progress.Skipped {
			continue
		}
		for _, c := range s.Caution {
			if text := c.String(); !seen[text] {
				seen[text] = true
				list = append(list, document.Caution{Text: c})
			}
		}
	}
	if len(list) == 0 {
		return
	}
	b.heading(headCautions)
	b.add(list...)
}

// lengthOf returns the value of an estimate as a length.
func lengthOf(e *reading.Estimate) *quantity.Length {
	if e == nil {
		return nil
	}
	v := quantity.Length(e.Value)
	return &v
}
