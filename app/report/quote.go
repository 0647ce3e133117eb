package report

import (
	"time"

	"pumpwright/app/document"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
)

var (
	quoteTeardown  = say.Define("report.quote_teardown", "Quote for teardown and report")
	quoteRebuild   = say.Define("report.quote_rebuild", "Quote for the rebuild")
	quoteFoot      = say.Define("report.quote_foot", "Quote {number} of {day}. The scope is what was found when the pump was open.")
	quoteFoot1     = say.Define("report.quote_foot_first", "Quote {number} of {day}. The scope of the rebuild is unknown until the pump is open.")
	quoteMark      = say.Define("report.quote_mark", "{number} · {job}")
	factQuote      = say.Define("report.quote_number", "Quote")
	factUntil      = say.Define("report.quote_until", "Holds until")
	factStanding   = say.Define("report.quote_standing", "Stands")
	untilOpen      = say.Define("report.quote_no_day", "no day stated")
	headScope      = say.Define("report.quote_scope", "What it covers")
	headQuoteParts = say.Define("report.quote_parts", "Parts and work, with the reason")
	headQuoteStage = say.Define("report.quote_labour", "Labour")
	headQuoteAll   = say.Define("report.quote_sum", "In all")
	headWhyFailed  = say.Define("report.quote_cause", "Why it failed, as far as it can be told")
	headKept       = say.Define("report.quote_kept", "What stays")
	headTerms      = say.Define("report.quote_terms", "Terms")
	headAnswer     = say.Define("report.quote_answer", "Answer")
	scopeTeardown  = say.Define("report.quote_scope_first", "The pump is received, opened, cleaned, measured and judged, with photos and a report that says what becomes of each part and why. What a rebuild takes is not known before; a second quote follows with the report.")
	scopeRebuild   = say.Define("report.quote_scope_second", "The pump was opened and measured. The parts below are renewed for the reasons that stand with them; it is then assembled to the end clearance that its liquid asks for, and proved on the bench.")
	scopeFree      = say.Define("report.quote_scope_none", "Not judged yet, and in no price: {parts:list}.")
	colWhat        = say.Define("report.quote_col_what", "what")
	colCount       = say.Define("report.quote_col_count", "count")
	colEach        = say.Define("report.quote_col_each", "each")
	colSum         = say.Define("report.quote_col_sum", "sum")
	colQuoteHours  = say.Define("report.quote_col_hours", "hours")
	colReason      = say.Define("report.quote_col_reason", "why")
	countWords     = say.Define("report.quote_count", "{n:count}")
	outsideWords   = say.Define("report.quote_outside", "{what} (work)")
	termUntil      = say.Define("report.quote_term_until", "This quote holds until {day}.")
	termFee        = say.Define("report.quote_term_fee", "When the rebuild is declined, teardown and report cost {fee}.")
	termUnclaimed  = say.Define("report.quote_term_unclaimed", "A pump that is not fetched within {days:number} days of a declined quote may be scrapped; we ask before.")
	termChange     = say.Define("report.quote_term_change", "A change of the scope is a new quote with a number of its own.")
	termStart      = say.Define("report.quote_term_start", "Putting the pump back into service is the operator's decision, by the maker's manual, site rules and local codes.")
	causeOne       = say.Define("report.quote_cause_one", "{name} ({certainty:message}). To change, so that it does not come again: {change}")
	keptWords      = say.Define("report.quote_kept_words", "{part}: {reason:message}")
	roleShop       = say.Define("report.quote_role_shop", "for the shop")
	roleCustomer   = say.Define("report.quote_role_customer", "for the customer")
	forOffer       = say.Define("report.quote_for_offer", "this offer")
	forAnswer      = say.Define("report.quote_for_answer", "accepted / changed / declined")
	standOffered   = say.Define("report.quote_offered", "offered, not answered")
	standAccepted  = say.Define("report.quote_accepted", "accepted on {day}")
	standChanged   = say.Define("report.quote_changed", "to be changed, on {day}: {note}")
	standDeclined  = say.Define("report.quote_declined", "declined on {day}")
	standExpired   = say.Define("report.quote_expired", "expired")
)

