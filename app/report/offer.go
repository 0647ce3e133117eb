package report

import (
	"strings"

	"pumpwright/app/document"
	"pumpwright/app/figure"
	"pumpwright/calc/cost"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/procedure"
)

var (
	headOffer    = say.Define("report.head_offer", "Parts to order, labour and price")
	headLabour   = say.Define("report.head_labour", "Labour")
	headLife     = say.Define("report.head_life", "Rebuild or replace")
	offerNothing = say.Define("report.offer_nothing", "No part is to be ordered so far.")
	offerAdvised = say.Define("report.offer_advised", "Advised ({aim:message}): {offers:list}.")
	offerWaiting = say.Define("report.offer_waiting", "A day without the pump costs {perday} ({flow:flow}, {hours:number} hours of running a day; {note:message}).")
	offerSum     = say.Define("report.offer_sum", "Parts, labour and outside work: {sum}.")
	offerRange   = say.Define("report.offer_range", "Parts, labour and outside work: {sum}, up to {high} when every part that is not judged yet is needed too.")
	colAim       = say.Define("report.col_aim", "aim")
	colTake      = say.Define("report.col_take", "take")
	colPrice     = say.Define("report.col_price", "price")
	colLead      = say.Define("report.col_lead", "there in")
	colTotal     = say.Define("report.col_total", "with waiting")
	colOver      = say.Define("report.col_over", "left over")
	colStage     = say.Define("report.col_stage", "stage")
	colHours     = say.Define("report.col_hours", "counted")
	colLogged    = say.Define("report.col_logged", "worked so far")
	colStandard  = say.Define("report.col_standard", "standard of the sheet")
	colMedian    = say.Define("report.col_median", "median of the shop")
	colCourse    = say.Define("report.col_course", "course")
	colPresent   = say.Define("report.col_present", "present value")
	colUpTo      = say.Define("report.col_up_to", "up to")
	colMadeOf    = say.Define("report.col_made_of", "made of")
	leadWords    = say.Define("report.lead", "{days:number} d")
	leadNow      = say.Define("report.lead_now", "at once")
	hoursWords   = say.Define("report.hours", "{hours:number} h")
	medianWords  = say.Define("report.median", "{hours:number} h, learned from {n:count|job|jobs}")
	totalWord    = say.Define("report.total", "total")
	partOfWords  = say.Define("report.part_of", "{part:message} {amount}")
	wordFirst    = say.Define("report.word_first", "first cost")
	wordEvents   = say.Define("report.word_events", "waiting, later rebuilds, scrap")
	wordEnergy   = say.Define("report.word_energy", "energy")
	wordOutput   = say.Define("report.word_output", "lost output")
	captionHinge = say.Define("report.caption_hinge", "What the choice hinges on: each number varied by a fifth.")
	listWords    = say.Define("report.list", "{items:list}")
)

// offer shows what is to be ordered and what the rebuild costs.
func (b *builder) offer() {
	c := b.a.Offer()
	b.heading(headOffer)
	if len(c.Plans) == 0 {
		b.paragraph(offerNothing.With())
	} else {
		b.plans(c)
	}
	if w := c.Waiting; w != nil {
		b.paragraph(offerWaiting.With(w.PerDay, w.Flow, float64(int(w.Hours*10+0.5))/10, w.Note))
	}
	switch {
	case c.Sum == nil:
	case *c.Sum == *c.SumHigh:
		b.paragraph(offerSum.With(*c.Sum))
	default:
		b.paragraph(offerRange.With(*c.Sum, *c.SumHigh))
	}
	b.warnings(c.Warnings)
	b.labour(c)
	b.life(c)
}

func (b *builder) plans(c *offer.Chapter) {
	b.paragraph(offerAdvised.With(offer.AimName(c.Advised.Aim), c.Advised.Describe()))
	table := document.Table{Columns: []document.Column{
		{Head: colAim.With()}, {Head: colTake.With()}, {Head: colPrice.With(), Number: true}, {Head: colLead.With(), Number: true}, {Head: colTotal.With(), Number: true}, {Head: colOver.With()},
	}}
	for i := range c.Plans {
		p := &c.Plans[i]
		if sameBefore(c.Plans[:i], p) {
			continue
		}
		over := say.Shower(dash)
		if len(p.LeftOver) > 0 {
			over = listWords.With(p.LeftOver)
		}
		total := say.Shower(dash)
		if c.Waiting != nil {
			total = p.Total
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
			document.Words(aimsOf(c.Plans[i:], p)), document.Words(listWords.With(p.Describe())), document.Words(p.Price), document.Words(leadOf(p.Lead)), document.Words(total), document.Words(over),
		}})
	}
	b.add(table)
}

