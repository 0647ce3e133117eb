package report

import (
	"pumpwright/app/document"
	"pumpwright/app/figure"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/cause"
)

var (
	headCause       = say.Define("report.head_cause", "Why it failed")
	headSettles     = say.Define("report.head_settles", "What would settle it, what to change")
	headChains      = say.Define("report.head_chains", "From cause to damage")
	headStanding    = say.Define("report.head_standing", "What let it happen")
	headLooks       = say.Define("report.head_looks", "Looks that would tell most")
	headContra      = say.Define("report.head_contradictions", "Contradictions")
	headMeasured    = say.Define("report.head_measured", "What the readings tell by themselves")
	causeFirst      = say.Define("report.cause_first", "{name}: chance {chance:percent}; {certainty:message}.")
	causeUnknown    = say.Define("report.cause_unknown", "Nothing was found or measured that could tell a cause.")
	causeHours      = say.Define("report.cause_hours", "Running hours since the last rebuild: {hours:number}.")
	causeNoHours    = say.Define("report.cause_no_hours", "How long it ran since the last rebuild is not known: early and late causes are weighed alike.")
	causeNamed      = say.Define("report.cause_named", "{name}, named by {who}")
	causeProved     = say.Define("report.cause_confirmed", "{name}, confirmed by {who}")
	colCause        = say.Define("report.col_cause", "cause")
	colCauseChance  = say.Define("report.cause_col_chance", "chance")
	colCauseFor     = say.Define("report.cause_col_for", "speaks for it")
	colCauseAgainst = say.Define("report.cause_col_against", "speaks against it")
	colLook         = say.Define("report.col_look", "look for")
	colWhere        = say.Define("report.col_where", "where, with what")
	colTells        = say.Define("report.col_tells", "tells")
	colMinutes      = say.Define("report.col_minutes", "takes")
	colStands       = say.Define("report.col_stands", "stands for")
	colStrength     = say.Define("report.col_strength", "counts")
	chanceWords     = say.Define("report.chance", "{chance:percent}")
	tellsWords      = say.Define("report.tells", "{bits:number} bit")
	minutesWords    = say.Define("report.minutes", "{minutes:number} min")
	changeWords     = say.Define("report.change", "{name}. To settle it: {confirm} To change: {change}")
	standingWords   = say.Define("report.standing", "{name} ({why:message})")
	strengthWords   = say.Define("report.strength", "{strength:percent}")
	notThereWords   = say.Define("report.strength_absent", "not there")
	factWhy         = say.Define("report.fact_why", "{text:message}; {why:message}")
	codeWords       = say.Define("report.code", "Mechanism {code} of ISO 14224:2016, table B.2 ({meaning}): {items:list}")
	causeCode       = say.Define("report.cause_code", "Cause {code} of ISO 14224:2016, table B.3: {name}")
	reasonsShort    = say.Define("report.reasons_short", "{reasons:list}")
)

const (
	causesShown  = 4
	leastShown   = 0.03
	reasonsShown = 4
	looksShown   = 4
)

// cause shows why the pump failed.
func (b *builder) cause() {
	b.heading(headCause)
	c := b.a.Cause()
	first := c.First()
	if first == nil {
		b.paragraph(causeUnknown.With())
		b.warnings(c.Warnings)
		return
	}
	b.paragraph(causeFirst.With(say.Known(first.Name), first.Probability, c.Certainty))
	if c.Hours != nil {
		b.paragraph(causeHours.With(*c.Hours))
	} else {
		b.paragraph(causeNoHours.With())
	}
	b.causeTable(c)
	b.warnings(c.Warnings)
	b.texts(headContra, messages(c.Conflicts))
	b.texts(headSettles, b.changes(c))
	b.chains(c)
	var standing []document.Text
	for _, s := range c.Standing {
		standing = append(standing, standingWords.With(say.Known(s.Name), s.Why))
	}
	b.texts(headStanding, standing)
	b.looks(c)
	b.measured(c)
}

// texts shows a list below a heading of its own, where there is one.
func (b *builder) texts(head say.Template, items []document.Text) {
	if len(items) > 0 {
		b.add(document.Group{Blocks: []document.Block{document.Heading{Level: 2, Text: head.With()}, document.List{Items: items}}})
	}
}

