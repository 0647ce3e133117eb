// Package quote is the place of a job where money is talked about: which kits,
// loose parts and work cover what is replaced, what the labour comes to,
// whether to rebuild or to replace, and the quotes themselves. The trade quotes
// twice: the teardown with its report first, then the rebuild. A quote is made
// from the parts and the hours, looked at, changed and offered; the customer's
// answer is an entry of its own.
package quote

import (
	"fmt"
	"net/http"
	"net/url"

	"github.com/a-h/templ"

	"pumpwright/app/access"
	"pumpwright/app/document"
	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/job"
)

// Place is the place.
func Place() frame.Place { return frame.Place{Routes: routes} }

// page is the page of all that has a price.
type page struct {
	v       *frame.Visit
	j       *frame.Job
	quotes  []job.QuoteStanding
	shelved []shop.Shelved
	over    []shop.LeftOver
	money   templ.Component
	problem *say.Problem
}

func show(v *frame.Visit) error { return (&page{v: v}).show(http.StatusOK) }

func (p *page) show(status int) error {
	var err error
	if p.j, err = p.v.JobNamed(); err != nil {
		return err
	}
	if p.quotes, err = p.v.Shop.Quotes(p.v.Context(), p.v.Visitor.Scope, p.j.Name); err != nil {
		return err
	}
	if stockHere && p.v.Visitor.May(access.ReadShop) {
		if p.shelved, p.over, err = p.v.Shop.FromShelf(p.v.Context(), p.v.Visitor.Scope, p.j.Name); err != nil {
			return err
		}
	}
	tree := report.BuildPiece(p.j.Assessment, report.Money, report.Options{Style: p.v.View.Style})
	tree.Title = wordMoney.With()
	p.money = templ.Raw(tree.HTML(p.v.View.Style, document.HTMLOptions{ID: "money", Level: 2}))
	return p.v.Show(frame.Page{Title: wordQuote.With(), Job: p.j, Here: "quote", Plain: true, Status: status, Body: body(p)})
}

// open reports whether the job still takes quotes and movements.
func (p *page) open() bool { return p.j.State.Closed == nil }

// aims are the aims a quote of the rebuild can be made for, each different
// choice of parts once.
func (p *page) aims() []aim {
	c := p.j.Assessment.Offer()
	var list []aim
	at := map[string]int{}
	for i := range c.Plans {
		key := fmt.Sprint(c.Plans[i].Describe())
		if _, known := at[key]; !known {
			at[key] = len(list)
			list = append(list, aim{Plan: &c.Plans[i], advised: key == fmt.Sprint(c.Advised.Describe())})
		}
		one := &list[at[key]]
		one.best = append(one.best, p.v.View.T(offer.AimName(c.Plans[i].Aim)))
	}
	return list
}

// outside is the form of work that is sent out.
func (p *page) outside() *part.Entry {
	parts := part.Field{Name: "t/part", Word: wordPart.With(), Kind: part.Choice, Options: []part.Option{{Value: "", Word: wordNoPart.With()}}}
	for i := range p.j.Assessment.Inputs.Sheet.Parts {
		one := &p.j.Assessment.Inputs.Sheet.Parts[i]
		parts.Options = append(parts.Options, part.Option{Value: one.ID, Word: say.Plain(one.Name)})
	}
	return p.v.EntryFor(p.j, job.KindOutside, "outside", wordKeep.With(),
		part.Field{Name: "t/work", Word: wordWork.With(), Kind: part.Line, Must: true}, parts,
		part.Field{Name: "t/what", Word: wordElse.With(), Kind: part.Line},
		part.Field{Name: "n/price", Word: wordPrice.With(), Kind: part.Number},
		part.Field{Name: "t/currency", Kind: part.Hidden, Value: p.j.Assessment.Offer().Currency})
}

// standing says how a quote stands.
func standing(s *job.QuoteStanding) say.Message {
	switch s.Status {
	case job.QuoteAccepted:
		return wordAccepted.With()
	case job.QuoteChanged:
		return wordChanged.With()
	case job.QuoteDeclined:
		return wordDeclined.With()
	case job.QuoteExpired:
		return wordExpired.With()
	}
	return wordOffered.With()
}

func stepWord(step string) say.Message {
	if step == job.QuoteTeardown {
		return wordTeardown.With()
	}
	return wordRebuild.With()
}

func amount(q job.Quote) say.Shower {
	m, err := q.Amount()
	if err != nil {
		return wordNoSum.With()
	}
	return m
}

func (p *page) address(number string) string {
	return p.j.Path("/quote/" + url.PathEscape(number))
}

// goBack goes back to the page, with what was refused.
func goBack(v *frame.Visit, j *frame.Job, err error) error {
	if problem := frame.Refusal(err); problem != nil {
		return (&page{v: v, problem: problem}).show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return v.Go(j.Path("/quote"))
}

// standingOf returns a quote of the job by its number.
func standingOf(v *frame.Visit) (*frame.Job, *job.QuoteStanding, error) {
	j, err := v.JobNamed()
	if err != nil {
		return nil, nil, err
	}
	list, err := v.Shop.Quotes(v.Context(), v.Visitor.Scope, j.Name)
	if err != nil {
		return nil, nil, err
	}
	for i := range list {
		if list[i].Number == v.PathValue("number") {
			return j, &list[i], nil
		}
	}
	return nil, nil, shop.ErrNotFound
}

// letter is one quote on its page.
type letter struct {
	v *frame.Visit
	j *frame.Job
	s *job.QuoteStanding
}

func one(v *frame.Visit) error {
	j, s, err := standingOf(v)
	if err != nil {
		return err
	}
	html := report.Quote(j.Assessment, s.Offer.Body, report.Options{Style: v.View.Style, Created: s.Offer.At}).HTML(v.View.Style, document.HTMLOptions{ID: "letter"})
	return v.Show(frame.Page{Title: wordQuoteOf.With(s.Number), Job: j, Here: "quote", Plain: true, Body: letterBody(&letter{v, j, s}, templ.Raw(html))})
}

// answering is the form of the customer's answer; nil when there is nothing to
// answer, or the person may not write it down.
func (l *letter) answering() *part.Entry {
	if l.s.Answer != nil || l.j.State.Closed != nil || !l.v.Visitor.May(access.Quote) {
		return nil
	}
	return l.v.EntryFor(l.j, job.KindQuote, "answer."+l.s.Number, nil,
		part.Field{Name: "t/number", Kind: part.Hidden, Value: l.s.Number},
		part.Field{Name: "t/note", Word: wordAnswerNote.With(), Kind: part.Line})
}