// Quote makes the tree of a quote: of the teardown, or of the rebuild with the
// reasons for each part. The numbers are those of the quote; the reasons and
// the cause come from the assessment.
func Quote(a *assess.Assessment, q job.Quote, o Options) *document.Report {
	b := quoter{builder: builder{a: a, o: o}, q: q}
	created := o.Created
	if created == 0 {
		created = a.Inputs.Job.Last
	}
	words, line := quoteRebuild, quoteFoot
	if q.Step == job.QuoteTeardown {
		words, line = quoteTeardown, quoteFoot1
	}
	r := &document.Report{Title: words.With(), Mark: quoteMark.With(q.Number, b.open0().Job), Foot: line.With(q.Number, created.Day()), Author: b.shopName(), Facts: b.facts(), Created: created.Time()}
	if a.Inputs.Sheet.Title != "" {
		r.Subtitle = say.Plain(a.Inputs.Sheet.Title)
	}
	b.scope()
	b.lines()
	b.labour()
	b.sum()
	if q.Step == job.QuoteRebuild {
		b.why()
		b.kept()
	}
	b.terms()
	b.answer()
	r.Blocks = b.blocks
	return r
}

type quoter struct {
	builder
	q job.Quote
}

func (b *quoter) money(amount float64) quantity.Money {
	m, err := quantity.MoneyOf(amount, b.q.Currency)
	if err != nil {
		return quantity.Money{Currency: b.q.Currency}
	}
	return m
}

// facts is the title block.
func (b *quoter) facts() []document.Fact {
	open := b.open0()
	facts := []document.Fact{{Name: factQuote.With(), Value: say.Plain(b.q.Number)}}
	add := func(name say.Template, text string) {
		if text != "" {
			facts = append(facts, document.Fact{Name: name.With(), Value: say.Plain(text)})
		}
	}
	until := say.Shower(untilOpen.With())
	if b.q.ValidUntil != "" {
		until = say.Plain(b.q.ValidUntil)
	}
	facts = append(facts, document.Fact{Name: factUntil.With(), Value: until})
	if s := b.standing(); !s.IsZero() {
		facts = append(facts, document.Fact{Name: factStanding.With(), Value: s})
	}
	add(factJob, open.Job)
	add(factTag, open.Tag)
	add(factSerial, open.Serial)
	add(factOwner, open.Owner)
	add(factPlace, open.Place)
	add(factSaid, open.Complaint)
	in := b.a.Inputs
	return append(facts, document.Fact{Name: factModel.With(), Value: modelWords.With(in.Sheet.Title, in.Sheet.Name, in.Sheet.Version)})
}

// standing says how the quote stands, when the job has it.
func (b *quoter) standing() say.Message {
	for _, s := range b.a.Inputs.Job.QuotesAsOf(b.a.Inputs.AsOf) {
		if s.Number != b.q.Number {
			continue
		}
		day, note := say.Day(""), ""
		if s.Answer != nil {
			day, note = s.Answer.At.Day(), s.Answer.Body.Note
		}
		switch s.Status {
		case job.QuoteAccepted:
			return standAccepted.With(day)
		case job.QuoteChanged:
			return standChanged.With(day, note)
		case job.QuoteDeclined:
			return standDeclined.With(day)
		case job.QuoteExpired:
			return standExpired.With()
		}
		return standOffered.With()
	}
	return say.Message{}
}

func (b *quoter) scope() {
	b.heading(headScope)
	if b.open0().Invented || b.a.Inputs.Sheet.Invented {
		b.add(document.Note{Text: inventedNote.With()})
	}
	if b.q.Step == job.QuoteTeardown {
		b.paragraph(scopeTeardown.With())
		return
	}
	b.paragraph(scopeRebuild.With())
	if open := b.a.Offer().MayNeed; len(open) > 0 {
		names := make([]string, len(open))
		for i, n := range open {
			names[i] = n.Part.Name
		}
		b.paragraph(scopeFree.With(names))
	}
	if b.q.Note != "" {
		b.paragraph(say.Plain(b.q.Note))
	}
}