func messages(list []say.Message) []document.Text {
	items := make([]document.Text, len(list))
	for i, m := range list {
		items[i] = m
	}
	return items
}

func (b *builder) causeTable(c *cause.Chapter) {
	table := document.Table{Columns: []document.Column{{Head: colCause.With()}, {Head: colCauseChance.With(), Number: true}, {Head: colCauseFor.With()}, {Head: colCauseAgainst.With()}}}
	for i, k := range c.Causes {
		if i >= causesShown || i > 0 && k.Probability < leastShown {
			break
		}
		name := say.Known(k.Name)
		if k.Named != nil {
			words := causeNamed
			if k.Named.Body.Confirmed {
				words = causeProved
			}
			name = words.With(say.Known(k.Name), b.a.Inputs.Shop.PersonName(k.Named.By))
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
			document.Words(name), document.Words(chanceWords.With(k.Probability)), document.Words(reasonWords(k.For)), document.Words(reasonWords(k.Against)),
		}})
	}
	b.add(table)
}

func reasonWords(list []cause.Reason) say.Shower {
	var texts []say.Message
	for i, r := range list {
		if i == reasonsShown {
			break
		}
		texts = append(texts, r.Short())
	}
	if len(texts) == 0 {
		return dash
	}
	return reasonsShort.With(texts)
}

// changes says for the first causes what would settle them and what to change.
func (b *builder) changes(c *cause.Chapter) []document.Text {
	var items []document.Text
	for i, k := range c.Causes {
		if i >= 2 || i > 0 && k.Probability < 0.25 {
			break
		}
		items = append(items, changeWords.With(say.Known(k.Name), say.Known(k.Confirm), say.Known(k.Change)))
		if k.ISOCause != "" {
			items = append(items, causeCode.With(k.ISOCause, say.Known(k.Name)))
		}
	}
	for _, code := range c.Codes {
		items = append(items, codeWords.With(code.Code, code.Meaning, code.Items))
	}
	return items
}

// chains draws the way from the first causes to the damage.
func (b *builder) chains(c *cause.Chapter) {
	for i := range c.Causes {
		k := &c.Causes[i]
		if i >= 2 || i > 0 && k.Probability < 0.25 {
			return
		}
		if len(k.Chain) == 0 {
			continue
		}
		picture := figure.Chain{Links: []figure.ChainLink{{Name: say.Known(k.Name), After: -1, Shows: k.Direct()}}}
		at := map[string]int{k.ID: 0}
		for _, l := range k.Chain {
			at[l.Cause.ID] = len(picture.Links)
			picture.Links = append(picture.Links, figure.ChainLink{Name: say.Known(l.Cause.Name), After: at[l.After.ID], Shows: l.Shows})
		}
		b.add(document.Group{Blocks: []document.Block{document.Heading{Level: 2, Text: headChains.With()}, document.Figure{Draw: picture.Draw}}})
	}
}

func (b *builder) looks(c *cause.Chapter) {
	list := c.Looks(looksShown)
	if len(list) == 0 {
		return
	}
	table := document.Table{Columns: []document.Column{{Head: colLook.With()}, {Head: colWhere.With()}, {Head: colTells.With(), Number: true}, {Head: colMinutes.With(), Number: true}}}
	for _, k := range list {
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
			document.Words(say.Known(k.Name)), document.Words(say.Known(k.Where)), document.Words(tellsWords.With(float64(int(k.Bits*100+0.5)) / 100)), document.Words(minutesWords.With(k.Minutes)),
		}})
	}
	b.add(document.Group{Blocks: []document.Block{document.Heading{Level: 2, Text: headLooks.With()}, table}})
}

func (b *builder) measured(c *cause.Chapter) {
	if len(c.Facts) == 0 {
		return
	}
	table := document.Table{Columns: []document.Column{{Head: colStands.With()}, {Head: colStrength.With(), Number: true}, {Head: colWhy.With()}}}
	for _, f := range c.Facts {
		strength := document.Words(strengthWords.With(f.Strength))
		if !f.Found {
			strength = document.Words(notThereWords.With())
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{document.Words(say.Plain(f.Name)), strength, document.Words(factWhy.With(f.Text, f.Why))}})
	}
	b.add(document.Heading{Level: 2, Text: headMeasured.With()}, table)
	b.points(c.Undecided)
}