// sameBefore reports whether an earlier plan takes the same.
func sameBefore(plans []offer.Plan, p *offer.Plan) bool {
	for i := range plans {
		if sameChoice(&plans[i], p) {
			return true
		}
	}
	return false
}

func sameChoice(a, b *offer.Plan) bool {
	return strings.Join(a.Describe(), "\n") == strings.Join(b.Describe(), "\n")
}

// aimsOf names every aim that a choice is best for.
func aimsOf(plans []offer.Plan, p *offer.Plan) say.Message {
	var names []say.Message
	for i := range plans {
		if sameChoice(&plans[i], p) {
			names = append(names, offer.AimName(plans[i].Aim))
		}
	}
	return reasonsShort.With(names)
}

func leadOf(t quantity.Time) say.Message {
	if t <= 0 {
		return leadNow.With()
	}
	return leadWords.With(t.SI() / 86400)
}

func (b *builder) labour(c *offer.Chapter) {
	if len(c.Labour) == 0 {
		return
	}
	number := func(t say.Template) document.Column { return document.Column{Head: t.With(), Number: true} }
	table := document.Table{Columns: []document.Column{{Head: colStage.With()}, number(colStandard), number(colMedian), number(colLogged), number(colHours), number(colPrice)}}
	hours := func(h float64) say.Shower {
		if h > 0 {
			return hoursWords.With(h)
		}
		return dash
	}
	for _, s := range c.Labour {
		median, price := say.Shower(dash), say.Shower(dash)
		if s.Jobs > 0 {
			median = medianWords.With(s.Median, s.Jobs)
		}
		if s.Price != nil {
			price = *s.Price
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
			document.Words(procedure.Stage(s.Stage).Name()), document.Words(hours(s.Sheet)), document.Words(median), document.Words(hours(s.Logged)), document.Words(hoursWords.With(s.Hours)), document.Words(price),
		}})
	}
	total := say.Shower(dash)
	if c.LabourSum != nil {
		total = *c.LabourSum
	}
	table.Rows = append(table.Rows, document.Row{Total: true, Cells: []document.Cell{
		document.Words(totalWord.With()), document.Words(say.Message{}), document.Words(say.Message{}), document.Words(say.Message{}), document.Words(hoursWords.With(c.Hours)), document.Words(total),
	}})
	b.add(document.Group{Blocks: []document.Block{document.Heading{Level: 2, Text: headLabour.With()}, table}})
}

func (b *builder) life(c *offer.Chapter) {
	l := c.Life
	if l == nil {
		if !c.NoLife.IsZero() {
			b.add(document.Note{Text: c.NoLife})
		}
		return
	}
	b.add(document.Heading{Level: 2, Text: headLife.With()})
	b.points(l.Words)
	money := func(v float64) quantity.Money {
		m, _ := quantity.MoneyOf(float64(int64(v)), l.Currency) // sums of many numbers: no cents
		return m
	}
	table := document.Table{Columns: []document.Column{{Head: colCourse.With()}, {Head: colPresent.With(), Number: true}, {Head: colUpTo.With(), Number: true}, {Head: colMadeOf.With()}}}
	for _, v := range l.Result.Options {
		var parts []string
		for _, part := range []struct {
			key  string
			word say.Template
		}{{cost.PartInitial, wordFirst}, {cost.PartEvents, wordEvents}, {"energy", wordEnergy}, {"lost output", wordOutput}} {
			if amount, there := v.ByPart[part.key]; there {
				parts = append(parts, partOfWords.With(part.word.With(), money(amount)).Text(b.o.Style))
			}
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
			document.Words(say.Plain(v.Name)), document.Words(money(v.PresentValue)), document.Words(money(l.High[v.Name])), document.Words(say.Plain(strings.Join(parts, ", "))),
		}})
	}
	b.add(table)
	if picture := hingesOf(l); len(picture.Bars) > 0 {
		b.add(document.Figure{Caption: captionHinge.With(), Draw: picture.Draw})
	}
	b.points(l.Assumed)
}

// hingesOf turns the hinges of a comparison into their picture.
func hingesOf(l *offer.Life) figure.Hinges {
	picture := figure.Hinges{Difference: l.Result.Difference, Currency: l.Currency}
	for _, h := range l.Hinges {
		picture.Bars = append(picture.Bars, figure.HingeBar{Name: say.Plain(h.Name), Low: h.Low, High: h.High})
	}
	return picture
}