func (b *quoter) lines() {
	if len(b.q.Lines) == 0 {
		return
	}
	table := document.Table{Columns: []document.Column{{Head: colWhat.With()}, {Head: colCount.With(), Number: true}, {Head: colEach.With(), Number: true}, {Head: colSum.With(), Number: true}, {Head: colReason.With()}}}
	sum := 0.0
	for _, l := range b.q.Lines {
		name := say.Plain(l.What)
		if l.Outside {
			name = outsideWords.With(l.What)
		}
		sum += l.Price * float64(l.Count)
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
			document.Words(name), document.Words(countWords.With(l.Count)), document.Words(b.money(l.Price)), document.Words(b.money(l.Price * float64(l.Count))), document.Words(say.Plain(l.Why)),
		}})
	}
	table.Rows = append(table.Rows, document.Row{Total: true, Cells: []document.Cell{
		document.Words(totalWord.With()), document.Words(say.Message{}), document.Words(say.Message{}), document.Words(b.money(sum)), document.Words(say.Message{}),
	}})
	b.heading(headQuoteParts)
	b.add(table)
}

func (b *quoter) labour() {
	if len(b.q.Labour) == 0 {
		return
	}
	table := document.Table{Columns: []document.Column{{Head: colStage.With()}, {Head: colQuoteHours.With(), Number: true}, {Head: colEach.With(), Number: true}, {Head: colSum.With(), Number: true}}}
	hours, sum := 0.0, 0.0
	for _, l := range b.q.Labour {
		hours += l.Hours
		sum += l.Hours * l.Rate
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
			document.Words(procedure.Stage(l.Stage).Name()), document.Words(hoursWords.With(l.Hours)), document.Words(b.money(l.Rate)), document.Words(b.money(l.Hours * l.Rate)),
		}})
	}
	table.Rows = append(table.Rows, document.Row{Total: true, Cells: []document.Cell{
		document.Words(totalWord.With()), document.Words(hoursWords.With(hours)), document.Words(say.Message{}), document.Words(b.money(sum)),
	}})
	b.heading(headQuoteStage)
	b.add(table)
}

func (b *quoter) sum() {
	amount, err := b.q.Amount()
	if err != nil {
		return
	}
	b.heading(headQuoteAll)
	b.add(document.Facts{Items: []document.Fact{{Name: totalWord.With(), Value: amount}}})
}

// why says why the pump failed, where something can be told.
func (b *quoter) why() {
	c := b.a.Cause()
	first := c.First()
	if first == nil {
		return
	}
	b.heading(headWhyFailed)
	b.paragraph(causeOne.With(first.Name, c.Certainty, first.Change))
}

// kept lists what is used again, with the reason: the customer asks.
func (b *quoter) kept() {
	var items []document.Text
	for _, d := range b.a.Parts.Decisions {
		if d.Verdict != part.Reuse {
			continue
		}
		item := say.Plain(d.Part.Name)
		for _, reason := range d.Reasons {
			if reason.ID() == "part.good" || reason.ID() == "part.decided" {
				item = keptWords.With(d.Part.Name, reason)
				break
			}
		}
		items = append(items, item)
	}
	if len(items) > 0 {
		b.heading(headKept)
		b.add(document.List{Items: items})
	}
}

func (b *quoter) terms() {
	b.heading(headTerms)
	var items []document.Text
	if b.q.ValidUntil != "" {
		items = append(items, termUntil.With(b.q.ValidUntil))
	}
	if b.q.TeardownFee != nil && b.q.Step == job.QuoteRebuild {
		items = append(items, termFee.With(b.money(*b.q.TeardownFee)))
	}
	if b.q.Unclaimed != nil {
		items = append(items, termUnclaimed.With(*b.q.Unclaimed))
	}
	items = append(items, termChange.With(), termStart.With())
	b.add(document.List{Items: items})
}

func (b *quoter) answer() {
	b.heading(headAnswer)
	customer := document.Signature{Role: roleCustomer.With(), For: forAnswer.With()}
	shop := document.Signature{Role: roleShop.With(), For: forOffer.With()}
	for _, s := range b.a.Inputs.Job.QuotesAsOf(time.Time{}) {
		if s.Number != b.q.Number {
			continue
		}
		shop.Name, shop.Date = say.Plain(b.a.Inputs.Shop.PersonName(s.Offer.By)), s.Offer.At.Day().Message()
		if s.Answer != nil {
			customer.Name, customer.Date = say.Plain(b.a.Inputs.Shop.PersonName(s.Answer.By)), s.Answer.At.Day().Message()
		}
	}
	b.add(document.Signatures{Lines: []document.Signature{shop, customer}})
}
